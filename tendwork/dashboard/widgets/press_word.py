"""A key and what it does, as words that a mouse can press."""

from __future__ import annotations

from textual.content import Content
from textual.events import Click
from textual.widgets import Static


class PressWord(Static):
    """Pressed, it does what its key does."""

    def __init__(self, key: str, words: str, action: str) -> None:
        super().__init__(Content.assemble((key, "bold $accent"), f" {words}"), classes="press")
        self._action = action

    async def on_click(self, event: Click) -> None:
        event.stop()
        await self.run_action(self._action)
