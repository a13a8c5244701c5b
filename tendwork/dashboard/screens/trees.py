"""Trees: every graft as a row, the life of the chosen one, and the crown it stands in from above."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content

from tendwork.dashboard.actions import TREES, bindings
from tendwork.dashboard.screens.grafting_day import GraftingDayScreen
from tendwork.dashboard.screens.table import TableScreen
from tendwork.dashboard.screens.tasting import taste
from tendwork.dashboard.state import State
from tendwork.dashboard.theme import GRAFT_STYLES
from tendwork.dashboard.widgets.crown_view import CrownPlan, CrownView
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.dashboard.widgets.steady_text import SteadyText
from tendwork.dashboard.widgets.top_line import TopLine
from tendwork.orchard.records import VERDICTS, Graft, RecordKind, Tree
from tendwork.view.crown import crown_text
from tendwork.view.form_words import FIELDS_OF, OF_MANY, PLACE, field_text
from tendwork.view.graft_table import ORDERS, GraftRow, graft_cells, graft_columns, graft_rows, matching_rows
from tendwork.view.graft_words import graft_lines, graft_title, tree_lines
from tendwork.view.plain import tree_heading
from tendwork.view.table import MARK, Column
from tendwork.view.text import clipped, plain
from tendwork.view.words import counted
from tendwork.workbench.typed_unions import typed_graft_hint, typed_tree_hint

_COPY_COLUMNS = 80
_CROWN = (60, 21)  # columns and rows of the picture in a copy
_BRING = "or bring a spreadsheet: tendwork bring trees.csv --as trees."
_PICTURE = "-picture"  # on a narrow screen the crown has taken the place of the life
_OF_TREES = frozenset(
    {
        "add", "add_tree", "change", "remove", "grafting_day", "picture", "order", "undo", "mark_all", "trouble",
        "spray",
    }
)  # fmt: skip
_OF_ONE = frozenset({"split", "taste"})


class TreesScreen(TableScreen):
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
        """The marked grafts in the order of entry, or else the one under the cursor, if there is one."""
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
            lines = tree_lines(state.records, row.tree, _COPY_COLUMNS, state.today, state.units)
            grafts = self._grafts_of(row.tree)
            if any(graft.facing is not None and graft.out_m is not None for graft in grafts):
                crown = crown_text(
                    grafts,
                    *_CROWN,
                    units=state.units,
                    ascii_only=self.app.ascii_only,
                    spread_m=row.tree.spread_m,
                )
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
        spread_m: float | None = None
        lines: list[str] = []
        if row is not None:
            width = self.query_one("#life").scrollable_content_region.width
            grafts, spread_m = self._grafts_of(row.tree), row.tree.spread_m
            if row.graft is None:
                lines = tree_lines(state.records, row.tree, width, state.today, state.units)
            else:
                title, chosen = graft_title(row.graft, row.tree), row.graft.id
                lines = graft_lines(state.records, row.graft, state.south, state.units, width, state.today)
        elif not state.records.trees:
            lines = [f"No tree is recorded yet. Add one with {self.app.keys.word('trees.add_tree')}, {_BRING}"]
        if self.marked:
            title = f"{counted(len(self.marked), 'graft')} marked; {title}"
        self.query_one("#title", SteadyText).show(title)
        self.query_one(CrownView).show(grafts, chosen, state.units, spread_m)
        self.query_one("#life_text", SteadyText).show("\n".join(lines))

    def _grafts_of(self, tree: Tree) -> tuple[Graft, ...]:
        return tuple(self._by_tree[tree.id])

    def _leave_picture(self) -> None:
        self.remove_class(_PICTURE)
        self.query_one(RowList).focus()

    def can(self, action: str) -> bool:
        grafts = self.grafts()
        if action in _OF_ONE:
            return len(grafts) == 1
        return action in _OF_TREES or bool(grafts)

    def about(self) -> str:
        """What the next act is about, in words."""
        grafts, row = self.grafts(), self.row
        if len(grafts) == 1:
            return f"{grafts[0].variety} ({grafts[0].id})"
        if grafts:
            return counted(len(grafts), "marked graft")
        return "Trees" if row is None else f"{row.tree.name} ({row.tree.id})"

    def action_menu(self) -> None:
        self.open_menu(self.about())

    def action_add_tree(self) -> None:
        fields = self.fields(FIELDS_OF["trees"], kind="trees")
        self.open_form(
            "A new tree",
            fields,
            lambda texts: lambda bench, today: bench.records.entries.add("trees", texts, today),
            mind=lambda texts: typed_tree_hint(texts, self.app.state.today),
        )

    def action_add(self) -> None:
        row = self.row
        if row is None:
            self.action_add_tree()
            return
        fields = self.fields(FIELDS_OF["grafts"], {"tree": row.tree.id, "state": "planned", "verdict": "on trial"})
        self.open_form(
            f"A new graft on {row.tree.name}",
            fields,
            lambda texts: lambda bench, today: bench.records.entries.add("grafts", texts, today),
            mind=lambda texts: typed_graft_hint(texts, self.app.state.records, self.app.state.today),
        )

    def action_change(self) -> None:
        grafts, row, units = self.grafts(), self.row, self.app.state.units
        if row is None:
            return
        kind, ids = _kind_and_ids(grafts, row.tree)
        if len(grafts) > 1:
            fields, note = self.fields(OF_MANY["grafts"]), "What is left empty stays as it is in each of them."
        else:
            held = grafts[0] if grafts else row.tree
            names = [name for name in FIELDS_OF[kind] if name != "id"]
            fields = self.fields(names, {name: field_text(name, getattr(held, name), units) for name in names}, kind)
            note = ""
        self.open_form(
            f"Change {self.about()}",
            fields,
            lambda texts: lambda bench, today: bench.records.entries.change(kind, ids, texts, today),
            only_changed=True,
            note=note,
            mind=None if len(grafts) > 1 else self._mind(grafts[0] if grafts else row.tree),
        )

    def _mind(self, held: Graft | Tree) -> Callable[[dict[str, str]], str]:
        """What a form says of the union of a record as it is being changed."""
        state = self.app.state
        if isinstance(held, Tree):
            return lambda texts: typed_tree_hint(texts, state.today, held)
        return lambda texts: typed_graft_hint(texts, state.records, state.today, held)

    def action_move(self) -> None:
        grafts, records, units = self.grafts(), self.app.state.records, self.app.state.units
        if not grafts:
            return
        ids = tuple(graft.id for graft in grafts)
        if len(grafts) == 1:
            names = ("tree", *PLACE)
            texts = {name: field_text(name, getattr(grafts[0], name), units) for name in names}
            self.open_form(
                f"Move {self.about()}",
                self.fields(names, texts),
                lambda texts: lambda bench, today: bench.records.entries.move(ids, texts.pop("tree", ""), texts, today),
                only_changed=True,
                note="Where it stands now: on which tree, and where in its crown.",
                mind=self._mind(grafts[0]),
            )
            return
        trees = [(tree.id, f"{tree.name} ({tree.id}), {tree.species}") for tree in records.trees]
        self.pick(
            f"Move {self.about()} to",
            trees,
            lambda tree: self.act(lambda bench, today: bench.records.entries.move(ids, tree, {}, today)),
        )

    def action_split(self) -> None:
        grafts = self.grafts()
        if len(grafts) != 1:
            self.app.say("Split one graft at a time.")
            return
        identity = grafts[0].id
        self.open_form(
            f"Split {self.about()}",
            self.fields(PLACE),
            lambda texts: lambda bench, today: bench.records.entries.split_graft(identity, texts, today),
            note="Where the second one stands; all else it has from the first.",
        )

    def action_judge(self) -> None:
        grafts = self.grafts()
        if not grafts:
            return
        ids = tuple(graft.id for graft in grafts)
        self.pick(
            f"Judge {self.about()}",
            [(verdict, verdict) for verdict in VERDICTS],
            lambda word: self.act(lambda bench, today: bench.records.entries.judge(ids, word, today)),
            grafts[0].verdict,
        )

    def action_taste(self) -> None:
        grafts = self.grafts()
        if len(grafts) == 1:
            taste(self, grafts[0])

    def action_trouble(self) -> None:
        self._note("troubles", "Signs of disease", "what", "Note the same sign again to add to what is noted.")

    def action_spray(self) -> None:
        self._note(
            "sprays", "Spray", "product", "Take the days from the label. Left empty they are not known, never none."
        )

    def _note(self, kind: RecordKind, title: str, first: str, note: str) -> None:
        """Let the person note something on the trees of the marked grafts, or else on the one under the cursor."""
        if self.row is None:
            return
        trees = tuple(dict.fromkeys(graft.tree for graft in self.grafts())) or (self.row.tree.id,)
        texts = {"tree": ", ".join(trees), "day": self.app.state.today.isoformat()}
        self.open_form(
            title,
            self.fields(FIELDS_OF[kind], texts, kind),
            lambda typed: lambda bench, today: bench.records.entries.note(kind, typed["tree"], typed, today),
            note=note,
            first=first,
        )

    def action_remove(self) -> None:
        if self.row is None:
            return
        kind, ids = _kind_and_ids(self.grafts(), self.row.tree)
        self.act(lambda bench, today: bench.records.entries.remove(kind, ids, today))

    def action_grafting_day(self) -> None:
        if self.row is not None:
            self.app.push_screen(GraftingDayScreen(self.row.tree.id))


def _kind_and_ids(grafts: Sequence[Graft], tree: Tree) -> tuple[RecordKind, tuple[str, ...]]:
    """What is meant by a key: the grafts, or the tree where there is none."""
    return ("grafts", tuple(graft.id for graft in grafts)) if grafts else ("trees", (tree.id,))
