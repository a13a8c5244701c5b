"""The bottom line: keys that a mouse can press too; the list of everything, help and leaving never leave the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import getters
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Click
from textual.widgets import Static

from tendwork.dashboard.actions import Action, key_word, run_words

_ALWAYS = ("command_palette", "help", "leave")
_GAP = 2

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard


class KeyWord(Static):
    """One key and what it does."""

    def __init__(self, action: Action) -> None:
        words = Content.assemble((key_word(action.keys[0]), "bold $accent"), f" {action.label}")
        super().__init__(words)
        self._action = action
        self.columns = words.cell_length

    async def on_click(self, event: Click) -> None:
        event.stop()
        await self.run_action(run_words(self._action))


class KeyWords(Horizontal):
    """As many words as there is room for, none of them cut."""

    def on_resize(self) -> None:
        end = 0
        for word in self.query(KeyWord):
            end += word.columns
            word.display = end <= self.size.width
            end += _GAP


class KeyLine(Horizontal):
    """The keys of one screen."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def __init__(self, here: str) -> None:
        super().__init__()
        self._here = here

    def compose(self) -> ComposeResult:
        shown = [action for action in self.app.keys.actions if self._here in action.shown]
        with KeyWords():
            yield from (KeyWord(action) for action in shown if action.name not in _ALWAYS)
        yield from (KeyWord(action) for action in shown if action.name in _ALWAYS)
