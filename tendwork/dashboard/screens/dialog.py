"""What stands over a screen: help on a key, and at its bottom the words that do what the keys do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Generic

from textual.containers import Horizontal
from textual.screen import ModalScreen, ScreenResultType
from textual.widgets import Static

from tendwork.dashboard.actions import FORM, bindings
from tendwork.dashboard.widgets.form_input import FormInput
from tendwork.dashboard.widgets.press_line import PressLine, Word, key_and_words

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard


class Dialog(ModalScreen[ScreenResultType], Generic[ScreenResultType]):
    """Whoever is made from it binds escape, and says in its hint how a mouse leaves it."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    CSS_PATH = ["dialog.tcss"]
    BINDINGS = [*bindings(FORM)]
    PLACES: tuple[str, ...] = (FORM,)
    """The places of the action table whose keys work here."""

    def action_help(self) -> None:
        focused = self.focused
        self.app.show_help("form.help", self.PLACES, focused.help_words if isinstance(focused, FormInput) else "")

    def action_save(self) -> None:
        """Most dialogs are done with another key."""

    def save_word(self, words: str) -> Word:
        """The key that saves, and what that is here."""
        return key_and_words(self.app.keys.word("form.save"), words, "screen.save")


def leave_word(result: str = "None", words: str = "leave") -> Word:
    """The word that leaves a dialog with a result, as escape does."""
    return key_and_words("escape", words, f"screen.dismiss({result})")


def hint(*words: Word, also: str = "") -> Horizontal:
    """The last line of a dialog: words to press, and what else there is to know."""
    return Horizontal(PressLine(words), *([Static(also, markup=False, classes="also")] if also else []), classes="hint")
