"""Above the strip: which span of days it shows, the zooms, the names of months or days, and a pointer to today."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from tendwork.dashboard.widgets.press_line import PressLine, Word
from tendwork.view.season_axis import ZOOMS


class SeasonHead(Vertical):
    """Three lines that stay while the rows below them scroll; a press on a zoom runs the screen's `to_zoom`."""

    def compose(self) -> ComposeResult:
        with Horizontal():
            yield Static(id="span", markup=False)
            yield Static("by ", id="by", markup=False)
            yield PressLine(gap=0)
        yield Static(id="months", markup=False)
        yield Static(id="pointer", markup=False)

    def show(self, span: str, zoom: str, months: str, pointer: str) -> None:
        """Show four texts; the chosen zoom stands in brackets, so that no colour is needed to tell it."""
        self.query_one("#span", Static).update(span)
        self.query_one(PressLine).show(_zoom_word(name, name == zoom) for name in ZOOMS)
        self.query_one("#months", Static).update(months)
        self.query_one("#pointer", Static).update(pointer)


def _zoom_word(zoom: str, chosen: bool) -> Word:
    shown = Content.styled(f"[{zoom}]", "bold $blossom") if chosen else Content.styled(f" {zoom} ", "$faint")
    return Word(shown, f"screen.to_zoom({zoom!r})")
