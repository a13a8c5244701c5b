"""The keys of the field under the cursor as words that a mouse can press."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal

from tendwork.dashboard.actions import ACTIONS, TEMPLATES
from tendwork.dashboard.widgets.key_line import KeyWord

_EDITS = ("much_less", "less", "more", "much_more", "turn")


class EditLine(Horizontal):
    """One line, while the cursor is in the panel."""

    def compose(self) -> ComposeResult:
        yield from (KeyWord(action) for action in ACTIONS if action.on == TEMPLATES and action.id in _EDITS)
