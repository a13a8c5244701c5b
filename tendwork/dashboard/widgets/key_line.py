"""The bottom line: at most seven keys, each of which a mouse can press too; help and leaving never leave the screen."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.content import Content
from textual.events import Click
from textual.widgets import Static

from tendwork.dashboard.actions import ACTIONS, EVERYWHERE, Action, key_words

_ALWAYS = ("help", "leave")


class KeyWord(Static):
    """One key and what it does."""

    def __init__(self, action: Action) -> None:
        key = key_words(action).split(",")[0]
        super().__init__(Content.assemble((key, "bold $accent"), f" {action.label}"))
        self._action = action

    async def on_click(self, event: Click) -> None:
        event.stop()
        place = "app" if self._action.on == EVERYWHERE else "screen"
        await self.run_action(f"{place}.{self._action.id}")


class KeyLine(Horizontal):
    """The keys of one screen."""

    def __init__(self, here: str) -> None:
        super().__init__()
        self._here = here

    def compose(self) -> ComposeResult:
        shown = [action for action in ACTIONS if self._here in action.shown]
        with Horizontal():
            yield from (KeyWord(action) for action in shown if action.id not in _ALWAYS)
        yield from (KeyWord(action) for action in shown if action.id in _ALWAYS)
