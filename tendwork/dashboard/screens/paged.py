"""A table of several pages: which one is shown, and the ways from one to the next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import Resize
from textual.widgets import Static

from tendwork.dashboard.screens.table import TableScreen
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.press_line import PressLine, Word
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.dashboard.widgets.steady_text import SteadyText
from tendwork.dashboard.widgets.top_line import TopLine

_MORE = "…"


class PageLine(PressLine):
    """One line of names; a press runs the screen's `to_page`."""

    def __init__(self, pages: tuple[str, ...]) -> None:
        super().__init__(gap=1)
        self._pages = pages

    def show_page(self, page: str) -> None:
        """Light one name; where there is little room, all stand closer, or only those around it stand."""
        width = self.app.size.width
        around = " " if sum(len(name) + 3 for name in self._pages) <= width else ""
        names = self._pages if around else _names_around(self._pages, page, width)
        words = [
            Word(
                Content.styled(f"{around}{name}{around}", "bold underline $blossom" if name == page else "$faint"),
                f"screen.to_page({name!r})",
            )
            for name in names
        ]
        first, last = self._pages.index(names[0]), self._pages.index(names[-1])
        if first:
            words.insert(0, Word(Content.styled(_MORE, "$faint"), f"screen.to_page({self._pages[first - 1]!r})"))
        if last < len(self._pages) - 1:
            words.append(Word(Content.styled(_MORE, "$faint"), f"screen.to_page({self._pages[last + 1]!r})"))
        self.show(words)


def _names_around(pages: tuple[str, ...], page: str, width: int) -> tuple[str, ...]:
    """The names that fit beside one another: as many before that of the page as after it, or what room there is."""
    first = last = pages.index(page)

    def columns(first: int, last: int) -> int:
        more = (first > 0) + (last < len(pages) - 1)
        return sum(len(name) + 1 for name in pages[first : last + 1]) + more * (len(_MORE) + 1)

    grew = True
    while grew:
        grew = False
        for one, other in ((first - 1, last), (first, last + 1)):
            if one >= 0 and other < len(pages) and columns(min(one, first), max(other, last)) <= width:
                first, last, grew = min(one, first), max(other, last), True
    return pages[first : last + 1]


class PagedScreen(TableScreen):
    """A screen names its pages, and says with `show_page` what a new one has."""

    PAGE_NAMES: ClassVar[Sequence[str]] = ()

    def __init__(self) -> None:
        super().__init__()
        self.page = self.PAGE_NAMES[0]

    def show_page(self) -> None:
        """Show what `page` has."""
        self.show_rows()

    def compose_pages(self) -> ComposeResult:
        """What presses, the names of the pages, the table, and the chosen row."""
        yield TopLine(self.HERE)
        yield Static(id="warnings", markup=False)
        yield PageLine(tuple(self.PAGE_NAMES))
        yield FilterLine()
        with Horizontal(id="work"):
            yield from self.compose_table()
            with Vertical(id="chosen"):
                yield SteadyText("title")
                with VerticalScroll(id="life", can_focus=False):
                    yield SteadyText("life_text")

    def on_mount(self) -> None:
        super().on_mount()
        self.query_one(PageLine).show_page(self.page)

    def on_resize(self, _: Resize) -> None:
        self.query_one(PageLine).show_page(self.page)

    def action_page(self) -> None:
        """Show the next page."""
        self._turn(1)

    def action_page_back(self) -> None:
        """Show the page before."""
        self._turn(-1)

    def action_to_page(self, page: str) -> None:
        """Show a page by its name."""
        self._go_to(page)

    def _turn(self, step: int) -> None:
        names = self.PAGE_NAMES
        self._go_to(names[(names.index(self.page) + step) % len(names)])

    def _go_to(self, page: str) -> None:
        self.page, self.marked = page, frozenset()
        self.order, self.backwards = self.orders[0], False
        self.query_one(PageLine).show_page(page)
        self.query_one(RowList).show(())
        self.show_page()
