"""A list of rows draws what is new and no more, and text under a cursor takes the room it needs."""

from __future__ import annotations

import pytest
from textual.app import App, ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.pilot import Pilot
from textual.widgets import Static

from tendwork.dashboard.widgets.row_list import RowList
from tendwork.dashboard.widgets.steady_text import SteadyText

pytestmark = pytest.mark.anyio

LINES = 10


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


class Rows(App[None]):
    """A hundred rows in a list of ten lines; `drawn` are those drawn since it was emptied."""

    CSS = "RowList { height: 10; }"

    def __init__(self) -> None:
        super().__init__()
        self.drawn: list[str] = []
        self.words = "row"

    def compose(self) -> ComposeResult:
        yield RowList(self._line, id="rows")

    def on_mount(self) -> None:
        self.query_one(RowList).show([str(number) for number in range(100)])
        self.query_one(RowList).focus()

    def shown(self) -> list[str]:
        held = self.query_one(RowList)
        return [held.render_line(y).text.strip() for y in range(LINES)]

    def colours(self) -> set[str]:
        held = self.query_one(RowList)
        return {str(segment.style) for y in range(1, LINES) for segment in held.render_line(y)}

    def _line(self, row: str) -> Content:
        self.drawn.append(row)
        return Content.styled(f"{self.words} {row}", "$accent")


class Text(App[None]):
    def compose(self) -> ComposeResult:
        with VerticalScroll():
            yield SteadyText("text")
            yield Static("below", id="below")


async def pressed(pilot: Pilot[None], app: Rows, *keys: str) -> list[str]:
    """The rows that were drawn for these keys."""
    app.drawn.clear()
    await pilot.press(*keys)
    await pilot.pause()
    return app.drawn


async def test_a_step_inside_the_page_draws_the_two_rows_it_changes() -> None:
    app = Rows()
    async with app.run_test() as pilot:
        await pilot.pause()
        assert sorted(await pressed(pilot, app, "down")) == ["0", "1"]
        assert await pressed(pilot, app, "up") == []


async def test_a_step_below_the_page_draws_no_row_that_only_moved() -> None:
    app = Rows()
    async with app.run_test() as pilot:
        await pressed(pilot, app, *["down"] * (LINES - 1))
        assert await pressed(pilot, app, "down") == ["10"]
        assert app.shown() == [f"row {number}" for number in range(1, LINES + 1)]


async def test_drawn_again_every_row_says_what_it_has_to_say_now() -> None:
    app = Rows()
    async with app.run_test() as pilot:
        await pilot.pause()
        app.words = "line"
        app.query_one(RowList).redraw()
        await pilot.pause()
        assert app.shown() == [f"line {number}" for number in range(LINES)]


async def test_other_colours_colour_the_rows_that_were_drawn_before() -> None:
    app = Rows()
    async with app.run_test() as pilot:
        await pilot.pause()
        dark = app.colours()
        app.theme = "textual-light"
        await pilot.pause()
        assert not dark & app.colours()


async def test_text_of_another_number_of_lines_moves_what_stands_below_it() -> None:
    app = Text()
    async with app.run_test() as pilot:
        below = []
        for words in ("one", "one\ntwo", "one\ntwo\nthree", "other\nlines", "word " * 30):
            app.query_one(SteadyText).show(words)
            await pilot.pause()
            below.append(app.query_one("#below").region.y)
        assert below == [1, 2, 3, 2, 2]


async def test_text_of_as_many_lines_is_shown_without_a_new_layout() -> None:
    app = Text()
    async with app.run_test() as pilot:
        held = app.query_one(SteadyText)
        held.show("one\ntwo")
        await pilot.pause()
        laid = held._layout_updates
        held.show("three\nfour")
        await pilot.pause()
        assert held._layout_updates == laid
        assert [held.render_line(y).text.strip() for y in range(2)] == ["three", "four"]


async def test_a_list_without_a_column_draws_nothing() -> None:
    app = Rows()
    async with app.run_test(size=(40, 20)) as pilot:
        app.query_one(RowList).styles.width = 0
        await pilot.pause()
        app.drawn.clear()
        assert app.shown() == [""] * LINES
        assert app.drawn == []
