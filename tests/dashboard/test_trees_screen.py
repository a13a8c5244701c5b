"""Trees: every graft to read, and to look for."""

from __future__ import annotations

import pytest
from conftest import BRACKETS

pytestmark = pytest.mark.anyio


async def test_trees_shows_the_trees_and_their_grafts(app, at_rest, press, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "3")
        await pilot.pause(0.2)
        shown = seen_on(app)
        assert f"{BRACKETS} (t1): apple on seedling, planted 1990" in shown
        assert "Red Lamp" in shown


async def test_the_filter_looks_among_the_grafts(app, at_rest, press, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "3")
        await pilot.pause(0.2)
        await press(pilot, "slash", *"lamp", "enter")
        shown = seen_on(app)
        assert ("g03" in shown, "g02" in shown) == (True, False)


async def test_a_screen_keeps_its_place_while_another_is_looked_at(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "3")
        await pilot.pause(0.2)
        await press(pilot, "down", "down", "1", "3")
        await pilot.pause(0.2)
        assert app.screen.query_one("#trees").cursor == 2
