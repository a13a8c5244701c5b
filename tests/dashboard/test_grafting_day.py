"""Grafting day: one graft after the other on a tree, each kept as it is set, with what the last one had."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from record_screens import TODAY, go, graft, open_screen, record_app, words_in, write
from settling import until

__all__ = ["record_app"]

pytestmark = pytest.mark.anyio


async def test_grafting_day_sets_what_is_planned_and_keeps_the_last_values(record_app) -> None:
    async with record_app.run_test(size=(40, 20)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "g")
        await go(pilot, *["enter"] * 8)
        first = graft(record_app, "g5")
        await write(pilot, "Green Lamp")
        await go(pilot, "enter")
        await write(pilot, "SE")
        await go(pilot, "enter", "1", "enter", "1", "enter")
        second = graft(record_app, "g8")
        assert (first.state, first.set_on, first.wood, first.facing) == ("set", TODAY, "w1", 45)
        assert (second.variety, second.method, second.wrap, second.wood, second.facing) == (
            "Green Lamp", "whip and tongue", "PVC tape", "w1", 135,
        )  # fmt: skip
        # Two grafts of one stick: one of the four is opened.
        assert [bundle.sticks for bundle in record_app.state.records.wood if bundle.id == "w1"] == [3]


async def test_from_the_second_graft_on_enter_asks_only_for_what_is_new(record_app) -> None:
    async with record_app.run_test(size=(40, 20)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "g", "ctrl+s", *["enter"] * 4)
        assert len(record_app.state.records.grafts) == 8
        assert graft(record_app, "g8").state == "set"


async def test_a_graft_of_the_series_goes_back_and_the_wood_with_it(record_app) -> None:
    async with record_app.run_test(size=(40, 20)) as pilot:
        await open_screen(pilot, "3")
        before = record_app.state.records
        await go(pilot, "g", "ctrl+s", "ctrl+z", "ctrl+z")
        assert record_app.state.records == before


async def test_grafting_day_says_which_wood_a_graft_takes_and_what_takes_best(record_app) -> None:
    async with record_app.run_test(size=(60, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "g")
        await go(pilot, "enter")
        wood, rates = words_in(record_app, "wood_words"), words_in(record_app, "rates")
        assert wood == "planned as g5; from w1, fresh: 4 sticks, 3 after this one, 1 promised"
        assert rates.startswith("Your apple grafts: cleft 2 of 2 took")


async def test_a_series_without_a_variety_is_refused_and_stays_open(record_app) -> None:
    async with record_app.run_test(size=(60, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "6", "enter", "g", "ctrl+s")
        assert words_in(record_app, "fault") == "Variety is missing."
        assert len(record_app.state.records.grafts) == 7


async def test_a_graft_is_set_once_though_its_key_is_pressed_twice(record_app) -> None:
    async with record_app.run_test(size=(60, 24)) as pilot:
        await open_screen(pilot, "3")
        before = len(record_app.state.records.grafts)
        await go(pilot, "g")
        await pilot.press("ctrl+s", "ctrl+s")
        await until(pilot, lambda: len(record_app.state.records.grafts) > before)
        assert len(record_app.state.records.grafts) == before + 1


async def test_on_a_sprayed_tree_a_graft_is_set_only_once_it_is_saved_again(record_app) -> None:
    async with record_app.run_test(size=(60, 24)) as pilot:
        bench = record_app._bench
        spray = {"product": "Wash", "day": "2026-04-10", "days_to_return": "3"}
        bench.records.entries.note("sprays", "t1", spray, TODAY)
        record_app.state = replace(record_app.state, records=bench.records.read())
        await open_screen(pilot, "3")
        await go(pilot, "g", "ctrl+s")
        await until(pilot, lambda: "Save again if it is done all the same." in words_in(record_app, "fault"))
        assert graft(record_app, "g5").state == "planned"
        await go(pilot, "ctrl+s")
        assert graft(record_app, "g5").state == "set"
