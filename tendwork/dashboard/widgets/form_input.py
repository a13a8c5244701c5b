"""One line of a form: what it is called, and a place to write in that offers words and days."""

from __future__ import annotations

from datetime import date, timedelta

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal
from textual.events import Click
from textual.message import Message
from textual.suggester import SuggestFromList
from textual.widgets import Input, Static

from tendwork.orchard.rough_dates import day_written
from tendwork.view.form_words import DAYS, FormField, completed, field_help
from tendwork.view.text import plain


class FormInput(Input):
    """Enter takes the word that is offered and goes on; up and down go through the words, or through days."""

    BINDINGS = [
        Binding("up", "step(-1)", show=False),
        Binding("down", "step(1)", show=False),
    ]

    class Done(Message):
        """The person is done with this line."""

    def __init__(self, field: FormField, today: date) -> None:
        super().__init__(
            field.text,
            placeholder=field.hint,
            compact=True,
            id=field.name,
            suggester=SuggestFromList(field.choices, case_sensitive=False) if field.choices else None,
        )
        self._today = today
        self.choices = field.choices
        self._hint = field.hint
        self._kind = field.kind

    @property
    def help_words(self) -> str:
        """What this line is for, how it is written, and which words it offers."""
        return field_help(self.id or "", self._hint, self.choices, self._kind)

    @property
    def text(self) -> str:
        """What was written, with the word that it is the beginning of."""
        return completed(self.value, self.choices)

    def offer(self, choices: tuple[str, ...]) -> None:
        """Offer other words."""
        self.choices = choices
        self.suggester = SuggestFromList(choices, case_sensitive=False)

    def action_step(self, step: int) -> None:
        """The next word that is offered, or the next day; where neither is, go to the next line."""
        if self.choices:
            held = self.text.strip()
            at = self.choices.index(held) + step if held in self.choices else 0 if step > 0 else -1
            self.value = self.choices[at % len(self.choices)]
            self.cursor_position = len(self.value)
        elif self.id in DAYS:
            self.value = self._day(step).isoformat()
            self.cursor_position = len(self.value)
        elif step > 0:
            self.screen.focus_next(FormInput)
        else:
            self.screen.focus_previous(FormInput)

    async def action_submit(self) -> None:
        """Take the word and go on."""
        self.value = self.text
        self.post_message(self.Done())

    def _day(self, step: int) -> date:
        """One day later for up, as in every place where a day is written; today where there is none."""
        try:
            return day_written(self.value) - timedelta(days=step)
        except ValueError:
            return self._today


class FormLabel(Static):
    """The name of a line; pressed, it goes there, and pressed again to the next word offered or to an earlier day."""

    def __init__(self, field: FormField) -> None:
        super().__init__(plain(field.label), markup=False, classes="label")
        self._name = field.name

    def on_click(self, event: Click) -> None:
        event.stop()
        held = self.screen.query_one(f"#{self._name}", FormInput)
        if held.has_focus and (held.choices or held.id in DAYS):
            held.action_step(1)
        held.focus()


class FormLine(Horizontal):
    """The name and the place to write."""

    def __init__(self, field: FormField, today: date) -> None:
        super().__init__(classes="line")
        self._field = field
        self._today = today

    def compose(self) -> ComposeResult:
        yield FormLabel(self._field)
        yield FormInput(self._field, self._today)
