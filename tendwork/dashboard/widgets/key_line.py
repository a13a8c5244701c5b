"""The bottom line: keys that a mouse can press too; the list of everything, help and leaving never leave the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.content import Content

from tendwork.dashboard.widgets.press_line import GAP_COLUMNS, PressLine, Word, word_of

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard

_ALWAYS = ("command_palette", "help", "leave")


class KeyLine(PressLine):
    """The keys of one screen: as many as there is room for, none of them cut, and at the end those that always stay."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def __init__(self, here: str) -> None:
        super().__init__()
        self._here = here
        self._keys: tuple[Word, ...] = ()

    def on_mount(self) -> None:
        shown = [action for action in self.app.keys.actions if self._here in action.shown]
        self._keys = tuple(word_of(action) for action in shown if action.name not in _ALWAYS)
        self.words = tuple(word_of(action) for action in shown if action.name in _ALWAYS)

    def lead(self, columns: int) -> Content:
        """The first keys that fit whole."""
        end, fitting = 0, []
        for word in self._keys:
            end += word.shown.cell_length
            if end > columns:
                break
            fitting.append(word)
            end += GAP_COLUMNS
        return self.joined(fitting)
