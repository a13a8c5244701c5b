"""The keys of the field under the cursor as words that a mouse can press."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import getters
from textual.app import ComposeResult
from textual.containers import Horizontal

from tendwork.dashboard.actions import TEMPLATES
from tendwork.dashboard.widgets.key_line import KeyWord

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard

_EDITS = ("much_less", "less", "more", "much_more", "turn")


class EditLine(Horizontal):
    """One line, while the cursor is in the panel."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def compose(self) -> ComposeResult:
        yield from (KeyWord(self.app.keys.action(f"{TEMPLATES}.{name}")) for name in _EDITS)
