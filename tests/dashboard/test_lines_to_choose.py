"""A list of options in a terminal that has no room for one line of it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from textual.app import App, ComposeResult

from tendwork.dashboard.widgets.lines_to_choose import LinesToChoose

pytestmark = pytest.mark.anyio


class NoRoom(App[None]):
    CSS = "LinesToChoose { height: 0; max-height: 0; border: none; }"

    def compose(self) -> ComposeResult:
        yield LinesToChoose("one", "two", "three")


async def test_pages_do_not_turn_where_no_line_has_room(press: Callable) -> None:
    app = NoRoom()
    async with app.run_test() as pilot:
        app.query_one(LinesToChoose).focus()
        await press(pilot, "down", "pagedown", "pageup")
        assert app.query_one(LinesToChoose).highlighted == 1
