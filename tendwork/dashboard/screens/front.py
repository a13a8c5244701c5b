"""Front: the day, the orchard and its next job, painted while everything else is still being loaded."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

_READING = "Reading the orchard."


class FrontScreen(Screen[None]):
    """The two top lines of Morning.

    The style stands here, and not in a file, so that Textual reads its styles once and not twice.
    """

    DEFAULT_CSS = """
    FrontScreen {
        #top { height: 1; background: $panel; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
        #next { height: auto; max-height: 2; padding: 0 1; color: $blossom; text-style: bold; }
    }
    """

    def __init__(self, day: str, site_name: str, next_job: str) -> None:
        super().__init__()
        self._top = Content.assemble((day, "bold"), "  ", site_name)
        self._next_job = next_job

    def compose(self) -> ComposeResult:
        yield Static(self._top, id="top")
        yield Static(f"Next: {self._next_job}" if self._next_job else _READING, id="next", markup=False)
