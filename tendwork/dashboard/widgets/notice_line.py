"""One or two lines of what the program has to say: what an act did, what is wrong, or that it is at work."""

from __future__ import annotations

from msgspec import Struct
from textual.widgets import Static

from tendwork.view.text import plain


class Notice(Struct, frozen=True):
    """A sentence for the person; `trouble` where something is to be mended."""

    text: str = ""
    trouble: bool = False


class NoticeLine(Static):
    """Shows the newest notice."""

    def __init__(self) -> None:
        super().__init__(id="notice", markup=False)

    def show(self, notice: Notice) -> None:
        self.update(plain(notice.text))
        self.set_class(notice.trouble, "-trouble")
