"""The pages of a screen by name, the shown one lit; pressed, a name shows its page."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.events import Click
from textual.message import Message
from textual.widgets import Static


class PageName(Static):
    """One name."""

    def __init__(self, name: str) -> None:
        super().__init__(name, markup=False, classes="page-name")
        self.page = name

    def on_click(self, event: Click) -> None:
        event.stop()
        self.post_message(PageLine.Pressed(self.page))


class PageLine(Horizontal):
    """One line of names."""

    class Pressed(Message):
        """A name was pressed."""

        def __init__(self, page: str) -> None:
            super().__init__()
            self.page = page

    def __init__(self, pages: tuple[str, ...]) -> None:
        super().__init__()
        self._pages = pages

    def compose(self) -> ComposeResult:
        yield from (PageName(page) for page in self._pages)

    def show(self, page: str) -> None:
        """Light one name."""
        for name in self.query(PageName):
            name.set_class(name.page == page, "-here")
