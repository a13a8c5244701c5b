"""Wood: the bundles with what is left of their time, and whether there is enough of every variety."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from textual.app import ComposeResult
from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from tendwork.dashboard.actions import WOOD, bindings
from tendwork.dashboard.screens.outcome import Outcome, OutcomeScreen
from tendwork.dashboard.screens.paged import PagedScreen
from tendwork.dashboard.state import State
from tendwork.dashboard.theme import WOOD_STYLES
from tendwork.dashboard.widgets.key_line import KeyLine
from tendwork.dashboard.widgets.notice_line import NoticeLine
from tendwork.dashboard.widgets.steady_text import SteadyText
from tendwork.orchard.named_templates import CHECK_WOOD
from tendwork.orchard.records import Wood
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_balance import Balance, wood_balance
from tendwork.orchard.wood_sources import giver_before
from tendwork.planning.states import ACTIONABLE
from tendwork.planning.work_bars import barred_on
from tendwork.view.form_words import FIELDS_OF, OF_MANY, field_text
from tendwork.view.table import MARK, Column
from tendwork.view.text import clipped, plain
from tendwork.view.wood import (
    BUNDLE_ORDERS,
    Asking,
    Bundle,
    BundleState,
    bundle_cells,
    bundle_columns,
    bundle_lines,
    bundles,
    bundles_in_order,
    bundles_text,
    wood_warnings,
)
from tendwork.view.wood_balance import (
    BALANCE_ORDERS,
    BalanceState,
    balance_columns,
    balance_lines,
    balance_row,
    balance_state,
    balance_text,
    balances_in_order,
)
from tendwork.view.words import counted, format_day
from tendwork.workbench.records_room import JobTick

BUNDLES, BALANCE = "Bundles", "Balance"
PAGES = (BUNDLES, BALANCE)
ANSWER_FIELDS = ("answer", "sticks", "cut_on", "mother_years", "mother_health", "health_by")
_COPY_COLUMNS = 80
_WARNINGS_SHOWN, _WARNINGS_SHOWN_TALL = 2, 4
_OF_BUNDLES = frozenset({"answer", "change", "split", "remove", "checked", "mark", "mark_all"})


class WoodScreen(PagedScreen):
    """Two pages in one table; what presses stands above both."""

    HERE = WOOD
    CSS_PATH = ["common.tcss", "records.tcss"]
    BINDINGS = [*bindings(WOOD)]
    PAGE_NAMES = PAGES

    def compose(self) -> ComposeResult:
        yield from self.compose_pages()
        yield NoticeLine()
        yield KeyLine(WOOD)

    def show_state(self, state: State) -> None:
        super().show_state(state)
        self._show_warnings()

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._show_warnings)

    @property
    def orders(self) -> tuple[str, ...]:
        return BUNDLE_ORDERS if self.page == BUNDLES else BALANCE_ORDERS

    def arranged(self) -> Mapping[str, Any]:
        state = self.app.state
        if self.page == BUNDLES:
            held = bundles(state.records, state.today, state.check_wood_every_days, state.south)
            return {bundle.wood.id: bundle for bundle in bundles_in_order(held, self.order, self.backwards)}
        balances = balances_in_order(self._balances(), self.order, self.backwards)
        return {f"{balance.species}/{balance.variety}": balance for balance in balances}

    def matching(self, rows: Mapping[str, Any], words: str) -> tuple[Mapping[str, Any], str]:
        wanted = words.casefold().split()
        kept = {name: row for name, row in rows.items() if all(word in _text(row) for word in wanted)}
        return kept, next(iter(kept), "") if wanted else ""

    def laid(self, width: int) -> tuple[Column, ...]:
        if self.page == BUNDLES:
            return bundle_columns(self.rows.values(), width)
        return balance_columns(self.rows.values(), width)

    def markable(self, identity: str) -> bool:
        del identity
        return self.page == BUNDLES

    def line(self, row: Bundle | Balance) -> Content:
        ascii_only = self.app.ascii_only
        state: BalanceState | BundleState | Asking
        if isinstance(row, Balance):
            text, state = balance_row(row, self.columns, ascii_only), balance_state(row)
        else:
            text, state = bundle_cells(row, self.columns, self.app.state.today, ascii_only), row.shown
        line = Content.styled(text, "$faint" if state in ("used up", "faded") else "")
        for column in self.columns:
            if column.name in (MARK, "state"):
                line = line.stylize(WOOD_STYLES[state], column.start, column.start + column.columns)
        return line

    def show_chosen(self) -> None:
        row, state = self.row, self.app.state
        title, lines = self._about(row, self.query_one("#life").scrollable_content_region.width)
        if row is None and not state.records.wood:
            add = self.app.keys.word("wood.add")
            lines = [f"No wood is recorded yet. Add a bundle with {add}, cut or still to come."]
        if self.marked:
            title = f"{counted(len(self.marked), 'bundle')} marked; {title}"
        self.query_one("#title", SteadyText).show(plain(title))
        self.query_one("#life_text", SteadyText).show("\n".join(lines))

    def _about(self, row: Bundle | Balance | None, width: int) -> tuple[str, list[str]]:
        """The title and the lines of what there is to know about a row."""
        state = self.app.state
        if isinstance(row, Balance):
            return f"{row.variety}, {row.species}", balance_lines(state.records, row, width)
        if row is None:
            return "", []
        lines = bundle_lines(row, state.check_wood_every_days, state.today, width)
        return f"{row.wood.variety} ({row.wood.id}), {row.wood.species}", [*lines, *self._of_variety(row, width)]

    def copied_text(self) -> str:
        title, lines = self._about(self.row, _COPY_COLUMNS)
        return "\n".join([plain(title), *lines])

    def view_name(self) -> str:
        return f"wood-{self.page.lower()}"

    def view_text(self) -> str:
        state = self.app.state
        if self.page == BALANCE:
            return balance_text(self._balances(), _COPY_COLUMNS)
        return bundles_text(state.records, state.today, state.check_wood_every_days, _COPY_COLUMNS, state.south)

    def _balances(self) -> tuple[Balance, ...]:
        state = self.app.state
        return wood_balance(state.records, state.today, barred_on(state.records, state.today, state.south))

    def _of_variety(self, bundle: Bundle, width: int) -> list[str]:
        """The balance of a bundle's variety."""
        state = self.app.state
        keys = variety_keys(state.records)
        for balance in self._balances():
            if keys.of(balance.species, balance.variety) == keys.of(bundle.wood.species, bundle.wood.variety):
                return ["", *balance_lines(state.records, balance, width)]
        return []

    def _show_warnings(self) -> None:
        state, columns = self.app.state, self.app.size.width - 2
        held = bundles(state.records, state.today, state.check_wood_every_days, state.south)
        found = wood_warnings(state.records, state.today, held)
        most = _WARNINGS_SHOWN_TALL if self.has_class("-tall") else _WARNINGS_SHOWN
        shown = [clipped(sentence, columns) for sentence in found[:most]]
        if len(found) > most:
            more = f" (and {len(found) - most} more)"
            shown[-1] = clipped(found[most - 1], columns - len(more)) + more
        total = sum(bundle.sticks for bundle in state.records.wood)
        calm = f"{counted(len(state.records.wood), 'bundle')}, {counted(total, 'stick')}: nothing presses."
        self.query_one("#warnings", Static).update("\n".join(shown) or calm)

    def bundles(self) -> tuple[Wood, ...]:
        """The marked bundles in the order of entry, or else the one under the cursor, if there is one."""
        row = self.row
        if self.marked:
            return tuple(wood for wood in self.app.state.records.wood if wood.id in self.marked)
        return () if row is None or isinstance(row, Balance) else (row.wood,)

    def can(self, action: str) -> bool:
        if action == "split":
            return len(self.bundles()) == 1
        if action == "ask":
            return bool(self.bundles()) or isinstance(self.row, Balance)
        return action not in _OF_BUNDLES or bool(self.bundles())

    def about(self, of: tuple[Wood, ...] = ()) -> str:
        """What the next act is about, in words: these bundles, or all that are chosen."""
        held = of or self.bundles()
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
            lambda texts: lambda bench, today: bench.records.entries.add("wood", texts, today),
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
            lambda texts: lambda bench, today: bench.records.entries.change("wood", ids, texts, today),
            only_changed=True,
            note=note,
        )

    def action_ask(self) -> None:
        """Note that somebody was asked: for the bundles, or for what a variety is short of."""
        row, state = self.row, self.app.state
        if (held := self._awaited()) is None:
            return
        today = field_text("asked_on", state.today)
        if isinstance(row, Balance) and not held:
            own = TreesByWord(state.records.trees)
            who = giver_before(state.records, row.species, row.variety, own)
            texts = {"variety": row.variety, "species": row.species, "sticks": str(row.missing or 1)}
            self.open_form(
                f"Ask for {self.about()}",
                self.fields(("came_from", "sticks", "asked_on"), {**texts, "came_from": who, "asked_on": today}),
                lambda new: lambda bench, day: bench.records.entries.add("wood", {**texts, **new}, day),
            )
            return
        if not held:
            return
        ids = tuple(wood.id for wood in held)
        of_one = {name: field_text(name, getattr(held[0], name)) for name in ("came_from", "sticks")}
        names = ("came_from", "sticks", "asked_on") if len(held) == 1 else ("came_from", "asked_on")
        texts = {**(of_one if len(held) == 1 else {}), "asked_on": today}
        self.open_form(
            f"Ask for {self.about(held)}",
            self.fields(names, texts),
            lambda told: lambda bench, day: bench.records.entries.asked(ids, told, day),
            note="" if len(held) == 1 else "Whom it is asked of stays in each of them where you leave it empty.",
        )

    def _awaited(self) -> tuple[Wood, ...] | None:
        """Those of the bundles that are not here yet; None where all are, which is said."""
        held = self.bundles()
        waiting = tuple(wood for wood in held if wood.cut_on is None)
        if held and not waiting:
            self.app.say("This wood is here already: nothing of it is awaited. Change it to mend what it says.")
            return None
        return waiting

    def action_answer(self) -> None:
        """Note what somebody answered; with a day of cutting it is here."""
        held = self._awaited()
        if not held:
            return
        ids = tuple(wood.id for wood in held)
        names = [name for name in ANSWER_FIELDS if len(held) == 1 or name != "sticks"]
        texts = {name: field_text(name, getattr(held[0], name)) for name in names} if len(held) == 1 else {}
        self.open_form(
            f"The answer about {self.about(held)}",
            self.fields(names, texts),
            lambda told: lambda bench, today: bench.records.entries.change("wood", ids, told, today),
            only_changed=True,
            note="Once it is here, give the day on which it was cut, or on which it came.",
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
            lambda texts: lambda bench, today: bench.records.entries.split_bundle(identity, texts, today),
            note=f"So many of its {counted(held[0].sticks, 'stick')} go into a new bundle.",
        )

    def action_remove(self) -> None:
        ids = tuple(wood.id for wood in self.bundles())
        if ids:
            self.act(lambda bench, today: bench.records.entries.remove("wood", ids, today))

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


def _text(row: Bundle | Balance) -> str:
    """What the filter looks through."""
    if isinstance(row, Balance):
        return f"{row.variety} {row.species} {balance_state(row)}".casefold()
    wood = row.wood
    words = (wood.id, wood.variety, wood.species, row.shown, wood.kept, wood.came_from, wood.promised_to, wood.note)
    return " ".join(words).casefold()
