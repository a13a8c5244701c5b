"""Asked before leaving with unsaved changes (save them, drop them, or stay), and before a save that takes jobs away."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from tendwork.dashboard.screens.dialog import Dialog, hint, leave_word
from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose

SAVE, DROP, STAY = "save", "drop", "stay"


class ChangesDialog(Dialog[str]):
    """Says what is at stake. Enter takes a choice, escape changes nothing."""

    CSS_PATH = ["dialog.tcss", "templates_leaving.tcss"]
    BINDINGS = [Binding("escape", f"dismiss('{STAY}')", show=False)]
    HEADING: ClassVar[str]
    CHOICES: ClassVar[tuple[tuple[str, str], ...]]
    FIRST: ClassVar[str] = SAVE
    """The choice that enter takes at once."""
    LEAVE: ClassVar[str]
    """The word for what escape does."""

    def __init__(self, said: str) -> None:
        super().__init__()
        self._said = said

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(self.HEADING, classes="heading", markup=False)
            yield Static(self._said, markup=False)
            options = (Option(Content(f" {words}"), choice) for choice, words in self.CHOICES)
            yield LinesToChoose(*options, markup=False, compact=True, id="choices")
            yield hint(leave_word(f"'{STAY}'", self.LEAVE), also="enter or a press takes it")

    def on_mount(self) -> None:
        choices = self.query_one("#choices", LinesToChoose)
        choices.highlighted = choices.get_option_index(self.FIRST)
        choices.focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(str(event.option_id))


class LeavingScreen(ChangesDialog):
    """Before leaving with changes that are not saved; `unsaved` names them."""

    HEADING = "There are unsaved changes"
    CHOICES = ((SAVE, "save them, then leave"), (DROP, "leave without them"), (STAY, "stay, and look at them"))
    LEAVE = "stay"

    def __init__(self, unsaved: str) -> None:
        super().__init__(f"Changed: {unsaved}. Nothing of it is kept yet.")


class LosingScreen(ChangesDialog):
    """Before a save that takes jobs away, which is said in a sentence."""

    HEADING = "Jobs would be gone"
    CHOICES = ((SAVE, "save it all the same"), (STAY, "do not save it"))
    FIRST = STAY
    LEAVE = "cancel"
