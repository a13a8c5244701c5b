"""How many new grafts at most, and how many hours of grafting: a small form whose empty lines are no limit."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.widgets import Static

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.form_input import FormInput, FormLine
from tendwork.errors import PersonError
from tendwork.view.choosing_words import limits_read, limits_texts
from tendwork.view.form_words import FormField
from tendwork.view.text import plain

Limits = tuple[int | None, float | None]
_FIELDS = (("new", "new grafts", "at most so many; empty: no limit"), ("hours", "hours", "3 or 2.5; empty: no limit"))


class GraftLimitsScreen(Dialog[Limits | None]):
    """Enter goes on, and on the last line takes the limits; escape leaves them as they were."""

    CSS_PATH = ["dialog.tcss", "form.tcss", "graft_limits.tcss"]
    BINDINGS = [Binding("escape", "dismiss(None)", show=False)]

    def __init__(self, new: int | None, hours: float | None) -> None:
        super().__init__()
        self._texts = limits_texts(new, hours)

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static("At most so much grafting", classes="heading", markup=False)
            with VerticalScroll(id="lines", can_focus=False):
                for name, label, words in _FIELDS:
                    yield FormLine(FormField(name, label, self._texts[name], hint=words), self.app.state.today)
            yield Static(id="fault", markup=False)
            yield Static("Hours count what is planned already, and setting up at each tree.", classes="about")
            yield hint(self.save_word("take"), leave_word(), also="enter goes on")

    def on_mount(self) -> None:
        self.query_one("#new", FormInput).focus()

    def on_form_input_done(self, event: FormInput.Done) -> None:
        event.stop()
        if self.query_one("#new", FormInput).has_focus:
            self.query_one("#hours", FormInput).focus()
        else:
            self.action_save()

    def action_save(self) -> None:
        """Take the limits as they are written."""
        try:
            limits = limits_read(*(self.query_one(f"#{name}", FormInput).text for name, _, _ in _FIELDS))
        except PersonError as error:
            self.query_one("#fault", Static).update(plain(str(error)))
        else:
            self.dismiss(limits)
