"""Asked before leaving with unsaved changes (save them, drop them, or stay), and before a save that takes jobs away."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose

SAVE, DROP, STAY = "save", "drop", "stay"
_CHOICES = ((SAVE, "save them, then leave"), (DROP, "leave without them"), (STAY, "stay, and look at them"))


_LOSING = ((SAVE, "save it all the same"), (STAY, "do not save it"))


class LeavingScreen(Dialog[str]):
    """Enter takes a choice, escape stays."""

    CSS_PATH = ["dialog.tcss", "templates_leaving.tcss"]
    BINDINGS = [Binding("escape", f"dismiss('{STAY}')", show=False)]

    def __init__(self, unsaved: str) -> None:
        super().__init__()
        self._unsaved = unsaved

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static("There are unsaved changes", classes="heading", markup=False)
            yield Static(f"Changed: {self._unsaved}. Nothing of it is kept yet.", markup=False)
            options = (Option(Content(f" {words}"), choice) for choice, words in _CHOICES)
            yield LinesToChoose(*options, markup=False, compact=True, id="choices")
            yield hint(leave_word(f"'{STAY}'", "stay"), also="enter or a press takes it")

    def on_mount(self) -> None:
        self.query_one("#choices").focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(str(event.option_id))


class LosingScreen(Dialog[str]):
    """Enter takes a choice, escape saves nothing."""

    CSS_PATH = ["dialog.tcss", "templates_leaving.tcss"]
    BINDINGS = [Binding("escape", f"dismiss('{STAY}')", show=False)]

    def __init__(self, lost: str) -> None:
        super().__init__()
        self._lost = lost

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static("Jobs would be gone", classes="heading", markup=False)
            yield Static(self._lost, markup=False)
            options = (Option(Content(f" {words}"), choice) for choice, words in _LOSING)
            yield LinesToChoose(*options, markup=False, compact=True, id="choices")
            yield hint(leave_word(f"'{STAY}'", "cancel"), also="enter or a press takes it")

    def on_mount(self) -> None:
        choices = self.query_one("#choices", LinesToChoose)
        choices.highlighted = 1
        choices.focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(str(event.option_id))
