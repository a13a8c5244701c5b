"""What can be done on Wood: each act is about the marked bundles, or else about the one under the cursor."""

from __future__ import annotations

from tendwork.dashboard.screens.outcome import Outcome, OutcomeScreen
from tendwork.dashboard.screens.paged import PagedScreen
from tendwork.orchard.records import Wood
from tendwork.orchard.wood_age import CHECK_WOOD
from tendwork.orchard.wood_balance import Balance
from tendwork.planning.states import ACTIONABLE
from tendwork.view.form_words import FIELDS_OF, OF_MANY, field_text
from tendwork.view.text import plain
from tendwork.view.words import counted, format_day
from tendwork.workbench.records_room import JobTick

_OF_BUNDLES = frozenset({"change", "split", "remove", "checked", "mark", "mark_all"})


class WoodActs(PagedScreen):
    """Rows are bundles, or on the other page the balances of varieties."""

    def bundles(self) -> tuple[Wood, ...]:
        """The marked bundles in the order of entry, or else the one under the cursor, if there is one."""
        row = self.row
        if self.marked:
            return tuple(wood for wood in self.app.state.records.wood if wood.id in self.marked)
        return () if row is None or isinstance(row, Balance) else (row.wood,)

    def can(self, action: str) -> bool:
        if action == "split":
            return len(self.bundles()) == 1
        return action not in _OF_BUNDLES or bool(self.bundles())

    def about(self) -> str:
        """What the next act is about, in words."""
        held = self.bundles()
        if len(held) == 1:
            return f"{held[0].variety} ({held[0].id})"
        if held:
            return counted(len(held), "marked bundle")
        return f"{self.row.variety}, {self.row.species}" if isinstance(self.row, Balance) else "Wood"

    def action_menu(self) -> None:
        self.open_menu(self.about())

    def action_add(self) -> None:
        row = self.row
        texts = {"variety": row.variety, "species": row.species} if isinstance(row, Balance) else {}
        self.open_form(
            "A new bundle of wood",
            self.fields(FIELDS_OF["wood"], texts),
            lambda texts: lambda bench, today: bench.records.record(lambda room: room.add("wood", texts, today)),
        )

    def action_change(self) -> None:
        held = self.bundles()
        if not held:
            return
        ids = tuple(wood.id for wood in held)
        if len(held) > 1:
            fields, note = self.fields(OF_MANY["wood"]), "What is left empty stays as it is in each of them."
        else:
            names = [name for name in FIELDS_OF["wood"] if name != "id"]
            fields = self.fields(names, {name: field_text(name, getattr(held[0], name)) for name in names})
            note = ""
        self.open_form(
            f"Change {self.about()}",
            fields,
            lambda texts: (
                lambda bench, today: bench.records.record(lambda room: room.change("wood", ids, texts, today))
            ),
            only_changed=True,
            note=note,
        )

    def action_split(self) -> None:
        held = self.bundles()
        if len(held) != 1:
            self.app.say("Split one bundle at a time.")
            return
        identity = held[0].id
        self.open_form(
            f"Split {self.about()}",
            self.fields(("sticks",)),
            lambda texts: (
                lambda bench, today: bench.records.record(lambda room: room.split_bundle(identity, texts, today))
            ),
            note=f"So many of its {counted(held[0].sticks, 'stick')} go into a new bundle.",
        )

    def action_remove(self) -> None:
        ids = tuple(wood.id for wood in self.bundles())
        if ids:
            self.act(lambda bench, today: bench.records.record(lambda room: room.remove("wood", ids, today)))

    def action_checked(self) -> None:
        """Say what a look at the bundles found, where a check of them is asked for."""
        held = {wood.id: wood for wood in self.bundles()}
        asked: dict[str, tuple[str, ...]] = {}
        outcomes: tuple[str, ...] = ()
        for task in self.app.state.jobs:
            ids = tuple(unit.id for unit in task.units if unit.id in held and unit.state in ACTIONABLE)
            if task.template == CHECK_WOOD and ids:
                asked[task.key], outcomes = ids, task.outcomes
        if asked:
            labels = [plain(f"{held[identity].variety} ({identity})") for ids in asked.values() for identity in ids]
            self.app.push_screen(
                OutcomeScreen("Check the stored wood", labels, outcomes), lambda outcome: self._checked(asked, outcome)
            )
            return
        if self.app.state.plan_day is None:
            self.app.say("The plan is being updated; ask again in a moment.")
            return
        due = [row.due for identity, row in self.rows.items() if identity in held and row.due is not None]
        next_one = f" The next is due {format_day(min(due), self.app.state.today)}." if due else ""
        self.app.say(f"No check of {self.about()} is asked for now.{next_one}")

    def _checked(self, asked: dict[str, tuple[str, ...]], outcome: Outcome | None) -> None:
        """Bundles that are in different rounds belong to different jobs, which are ticked in one act."""
        if outcome is not None:
            ticks = tuple(JobTick(task, ids, outcome.word, outcome.note) for task, ids in asked.items())
            self.act(lambda bench, today: bench.records.tick(ticks, today))
