"""A bud stage that cannot well be, noted on the screen: it is asked about once more, in place."""

from __future__ import annotations

from datetime import date

import pytest
from textual.widgets import Static

from tendwork.dashboard.screens.saw import SawScreen

pytestmark = pytest.mark.anyio

TODAY = date(2026, 4, 10)
TO_FULL_BLOOM = ["s", "enter", "home", *["down"] * 8]


def noted(app) -> list[tuple[str, str]]:
    seen = app._bench.records.read().sightings
    return [(sighting.species, sighting.stage) for sighting in seen if sighting.day == TODAY]


async def test_full_bloom_a_month_early_is_saved_by_a_second_enter(sample, press, at_rest, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, *TO_FULL_BLOOM, "enter")
        asked, shown, before = sample.screen.query_one("#doubt", Static).content, seen_on(sample), noted(sample)
        await press(pilot, "enter")
        assert "the almanac expected it from " in str(asked)
        assert "the almanac expected it" in shown
        assert (before, noted(sample)) == ([], [("apple", "full bloom")])


async def test_another_stage_is_no_answer_to_the_question(sample, press, at_rest) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, *TO_FULL_BLOOM, "enter", "down", "enter")
        assert (noted(sample), isinstance(sample.screen, SawScreen)) == ([], True)


async def test_escape_from_the_question_notes_nothing(sample, press, at_rest) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, *TO_FULL_BLOOM, "enter", "escape")
        assert (noted(sample), isinstance(sample.screen, SawScreen)) == ([], False)
