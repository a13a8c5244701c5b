"""A form over the screen: what is written stays until the records have taken it, or the person leaves it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.events import DescendantFocus
from textual.widgets import Static

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.form_input import FormInput, FormLine
from tendwork.view.form_words import FormField
from tendwork.view.text import plain

if TYPE_CHECKING:
    from tendwork.dashboard.app import WorkbenchCall


_LABEL_COLUMNS = 12  # as form.tcss has it


class FormScreen(Dialog[bool]):
    """Enter goes from line to line and saves on the last one. Gives whether something was recorded.

    `call` makes of the texts, by field name, what is to be done; with `only_changed` it gets those that are new.
    `mind` makes of them what the person should know before saving; it stands below the lines, and refuses nothing.
    """

    CSS_PATH = ["dialog.tcss", "form.tcss"]
    BINDINGS = [
        Binding("escape", "dismiss(False)", show=False),
    ]

    def __init__(
        self,
        title: str,
        fields: Sequence[FormField],
        call: Callable[[dict[str, str]], WorkbenchCall],
        only_changed: bool = False,
        note: str = "",
        first: str = "",
        mind: Callable[[dict[str, str]], str] | None = None,
    ) -> None:
        super().__init__()
        self._mind = mind
        self._title = title
        self._fields = tuple(fields)
        self._call = call
        self._only_changed = only_changed
        self._note = note
        self._first = first
        self._saving = False

    def compose(self) -> ComposeResult:
        today = self.app.state.today
        with Vertical(classes="dialog"):
            yield Static(plain(self._title), classes="heading", markup=False)
            with VerticalScroll(id="lines", can_focus=False):
                yield from (FormLine(field, today) for field in self._fields)
            yield Static(id="about_line", markup=False)
            yield Static(id="mind", markup=False)
            yield Static(id="fault", markup=False)
            yield Static(plain(self._note), id="form_note", markup=False)
            yield hint(self.save_word("save"), leave_word("False"), also="enter goes on, arrows offer words")

    def on_mount(self) -> None:
        self.set_class(any(len(field.label) >= _LABEL_COLUMNS for field in self._fields), "-long-labels")
        self.query_one("#form_note").display = bool(self._note)
        self.query_one("#mind").display = False
        first = next((field.name for field in self._fields if field.name != "id"), self._fields[0].name)
        self.query_one(f"#{self._first or first}", FormInput).focus()

    def on_descendant_focus(self, event: DescendantFocus) -> None:
        if isinstance(event.widget, FormInput):
            self.query_one("#about_line", Static).update(plain(event.widget.help_words))
            self._show_mind()

    def on_form_input_done(self, event: FormInput.Done) -> None:
        lines = list(self.query(FormInput))
        at = next(place for place, line in enumerate(lines) if line.has_focus)
        event.stop()
        if at + 1 < len(lines):
            lines[at + 1].focus()
        else:
            self.action_save()

    def action_save(self) -> None:
        """Hand in what is written, once however often it is asked for."""
        if not self._saving:
            self._saving = True
            self.run_worker(self._save(), exit_on_error=False)

    def _texts(self) -> dict[str, str]:
        return {field.name: self.query_one(f"#{field.name}", FormInput).text for field in self._fields}

    def _show_mind(self) -> None:
        words = "" if self._mind is None else self._mind(self._texts())
        self.query_one("#mind", Static).update(plain(words))
        self.query_one("#mind").display = bool(words)

    async def _save(self) -> None:
        before = {field.name: field.text for field in self._fields}
        texts = self._texts()
        if self._only_changed:
            texts = {name: text for name, text in texts.items() if text.strip() != before[name]}
            if not texts:
                self.dismiss(False)
                return
        fault = await self.app.attempt(self._call(texts))
        self._saving = False
        if fault:
            self.query_one("#fault", Static).update(plain(fault))
        else:
            self.dismiss(True)
