"""A bud stage that was seen: which species, which stage, on which day."""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from tendwork.almanac.results import SpeciesStages
from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.theme import STAGE_STYLES
from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose
from tendwork.dashboard.widgets.press_line import PressLine, key_and_words
from tendwork.errors import PersonError
from tendwork.orchard.rough_dates import day_written
from tendwork.view.symbols import stage_symbol
from tendwork.view.text import padded, plain
from tendwork.view.words import full_day, short_day


class Seen(Struct, frozen=True):
    """What the person saw, and when."""

    species: str
    stage: str
    day: date


class DayInput(Input):
    """A date; the up and down keys go a day on and back."""

    BINDINGS = [Binding("up", "move(1)", show=False), Binding("down", "move(-1)", show=False)]

    def action_move(self, days: int) -> None:
        """Go so many days on."""
        day = _day_meant(self.value)
        if day is not None:
            self.value = (day + timedelta(days=days)).isoformat()


def _day_meant(text: str) -> date | None:
    """The day that `text` is, or None."""
    try:
        return day_written(text)
    except ValueError:
        return None


class SawScreen(Dialog[Seen | None]):
    """Enter goes from the species to its stages, and saves the stage on the day written below.

    What contradicts the almanac or another sighting is said first; enter again saves it all the same.
    """

    BINDINGS = [Binding("escape", "dismiss(None)", show=False)]

    def __init__(self, held: tuple[SpeciesStages, ...], today: date, ascii_only: bool) -> None:
        super().__init__()
        self._held = held
        self._today = today
        self._ascii_only = ascii_only
        self._doubted: Seen | None = None

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static("Which buds did you see?", classes="heading", markup=False)
            with Horizontal(id="pick"):
                species = [Option(f" {held.species}", held.species) for held in self._held]
                yield LinesToChoose(*species, markup=False, compact=True, id="species")
                yield LinesToChoose(markup=False, compact=True, id="stages")
            with Horizontal(id="when"):
                yield Static("seen on ", markup=False)
                yield DayInput(self._today.isoformat(), id="seen_on", compact=True)
                earlier = key_and_words("<", "earlier", "screen.move(-1)")
                yield PressLine((earlier, key_and_words(">", "later", "screen.move(1)")))
                yield Static(id="seen_on_words", markup=False)
            yield Static(id="doubt", markup=False)
            yield hint(leave_word(words="cancel"), also="enter saves the stage; tab to the day")

    def on_mount(self) -> None:
        self.query_one("#species").focus()
        self._show_stages(0)
        self._say_day()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        if event.option_list.id == "species":
            self._show_stages(event.option_index)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        if event.option_list.id == "species":
            self.query_one("#stages").focus()
        else:
            self._take()

    def on_input_changed(self) -> None:
        self._say_day()

    def on_input_submitted(self) -> None:
        self._take()

    def action_move(self, days: int) -> None:
        """Go so many days on, for who has only a mouse."""
        self.query_one("#seen_on", DayInput).action_move(days)

    def _show_stages(self, index: int) -> None:
        stages = self.query_one("#stages", OptionList)
        rows = self._held[index].stages
        stages.set_options(
            Option(
                Content.assemble(
                    " ",
                    (stage_symbol(row.state, self._ascii_only), STAGE_STYLES[row.state]),
                    f" {padded(row.stage, 16)}",
                    ("" if row.date is None else short_day(row.date, self._today), "$faint"),
                ),
                row.stage,
            )
            for row in rows
        )
        coming = [at for at, row in enumerate(rows) if row.state == "predicted"]
        stages.highlighted = coming[0] if coming else len(rows) - 1

    def _say_day(self) -> None:
        day = _day_meant(self.query_one("#seen_on", Input).value)
        if day is None:
            words = "write it as 2026-04-12"
        elif day > self._today:
            words = "that day is still to come"
        else:
            words = full_day(day)
        self.query_one("#seen_on_words", Static).update(words)

    def _take(self) -> None:
        day = _day_meant(self.query_one("#seen_on", Input).value)
        species = self.query_one("#species", OptionList).highlighted_option
        stage = self.query_one("#stages", OptionList).highlighted_option
        if day is None or day > self._today or species is None or stage is None:
            self.query_one("#seen_on").focus()
            return
        self.run_worker(self._ask(Seen(str(species.id), str(stage.id), day)), exclusive=True, exit_on_error=False)

    async def _ask(self, seen: Seen) -> None:
        """Save it, unless there is something against it that the person has not read yet."""
        doubt = ""
        if seen != self._doubted:
            try:
                doubt = await self.app.ask(
                    lambda bench, today: bench.records.doubt(seen.species, seen.stage, seen.day, today)
                )
            except PersonError:  # saving it says what is wrong
                doubt = ""
        if doubt:
            self._doubted = seen
            self.query_one("#doubt", Static).update(f"{plain(doubt)} Enter again if you are sure of it.")
        else:
            self.dismiss(seen)
