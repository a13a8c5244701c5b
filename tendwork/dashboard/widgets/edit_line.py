"""The keys of the field under the cursor as words that a mouse can press."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendwork.dashboard.actions import TEMPLATES
from tendwork.dashboard.widgets.press_line import PressLine, word_of

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard

_EDITS = ("much_less", "less", "more", "much_more", "turn")


class EditLine(PressLine):
    """One line, while the cursor is in the panel."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    def on_mount(self) -> None:
        self.show(word_of(self.app.keys.action(f"{TEMPLATES}.{name}")) for name in _EDITS)
