"""What a graft is wrapped in, asked with one key when it is set on Morning."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.dashboard.screens.menu import MenuScreen

pytestmark = pytest.mark.anyio

TODAY = date(2026, 4, 20)


def grafting(app):
    """A job of the week that sets several planned grafts, and their ids."""
    planned = {graft.id for graft in app.state.records.grafts if graft.state == "planned"}
    for task in app.state.jobs:
        units = [unit.id for unit in task.units if unit.id in planned]
        if "set" in task.outcomes and len(units) > 1 and len(units) == len(task.units):
            return task.key, units
    raise AssertionError("the sample has no such job on this day")


def wraps(app, units: list[str]) -> list[tuple[str, str]]:
    return [(graft.state, graft.wrap) for graft in app._bench.records.read().grafts if graft.id in units]


async def test_one_key_notes_the_wrap_of_all_grafts_that_are_set_together(sample, press, go_to, at_rest) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        key, units = grafting(sample)
        await go_to(pilot, key)
        await press(pilot, "space", "1")
        offered = [item.words for item in sample.screen._items]
        await press(pilot, "2")
        assert wraps(sample, units) == [("set", offered[1])] * len(units)
        await press(pilot, "u")
        assert {state for state, _ in wraps(sample, units)} == {"planned"}


async def test_none_and_do_not_know_have_keys_of_their_own(sample, press, go_to, at_rest) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        key, units = grafting(sample)
        await go_to(pilot, key)
        await press(pilot, "space", "1", "n")
        assert wraps(sample, units) == [("set", "none")] * len(units)
        await press(pilot, "u")
        await go_to(pilot, key)
        await press(pilot, "space", "1", "0")
        assert wraps(sample, units) == [("set", "")] * len(units)
        assert "wrap not noted" in sample.notice.text


async def test_the_whole_pick_stands_on_a_small_screen(sample, press, go_to, at_rest, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, grafting(sample)[0])
        await press(pilot, "space", "1")
        shown = seen_on(sample)
        assert "Wrapped in what?" in shown
        assert "0  do not know" in shown


async def test_escape_from_the_wraps_sets_nothing(sample, press, go_to, at_rest) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        key, units = grafting(sample)
        await go_to(pilot, key)
        await press(pilot, "space", "1", "escape")
        assert {state for state, _ in wraps(sample, units)} == {"planned"}
        assert not isinstance(sample.screen, MenuScreen)
