"""The top of every screen: the day, the place, and the names of the screens, which a mouse can press."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content
from textual.events import Resize

from tendwork.dashboard.actions import EVERYWHERE, SCREENS, key_word, run_words
from tendwork.dashboard.state import State
from tendwork.dashboard.widgets.press_line import PressLine, Word
from tendwork.view.text import display_width, plain
from tendwork.view.words import full_day

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard

_PLACE_COLUMNS = 16  # where less is left for the place, the other screens keep their numbers alone


class TopLine(PressLine):
    """`here` is the name of the screen it stands on."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def __init__(self, here: str) -> None:
        super().__init__(gap=0)
        self._here = here
        self._state: State | None = None

    def show_state(self, state: State) -> None:
        """The day and the place of `state`; where the place stands on earth only if there is room."""
        self._state = state
        self._show()

    def on_resize(self, _: Resize) -> None:
        self._show()

    def _show(self) -> None:
        if self._state is None or not self.content_size:
            return
        columns, names = self.content_size.width, self._screen_names(whole=True)
        day, place = full_day(self._state.today), plain(self._state.site_name)
        if columns - _width(names) < display_width(day) + 2 + min(display_width(place), _PLACE_COLUMNS):
            names = self._screen_names(whole=False)
        words = Content.assemble((day, "bold"), "  ", place)
        whole = Content.assemble(words, "  ", (self._state.place, "$faint"))
        self.show(names, whole if whole.cell_length + _width(names) <= columns else words)

    def _screen_names(self, whole: bool) -> list[Word]:
        """The screens with their keys; unless they are to be `whole`, the others by their keys alone."""
        words = []
        for name in SCREENS:
            action, here = self.app.keys.action(f"{EVERYWHERE}.{name}"), name == self._here
            label = action.label if whole else f"{action.label} " if here else ""
            shown = Content.assemble(
                (f" {key_word(action.keys[0])} ", "$faint"), (label, "bold $blossom" if here else "$faint")
            )
            words.append(Word(shown, run_words(action)))
        return words


def _width(words: list[Word]) -> int:
    return sum(word.shown.cell_length for word in words)
