"""Trees: every graft as a row, the life of the chosen one, and the crown it stands in from above."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content

from tendwork.dashboard.actions import TREES, bindings
from tendwork.dashboard.screens.tree_acts import TreeActs
from tendwork.dashboard.state import State
from tendwork.dashboard.theme import GRAFT_STYLES
from tendwork.dashboard.widgets.crown_view import CrownPlan, CrownView
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.dashboard.widgets.steady_text import SteadyText
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.orchard.records import Graft, Tree
from tendwork.view.crown import crown_text
from tendwork.view.graft_table import ORDERS, GraftRow, graft_cells, graft_columns, graft_rows, matching_rows
from tendwork.view.graft_words import graft_lines, graft_title, tree_lines
from tendwork.view.plain import tree_heading
from tendwork.view.table import MARK, Column
from tendwork.view.text import clipped, plain
from tendwork.view.words import counted

_COPY_COLUMNS = 80
_CROWN = (60, 21)  # columns and rows of the picture in a copy
_BRING = "or bring a spreadsheet: tendwork bring trees.csv --as trees."
_PICTURE = "-picture"  # on a narrow screen the crown has taken the place of the life


class TreesScreen(TreeActs):
    """The cursor goes over trees and grafts; what stands beside the list is about what the cursor is on."""

    HERE = TREES
    CSS_PATH = ["common.tcss", "trees.tcss"]
    BINDINGS = [*bindings(TREES)]

    def __init__(self) -> None:
        super().__init__()
        self._by_tree: defaultdict[str, list[Graft]] = defaultdict(list)

    def compose(self) -> ComposeResult:
        yield TopLine(TREES)
        yield FilterLine()
        with Horizontal(id="work"):
            yield from self.compose_table()
            with Vertical(id="chosen"):
                yield SteadyText("title")
                yield CrownView(self.app.ascii_only)
                with VerticalScroll(id="life", can_focus=False):
                    yield SteadyText("life_text")
        yield NoticeLine()
        yield KeyLine(TREES)

    def show_state(self, state: State) -> None:
        self._by_tree = defaultdict(list)
        for graft in state.records.grafts:
            self._by_tree[graft.tree].append(graft)
        super().show_state(state)

    @property
    def orders(self) -> tuple[str, ...]:
        return ORDERS

    def arranged(self) -> Mapping[str, GraftRow]:
        return {row.id: row for row in graft_rows(self.app.state.records, self.order, self.backwards)}

    def matching(self, rows: Mapping[str, GraftRow], words: str) -> tuple[Mapping[str, GraftRow], str]:
        shown, likeliest = matching_rows(tuple(rows.values()), words)
        return {row.id: row for row in shown}, likeliest

    def laid(self, width: int) -> tuple[Column, ...]:
        return graft_columns(self.rows.values(), width, self.order)

    def is_heading(self, identity: str) -> bool:
        return self.rows[identity].graft is None

    def grafts(self) -> tuple[Graft, ...]:
        records, row = self.app.state.records, self.row
        if self.marked:
            return tuple(graft for graft in records.grafts if f"graft/{graft.id}" in self.marked)
        return () if row is None or row.graft is None else (row.graft,)

    def copied_text(self) -> str:
        return "" if self.row is None else self._text(self.row)

    def view_text(self) -> str:
        """Every tree with its crown, and every graft that shows with its life."""
        return "\n\n".join(map(self._text, self.rows.values()))

    def _text(self, row: GraftRow) -> str:
        state = self.app.state
        if row.graft is None:
            lines, grafts = tree_lines(state.records, row.tree, _COPY_COLUMNS, state.units), self._grafts_of(row.tree)
            if any(graft.bearing is not None and graft.out_m is not None for graft in grafts):
                crown = crown_text(grafts, *_CROWN, units=state.units, ascii_only=self.app.ascii_only)
                lines += ["", crown]
            return "\n".join(lines)
        lines = graft_lines(state.records, row.graft, state.south, state.units, _COPY_COLUMNS, state.today)
        return "\n".join([graft_title(row.graft, row.tree), *lines])

    def action_mark(self) -> None:
        """Mark the graft and go on; on a tree, mark all its grafts that show, or take their marks away."""
        if self.row is None or self.row.graft is not None:
            super().action_mark()
            return
        own = frozenset(name for name, row in self.rows.items() if row.graft is not None and row.tree == self.row.tree)
        self.mark(self.marked - own if own <= self.marked else self.marked | own)

    def action_picture(self) -> None:
        """Show the crown and go into it; from there, back to the list."""
        plan = self.query_one(CrownPlan)
        if plan.has_focus:
            self._leave_picture()
        else:
            self.add_class(_PICTURE)
            self.call_after_refresh(plan.focus)

    def action_step_back(self) -> None:
        """From the picture to the list; from the list, away with the filter, then with the marks."""
        if self.query_one(CrownPlan).has_focus or self.has_class(_PICTURE):
            self._leave_picture()
        else:
            super().action_step_back()

    def on_crown_plan_selected(self) -> None:
        self.action_menu()

    def on_crown_plan_chosen(self, event: CrownPlan.Chosen) -> None:
        self.choose(f"graft/{event.graft}")

    def line(self, row: GraftRow) -> Content:
        if row.graft is None:
            heading = tree_heading(row.tree, self._grafts_of(row.tree))
            return Content.styled(clipped(heading, self.query_one(RowList).columns), "bold $accent")
        text = graft_cells(row, self.columns, self.app.state.units, self.app.ascii_only)
        line = Content.styled(text, "$faint" if row.graft.state in ("failed", "removed") else "")
        for column in self.columns:
            if column.name in (MARK, "state"):
                line = line.stylize(GRAFT_STYLES[row.graft.state], column.start, column.start + column.columns)
        return line

    def show_chosen(self) -> None:
        row, state = self.row, self.app.state
        title, chosen = "" if row is None else plain(row.tree.name), ""
        grafts: tuple[Graft, ...] = ()
        lines: list[str] = []
        if row is not None:
            width = self.query_one("#life").scrollable_content_region.width
            grafts = self._grafts_of(row.tree)
            if row.graft is None:
                lines = tree_lines(state.records, row.tree, width, state.units)
            else:
                title, chosen = graft_title(row.graft, row.tree), row.graft.id
                lines = graft_lines(state.records, row.graft, state.south, state.units, width, state.today)
        elif not state.records.trees:
            lines = [f"No tree is recorded yet. Add one with {self.app.keys.word('trees.add_tree')}, {_BRING}"]
        if self.marked:
            title = f"{counted(len(self.marked), 'graft')} marked; {title}"
        self.query_one("#title", SteadyText).show(title)
        self.query_one(CrownView).show(grafts, chosen, state.units)
        self.query_one("#life_text", SteadyText).show("\n".join(lines))

    def _grafts_of(self, tree: Tree) -> tuple[Graft, ...]:
        return tuple(self._by_tree[tree.id])

    def _leave_picture(self) -> None:
        self.remove_class(_PICTURE)
        self.query_one(RowList).focus()
