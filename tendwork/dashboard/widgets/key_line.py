"""The bottom line: keys that a mouse can press too; the list of everything, help and leaving never leave the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import getters
from textual.content import Content

from tendwork.dashboard.widgets.press_line import GAP_COLUMNS, PressLine, Word, word_of

_ALWAYS = ("command_palette", "help", "leave")

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard


class KeyLine(PressLine):
    """The keys of one screen: as many as there is room for, none of them cut, and at the end those that always stay."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def __init__(self, here: str) -> None:
        super().__init__()
        self._here = here
        self._always: tuple[Word, ...] = ()

    def on_mount(self) -> None:
        shown = [action for action in self.app.keys.actions if self._here in action.shown]
        self._always = tuple(word_of(action) for action in shown if action.name in _ALWAYS)
        self.show(word_of(action) for action in shown if action.name not in _ALWAYS)

    def on_resize(self) -> None:
        self.update(self.line(), layout=False)

    def line(self) -> Content:
        always = self.joined(self._always)
        room = max(self.content_size.width - always.cell_length, 0)
        fitting = self.joined(self.fitting(room - GAP_COLUMNS))
        return Content.assemble(fitting, " " * max(room - fitting.cell_length, 0), always)

    def fitting(self, columns: int) -> list[Word]:
        """The first words that fit whole into so many columns."""
        end, fitting = 0, []
        for word in self.words:
            end += word.shown.cell_length
            if end > columns:
                break
            fitting.append(word)
            end += GAP_COLUMNS
        return fitting
