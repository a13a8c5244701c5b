"""Above the strip: which span of days it shows, the zooms, the names of months or days, and a pointer to today."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.widgets import Static

from tendwork.view.season_axis import ZOOMS


class ZoomWord(Static):
    """The name of a zoom; pressed, it is taken."""

    class Pressed(Message):
        """The person wants this zoom."""

        def __init__(self, zoom: str) -> None:
            super().__init__()
            self.zoom = zoom

    def __init__(self, zoom: str) -> None:
        super().__init__(zoom, markup=False)
        self.zoom = zoom

    def on_click(self, event: Click) -> None:
        event.stop()
        self.post_message(self.Pressed(self.zoom))


class SeasonHead(Vertical):
    """Three lines that stay while the rows below them scroll."""

    def compose(self) -> ComposeResult:
        with Horizontal():
            yield Static(id="span", markup=False)
            yield Static("by ", id="by", markup=False)
            for zoom in ZOOMS:
                yield ZoomWord(zoom)
        yield Static(id="months", markup=False)
        yield Static(id="pointer", markup=False)

    def show(self, span: str, zoom: str, months: str, pointer: str) -> None:
        """Show four texts; the chosen zoom stands in brackets, so that no colour is needed to tell it."""
        self.query_one("#span", Static).update(span)
        for word in self.query(ZoomWord):
            chosen = word.zoom == zoom
            word.update(Content(f"[{word.zoom}]" if chosen else f" {word.zoom} "))
            word.set_class(chosen, "-chosen")
        self.query_one("#months", Static).update(months)
        self.query_one("#pointer", Static).update(pointer)
