"""Trees: every graft as a row, the life of the chosen one, and the crown it stands in from above."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tendwork.dashboard.actions import TREES, bindings
from tendwork.dashboard.screens.tree_acts import TreeActs
from tendwork.dashboard.state import State
from tendwork.dashboard.theme import GRAFT_STYLES
from tendwork.dashboard.widgets.crown_view import CrownPlan, CrownView
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.row_list import MARK_COLUMNS, RowList
from tendwork.dashboard.widgets.table_head import TableHead
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.orchard.records import Graft
from tendwork.view.graft_table import (
    BY_TREE,
    ORDERS,
    Column,
    Row,
    graft_cells,
    graft_rows,
    head_line,
    matching_rows,
    table_columns,
)
from tendwork.view.graft_words import graft_lines, graft_title, tree_lines
from tendwork.view.plain import tree_heading
from tendwork.view.text import padded, plain
from tendwork.view.words import counted

_COPY_COLUMNS = 80
_PICTURE = "-picture"  # on a narrow screen the crown has taken the place of the life


class TreesScreen(TreeActs):
    """The cursor goes over trees and grafts; what stands beside the list is about what the cursor is on."""

    HERE = TREES
    CSS_PATH = "trees.tcss"
    BINDINGS = [*bindings(TREES), Binding("escape", "step_back", show=False)]

    def __init__(self) -> None:
        super().__init__()
        self._rows: dict[str, Row] = {}
        self._columns: tuple[Column, ...] = ()
        self._order = BY_TREE
        self._backwards = False
        self._marked: frozenset[str] = frozenset()

    def compose(self) -> ComposeResult:
        ascii_only = self.app.ascii_only
        yield TopLine(TREES)
        yield FilterLine()
        with Horizontal(id="work"):
            with Vertical(id="held"):
                yield TableHead(MARK_COLUMNS)
                yield RowList(self._line, id="trees")
            with Vertical(id="chosen"):
                yield Static(id="title", markup=False)
                yield CrownView(ascii_only)
                with VerticalScroll(id="life", can_focus=False):
                    yield Static(id="life_text", markup=False)
        yield NoticeLine()
        yield KeyLine(TREES)

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one(RowList).focus()

    def show_state(self, state: State) -> None:
        self._marked &= {graft.id for graft in state.records.grafts}
        self._show_rows()

    @property
    def row(self) -> Row | None:
        """The row under the cursor."""
        return self._rows.get(self.query_one(RowList).chosen or "")

    def grafts(self) -> tuple[Graft, ...]:
        records, row = self.app.state.records, self.row
        if self._marked:
            return tuple(graft for graft in records.grafts if graft.id in self._marked)
        return () if row is None or row.graft is None else (row.graft,)

    def done(self) -> None:
        self._mark(frozenset())

    def copied_text(self) -> str:
        row, state = self.row, self.app.state
        if row is None:
            return ""
        if row.graft is None:
            return "\n".join(tree_lines(state.records, row.tree, _COPY_COLUMNS))
        lines = graft_lines(state.records, row.graft, state.south, state.units, _COPY_COLUMNS)
        return "\n".join([graft_title(row.graft, row.tree), *lines])

    def action_filter(self) -> None:
        self.query_one(FilterLine).open()

    def action_picture(self) -> None:
        """Show the crown and go into it; from there, back to the list."""
        plan = self.query_one(CrownPlan)
        if plan.has_focus:
            self._leave_picture()
        else:
            self.add_class(_PICTURE)
            self.call_after_refresh(plan.focus)

    def action_order(self) -> None:
        """Order the rows by the next column."""
        self._order_by(ORDERS[(ORDERS.index(self._order) + 1) % len(ORDERS)])

    def action_mark(self) -> None:
        """Mark the graft under the cursor, or take its mark away, and go on; on a tree, all its grafts that show."""
        row = self.row
        if row is None:
            return
        own = [held.graft.id for held in self._rows.values() if held.graft is not None and held.tree == row.tree]
        ids = frozenset(own if row.graft is None else (row.graft.id,))
        self._mark(self._marked - ids if ids <= self._marked else self._marked | ids)
        if row.graft is not None:
            self.query_one(RowList).action_move(1)

    def action_mark_all(self) -> None:
        """Mark every graft that shows, or take all marks away."""
        shown = frozenset(row.graft.id for row in self._rows.values() if row.graft is not None)
        self._mark(frozenset() if self._marked else shown)

    def action_step_back(self) -> None:
        """From the picture to the list; from the list, away with the filter, then with the marks."""
        held = self.query_one(FilterLine)
        if self.query_one(CrownPlan).has_focus or self.has_class(_PICTURE):
            self._leave_picture()
        elif held.words:
            held.action_clear()
        else:
            self._mark(frozenset())

    def on_filter_line_changed(self) -> None:
        self._show_rows(to_likeliest=True)

    def on_filter_line_left(self) -> None:
        self.query_one(RowList).focus()

    def on_table_head_pressed(self, event: TableHead.Pressed) -> None:
        if event.column in ORDERS:
            self._order_by(event.column)
        elif event.column == "id":
            self._order_by(BY_TREE)

    def on_row_list_chosen(self) -> None:
        self._show_chosen()

    def on_row_list_selected(self) -> None:
        self.action_menu()

    def on_row_list_pressed(self, event: RowList.Pressed) -> None:
        self.query_one(RowList).choose(event.row)
        graft = self._rows[event.row].graft
        if graft is not None:
            self._mark(self._marked ^ {graft.id})

    def on_crown_plan_selected(self) -> None:
        self.action_menu()

    def on_crown_plan_chosen(self, event: CrownPlan.Chosen) -> None:
        rows = self.query_one(RowList)
        if f"graft/{event.graft}" not in rows.rows:
            self.query_one(FilterLine).action_clear()
            self._show_rows()
        rows.choose(f"graft/{event.graft}")

    def on_row_list_resized(self) -> None:
        self._lay_columns()

    def _mark(self, marked: frozenset[str]) -> None:
        self._marked = marked
        self.query_one(RowList).refresh()
        self._show_chosen()

    def _leave_picture(self) -> None:
        self.remove_class(_PICTURE)
        self.query_one(RowList).focus()

    def _order_by(self, order: str) -> None:
        """Order by another column, or by the same one backwards."""
        self._backwards = order == self._order and not self._backwards
        self._order = order
        self._show_rows()

    def _show_rows(self, to_likeliest: bool = False) -> None:
        rows = graft_rows(self.app.state.records, self._order, self._backwards)
        shown, likeliest = matching_rows(rows, self.query_one(FilterLine).words)
        self._rows = {row.id: row for row in shown}
        self._lay_columns()
        self.query_one(RowList).show(tuple(self._rows), likeliest if to_likeliest else "")
        self._show_chosen()

    def _lay_columns(self) -> None:
        held = self.query_one(RowList)
        self._columns = table_columns(self._rows.values(), held.columns - MARK_COLUMNS, self._order)
        line = head_line(self._columns, self._order, self._backwards, self.app.ascii_only)
        self.query_one(TableHead).show(line, self._columns)
        held.refresh()
        self._show_chosen()

    def _line(self, identity: str) -> Content:
        """One row of the list."""
        row = self._rows[identity]
        if row.graft is None:
            own = [graft for graft in self.app.state.records.grafts if graft.tree == row.tree.id]
            return Content.styled(tree_heading(row.tree, own), "bold $accent")
        text = graft_cells(row, self._columns, self.app.state.units, self.app.ascii_only)
        style = "$faint" if row.graft.state in ("failed", "removed") else ""
        mark = ("+" if self.app.ascii_only else "✚") if row.graft.id in self._marked else ""
        line = Content.assemble((padded(mark, MARK_COLUMNS), "bold $accent"), (text, style))
        for column in self._columns:
            if column.name in ("", "state"):
                start = MARK_COLUMNS + column.start
                line = line.stylize(GRAFT_STYLES[row.graft.state], start, start + column.columns)
        return line

    def _show_chosen(self) -> None:
        row, state = self.row, self.app.state
        title = "" if row is None else plain(row.tree.name)
        grafts: tuple[Graft, ...] = ()
        lines: list[str] = []
        if row is not None:
            width = self.query_one("#life").scrollable_content_region.width
            grafts = tuple(graft for graft in state.records.grafts if graft.tree == row.tree.id)
            if row.graft is None:
                lines = tree_lines(state.records, row.tree, width)
            else:
                title = graft_title(row.graft, row.tree)
                lines = graft_lines(state.records, row.graft, state.south, state.units, width)
        chosen = "" if row is None or row.graft is None else row.graft.id
        if self._marked:
            title = f"{counted(len(self._marked), 'graft')} marked; {title}"
        self.query_one("#title", Static).update(title)
        self.query_one(CrownView).show(grafts, chosen, state.units)
        self.query_one("#life_text", Static).update("\n".join(lines))
