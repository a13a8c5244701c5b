"""Grafting day: one graft after the other on one tree, made for one hand on a small screen.

Each graft is on the disk as soon as it is set, so that a connection which breaks costs nothing.
"""

from __future__ import annotations

from collections.abc import Coroutine

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.events import DescendantFocus
from textual.widgets import Input, Static

from tendwork.dashboard.actions import FORM, GRAFTING_DAY, bindings
from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.form_input import FormInput, FormLine
from tendwork.dashboard.widgets.press_line import key_and_words
from tendwork.errors import PersonError
from tendwork.orchard.records import Tree
from tendwork.orchard.series import planned_for, species_to_set
from tendwork.orchard.take_rates import Trial, trials
from tendwork.view.form_words import PLACE, form_field
from tendwork.view.grafting_words import (
    ALWAYS_NEW,
    SERIES,
    following_variety,
    planned_texts,
    rates_words,
    series_varieties,
    series_wood,
    series_words,
)
from tendwork.view.text import plain


class GraftingDayScreen(Dialog[None]):
    """Enter goes on and sets the graft on the last line; from the second graft on it asks only for what is new."""

    CSS_PATH = ["dialog.tcss", "form.tcss", "grafting_day.tcss"]
    BINDINGS = [
        Binding("escape", "dismiss", show=False),
        *bindings(GRAFTING_DAY),
    ]

    PLACES = (FORM, GRAFTING_DAY)

    def __init__(self, tree: str) -> None:
        super().__init__()
        self._tree_id = tree
        self._set = 0
        self._last: dict[str, str] = {}
        self._tried: tuple[Trial, ...] = ()
        self._busy = False
        self._warned: tuple[str, dict[str, str]] = ("", {})

    def compose(self) -> ComposeResult:
        state = self.app.state
        with Vertical(classes="dialog"):
            yield Static(plain(f"Grafting day on {self._tree.name}"), classes="heading", markup=False)
            yield Static(id="so_far", markup=False)
            with VerticalScroll(id="lines", can_focus=False):
                for name in SERIES:
                    yield FormLine(form_field(name, state.records, "", state.units), state.today)
            yield Static(id="fault", markup=False)
            yield Static(id="wood_words", markup=False)
            yield Static(id="rates", markup=False)
            back = key_and_words(self.app.keys.word("grafting_day.take_back"), "back", "screen.take_back")
            yield hint(self.save_word("set it"), back, leave_word(words="end"))

    def on_mount(self) -> None:
        self._tried = trials(self.app.state.records)
        varieties = series_varieties(self.app.state.records, self._tree, self.app.state.today, self.app.state.south)
        self._line("variety").offer(varieties)
        self._line("variety").value = varieties[0] if varieties else ""
        self._line("variety").focus()
        self._say_so_far("Enter goes on; on the last line it sets the graft.")

    def on_input_changed(self, event: Input.Changed) -> None:
        if event.input.id == "variety":
            self._fill()
        self._say_wood()

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        texts = self._texts
        species = species_to_set(self.app.state.records, self._tree, texts["variety"], texts["wood"])
        words = rates_words(self._tried, species, event.widget.id or "")
        self.query_one("#rates", Static).update(words)

    def on_form_input_done(self, event: FormInput.Done) -> None:
        event.stop()
        asked = ALWAYS_NEW if self._set else SERIES
        here = next(name for name in SERIES if self._line(name).has_focus)
        following = [name for name in asked if SERIES.index(name) > SERIES.index(here)]
        if following:
            self._line(following[0]).focus()
        else:
            self.action_save()

    def action_save(self) -> None:
        """Set the graft as it is written."""
        self._once(self._set_graft())

    def action_take_back(self) -> None:
        """Take the last graft of this series back."""
        self._once(self._take_back())

    @property
    def _tree(self) -> Tree:
        return next(tree for tree in self.app.state.records.trees if tree.id == self._tree_id)

    @property
    def _texts(self) -> dict[str, str]:
        return {name: self._line(name).text for name in SERIES}

    def _line(self, name: str) -> FormInput:
        return self.query_one(f"#{name}", FormInput)

    def _once(self, call: Coroutine[None, None, None]) -> None:
        """Do it unless something is being done, so that a key pressed twice sets one graft."""
        if self._busy:
            call.close()
            return
        self._busy = True
        self.run_worker(self._finish(call), exit_on_error=False)

    async def _finish(self, call: Coroutine[None, None, None]) -> None:
        try:
            await call
        finally:
            self._busy = False

    async def _set_graft(self) -> None:
        """Set it; where something speaks against it, only once the person has read that and saves it again."""
        texts, tree = self._texts, self._tree_id
        against = await self._against(tree, texts)
        if against and (against, texts) != self._warned:
            self._warned = (against, texts)
            self.query_one("#fault", Static).update(plain(f"{against} Save again if it is done all the same."))
            return
        fault = await self.app.attempt(
            lambda bench, today: bench.records.entries.set_grafts(tree, (texts,), today, bool(against))
        )
        self.query_one("#fault", Static).update(plain(fault))
        if fault:
            return
        self._set += 1
        self._last = {name: text for name, text in texts.items() if name not in (*PLACE, "wood")}
        for name in (*PLACE, "wood"):
            self._line(name).value = ""
        self._say_so_far(self.app.notice.text)
        self._offer_again()

    async def _against(self, tree: str, texts: dict[str, str]) -> str:
        try:
            return await self.app.ask(lambda bench, today: bench.records.entries.against_setting(tree, (texts,), today))
        except PersonError:  # setting it says what is wrong
            return ""

    async def _take_back(self) -> None:
        if not self._set:
            self._say_so_far("No graft of this series is set yet.")
            return
        fault = await self.app.attempt(lambda bench, today: bench.records.undo(today))
        self.query_one("#fault", Static).update(plain(fault))
        if not fault:
            self._set -= 1
            self._say_so_far(self.app.notice.text)
            self._offer_again()

    def _offer_again(self) -> None:
        """What the records offer has changed with them."""
        state = self.app.state
        self._tried = trials(state.records)
        line = self._line("variety")
        varieties = series_varieties(state.records, self._tree, state.today, state.south)
        line.offer(varieties)
        line.value = following_variety(state.records, self._tree, line.text)
        self._fill()
        self._say_wood()
        self._line("variety").focus()

    def _fill(self) -> None:
        """The last values, and over them what is planned for the variety that is written."""
        state, tree = self.app.state, self._tree
        variety = self._line("variety").text
        self._line("wood").offer(series_wood(state.records, tree, variety, state.today, state.south))
        planned = planned_for(state.records, tree, variety)
        texts = self._last | ({} if planned is None else planned_texts(planned, state.units))
        for name in SERIES:
            if name != "variety" and (name in texts or name in (*PLACE, "wood")):
                self._line(name).value = texts.get(name, "")

    def _say_wood(self) -> None:
        state = self.app.state
        words = series_words(state.records, self._tree, self._texts, state.today, state.south)
        self.query_one("#wood_words", Static).update(words)

    def _say_so_far(self, words: str) -> None:
        self.query_one("#so_far", Static).update(plain(f"{self._set} set. {words}" if self._set else words))
