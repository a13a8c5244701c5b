"""What can be done on Trees: each act is about the marked grafts, or else about the row under the cursor."""

from __future__ import annotations

from tendwork.dashboard.screens.grafting_day import GraftingDayScreen
from tendwork.dashboard.screens.table import TableScreen
from tendwork.dashboard.screens.tasting import taste
from tendwork.orchard.records import VERDICTS, Graft
from tendwork.view.form_words import FIELDS_OF, OF_MANY, PLACE, field_text
from tendwork.view.words import counted

_OF_TREES = frozenset(
    {
        "add", "add_tree", "change", "remove", "grafting_day", "picture", "order", "undo", "mark_all", "trouble",
        "spray",
    }
)  # fmt: skip
_OF_ONE = frozenset({"split", "taste"})


class TreeActs(TableScreen):
    """Rows are trees and grafts."""

    def grafts(self) -> tuple[Graft, ...]:
        """The marked grafts in the order of entry, or else the one under the cursor, if there is one."""
        raise NotImplementedError

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
            lambda texts: lambda bench, today: bench.records.record(lambda room: room.add("trees", texts, today)),
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
            lambda texts: lambda bench, today: bench.records.record(lambda room: room.add("grafts", texts, today)),
        )

    def action_change(self) -> None:
        grafts, row, units = self.grafts(), self.row, self.app.state.units
        if row is None:
            return
        kind, ids = ("grafts", tuple(graft.id for graft in grafts)) if grafts else ("trees", (row.tree.id,))
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
            lambda texts: lambda bench, today: bench.records.record(lambda room: room.change(kind, ids, texts, today)),
            only_changed=True,
            note=note,
        )

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
                lambda texts: (
                    lambda bench, today: bench.records.record(
                        lambda room: room.move(ids, texts.pop("tree", ""), texts, today)
                    )
                ),
                only_changed=True,
                note="Where it stands now: on which tree, and where in its crown.",
            )
            return
        trees = [(tree.id, f"{tree.name} ({tree.id}), {tree.species}") for tree in records.trees]
        self.pick(
            f"Move {self.about()} to",
            trees,
            lambda tree: self.act(
                lambda bench, today: bench.records.record(lambda room: room.move(ids, tree, {}, today))
            ),
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
            lambda texts: (
                lambda bench, today: bench.records.record(lambda room: room.split_graft(identity, texts, today))
            ),
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
            lambda word: self.act(lambda bench, today: bench.records.record(lambda room: room.judge(ids, word, today))),
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

    def _note(self, kind: str, title: str, first: str, note: str) -> None:
        """Let the person note something on the trees of the marked grafts, or else on the one under the cursor."""
        if self.row is None:
            return
        trees = tuple(dict.fromkeys(graft.tree for graft in self.grafts())) or (self.row.tree.id,)
        texts = {"tree": ", ".join(trees), "day": self.app.state.today.isoformat()}
        self.open_form(
            title,
            self.fields(FIELDS_OF[kind], texts, kind),
            lambda typed: (
                lambda bench, today: bench.records.record(lambda room: room.note(kind, typed["tree"], typed, today))
            ),
            note=note,
            first=first,
        )

    def action_remove(self) -> None:
        grafts, row = self.grafts(), self.row
        if row is None:
            return
        kind, ids = ("grafts", tuple(graft.id for graft in grafts)) if grafts else ("trees", (row.tree.id,))
        self.act(lambda bench, today: bench.records.record(lambda room: room.remove(kind, ids, today)))

    def action_grafting_day(self) -> None:
        if self.row is not None:
            self.app.push_screen(GraftingDayScreen(self.row.tree.id))
