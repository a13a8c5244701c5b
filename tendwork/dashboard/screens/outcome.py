"""How it went: a small pick of the job's own outcomes, with room for a note and, of one job, for its minutes."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.events import Key
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose
from tendwork.errors import PersonError
from tendwork.orchard.outcomes import SKIPPED
from tendwork.planning.minutes_given import minutes_read, share_of_minutes
from tendwork.view.text import plain

_LABELS_SHOWN = 4


class Outcome(Struct, frozen=True):
    """The chosen word, the note, and how many minutes it took, None where nobody said."""

    word: str
    note: str = ""
    minutes: float | None = None


class OutcomeScreen(Dialog[Outcome | None]):
    """Enter or a number takes an outcome, tab goes to the note, escape leaves all as it was."""

    BINDINGS = [Binding("escape", "dismiss(None)", show=False)]

    def __init__(self, title: str, labels: Sequence[str], outcomes: tuple[str, ...], timed: bool = False) -> None:
        """With `timed` there is a line for the minutes that it took."""
        super().__init__()
        self._timed = timed
        self._title = title
        more = len(labels) - _LABELS_SHOWN
        self._about = ", ".join(labels[:_LABELS_SHOWN]) + (f" and {more} more" if more > 0 else "")
        self._outcomes = tuple(dict.fromkeys((*outcomes, SKIPPED)))

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(self._title, classes="heading", markup=False)
            yield Static(self._about, markup=False)
            yield LinesToChoose(*self._options(), markup=False, compact=True, id="outcomes")
            yield Input(placeholder="a note, if you like", id="note", compact=True)
            if self._timed:
                yield Input(placeholder="minutes it took, if you like", id="minutes", compact=True)
                yield Static(id="fault", markup=False)
            more = "the note and the minutes" if self._timed else "the note"
            yield hint(leave_word(), also=f"a number or enter takes it; tab to {more}")

    def on_mount(self) -> None:
        self.query_one("#outcomes").focus()

    def on_key(self, event: Key) -> None:
        """A number takes the outcome that it stands before, unless it is being written into a line."""
        key = event.key
        if key.isdecimal() and 1 <= int(key) <= len(self._outcomes) and not isinstance(self.focused, Input):
            event.stop()
            self._take(int(key) - 1)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self._take(event.option_index)

    def on_input_submitted(self) -> None:
        outcomes = self.query_one("#outcomes", OptionList)
        if outcomes.highlighted is None:  # none is taken for the person
            outcomes.focus()
        else:
            self._take(outcomes.highlighted)

    def _take(self, index: int) -> None:
        word, note = self._outcomes[index], self.query_one("#note", Input).value.strip()
        try:
            minutes = minutes_read(self.query_one("#minutes", Input).value) if self._timed else None
            share_of_minutes(minutes, 1, word)
        except PersonError as fault:
            self.query_one("#fault", Static).update(plain(str(fault)))
            self.query_one("#minutes").focus()
            return
        self.dismiss(Outcome(word, note, minutes))

    def _options(self) -> list[Option]:
        return [
            Option(Content.assemble((f" {number} ", "$faint"), plain(word)))
            for number, word in enumerate(self._outcomes, 1)
        ]
