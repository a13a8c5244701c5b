"""A page to read over the screen: why, the caution cards, the help."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.events import Key, Resize
from textual.screen import ModalScreen
from textual.widgets import Static

from tendwork.dashboard.actions import PAGE, bindings
from tendwork.dashboard.screens.dialog import hint, leave_word
from tendwork.dashboard.widgets.press_line import key_and_words
from tendwork.view.job import FIRST_AID

if TYPE_CHECKING:
    from textual import getters

    from tendwork.dashboard.app import Dashboard

_CAN = (("copy", "copy"), ("write", "to a file"))
_FILE_COLUMNS = 80
_FIRST_AID = re.compile(rf"^  {FIRST_AID}:(?:\n  (?:- |  ).*)*", re.MULTILINE)
_LABEL = re.compile(r"^ {0,2}[A-Z][a-z]+(?= {2,}|$)", re.MULTILINE)


class ReadingScreen(ModalScreen[None]):
    """Shows `text_of(columns)`; escape, enter, q and the keys of the action that opened it close it."""

    if TYPE_CHECKING:
        app: getters.app[Dashboard]

    CSS_PATH = "dialog.tcss"
    BINDINGS = [
        Binding("escape,enter,q", "dismiss", show=False),
        *bindings(PAGE),
    ]

    def __init__(self, title: str, opened_by: str, text_of: Callable[[int], str]) -> None:
        super().__init__()
        self._title = title
        self._text_of = text_of
        self._opened_by = opened_by

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog page"):
            yield Static(self._title, classes="heading", markup=False)
            with VerticalScroll(id="pages"):
                yield Static(id="page", markup=False)
            words = (key_and_words(self.app.keys.word(f"page.{name}"), label, f"screen.{name}") for name, label in _CAN)
            yield hint(leave_word(words="close"), *words, also="arrows scroll")

    def on_mount(self) -> None:
        self.query_one("#pages").focus()

    def on_key(self, event: Key) -> None:
        if event.key in self.app.keys.action(self._opened_by).keys:
            event.stop()
            self.dismiss()

    def on_resize(self, _: Resize) -> None:
        self.call_after_refresh(self._draw)

    def action_write(self) -> None:
        """Write the page into a file."""
        self.app.write_text(self._title, self._text_of(_FILE_COLUMNS))

    def action_copy(self) -> None:
        """Copy the page."""
        self.app.copy_text(self._text_of(self._columns))

    @property
    def _columns(self) -> int:
        return self.query_one("#pages").scrollable_content_region.width

    def _draw(self) -> None:
        text = self._text_of(self._columns)
        page = Content(text)
        for label in _LABEL.finditer(text):
            page = page.stylize("bold $accent", *label.span())
        for block in _FIRST_AID.finditer(text):
            page = page.stylize("bold", *block.span())
        self.query_one("#page", Static).update(page)
