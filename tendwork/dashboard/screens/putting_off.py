"""To which day: a pick of the days to which jobs can be left, or for which they can be planned."""

from __future__ import annotations

from datetime import date

from msgspec import Struct
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.lines_to_choose import ChoosingList
from tendwork.dashboard.widgets.press_line import key_and_words
from tendwork.view.putting_off import DayChoice
from tendwork.view.text import padded

_NAME_COLUMNS = 12


class Put(Struct, frozen=True):
    """The day that was chosen; `fixed` for just that day, else for it or any later one."""

    day: date
    fixed: bool


class PuttingOffScreen(Dialog[Put | None]):
    """Enter leaves the jobs until the day, f plans them for just that day, escape leaves all as it was."""

    BINDINGS = [Binding("escape", "dismiss(None)", show=False), Binding("f", "fix", show=False)]

    def __init__(self, title: str, choices: tuple[DayChoice, ...]) -> None:
        super().__init__()
        self._title = title
        self._choices = choices

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="heading", markup=False)
            yield ChoosingList(*map(_option, self._choices), markup=False, compact=True, id="days")
            yield hint(key_and_words("enter", "not before this day", "screen.leave"))
            yield hint(key_and_words("f", "on just this day", "screen.fix"))
            yield hint(leave_word(words="leave it as it is"))

    def on_mount(self) -> None:
        days = self.query_one("#days", OptionList)
        days.highlighted = min(1, len(self._choices) - 1)  # most often it is to be tomorrow
        days.focus()

    def on_option_list_option_selected(self) -> None:
        self.action_leave()

    def action_leave(self) -> None:
        self._take(fixed=False)

    def action_fix(self) -> None:
        self._take(fixed=True)

    def _take(self, fixed: bool) -> None:
        chosen = self.query_one("#days", OptionList).highlighted
        if chosen is not None:
            self.dismiss(Put(self._choices[chosen].day, fixed))


def _option(choice: DayChoice) -> Option:
    return Option(
        Content.assemble(
            f" {padded(choice.name, _NAME_COLUMNS)}", (choice.said, "$closing" if choice.hinders else "$faint")
        )
    )
