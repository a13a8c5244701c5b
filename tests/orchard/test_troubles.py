"""Which trees give no wood: as the sources say it, for a winter or for good."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.records import Trouble, Wood
from tendwork.orchard.troubles import bar_on, bundle_bar, fire_blight_seen

JUNE = date(2026, 6, 10)


def first_day(day: date) -> date:
    return season_of(day).start


@pytest.mark.parametrize("what", ["fire blight", "Fire Blight", "canker", "gum", "dieback"])
def test_a_tree_gives_no_wood_until_a_winter_has_passed(what: str) -> None:
    # grafting.md S35 (Washington State University, T. Smith): not from a tree that had strikes that season, one winter
    seen = (Trouble(JUNE, "t1", what),)
    for day in (JUNE, date(2026, 8, 1), date(2027, 1, 20), date(2027, 4, 30)):
        assert bar_on(seen, "t1", day, first_day) is not None
    assert bar_on(seen, "t1", date(2027, 6, 1), first_day) is None
    assert bar_on(seen, "t1", date(2026, 6, 9), first_day) is None
    assert bar_on(seen, "t2", JUNE, first_day) is None


def test_a_virus_bars_a_tree_for_good_and_a_persons_own_word_not_at_all() -> None:
    bar = bar_on((Trouble(JUNE, "t1", "mosaic or rings"),), "t1", date(2046, 1, 1), first_day)
    assert bar is not None
    assert bar.until is None
    assert bar_on((Trouble(JUNE, "t1", "scab"),), "t1", JUNE, first_day) is None


def test_in_the_south_the_winter_is_theirs() -> None:
    seen = (Trouble(date(2026, 12, 10), "t1", "fire blight"),)
    assert bar_on(seen, "t1", date(2027, 11, 1), lambda day: season_of(day, True).start) is not None
    assert bar_on(seen, "t1", date(2027, 12, 1), lambda day: season_of(day, True).start) is None


@pytest.mark.parametrize(
    ("cut_on", "barred"),
    [
        (date(2025, 1, 20), False),  # a winter before the season of the strikes
        (date(2026, 1, 20), True),  # the same season, before they showed: wood may carry it without a sign
        (date(2027, 1, 20), True),
        (date(2028, 1, 20), False),
        (None, True),
    ],
)
def test_a_bundle_is_barred_where_its_tree_was_sick_when_it_was_cut(cut_on: date | None, barred: bool) -> None:
    bundle = Wood("w1", "Red Lamp", "apple", 4, cut_on=cut_on, came_from="t1")
    seen = (Trouble(JUNE, "t1", "fire blight"),)
    assert (bundle_bar(seen, bundle, ("t1",), date(2027, 2, 1), first_day) is not None) == barred


@pytest.mark.parametrize("noted", [date(2026, 10, 31), date(2026, 11, 15), date(2027, 2, 20)])
def test_strikes_found_on_a_tree_at_rest_bar_its_wood_as_those_of_the_summer_before(noted: date) -> None:
    # Washington State University Extension, T. Smith, "Bark Grafting", undated: one winter passes, not two
    bar = bar_on((Trouble(noted, "t1", "fire blight"),), "t1", date(2027, 2, 21), first_day)
    assert bar is not None
    assert bar.until == date(2027, 6, 1)
    canker = bar_on((Trouble(date(2026, 11, 15), "t1", "canker"),), "t1", date(2027, 2, 21), first_day)
    assert canker is not None
    assert canker.until == date(2028, 5, 31)  # a canker grows in winter, too


def test_in_the_south_strikes_found_in_june_are_those_of_the_summer_before() -> None:
    seen = (Trouble(date(2027, 6, 15), "t1", "fire blight"),)
    bar = bar_on(seen, "t1", date(2027, 7, 1), lambda day: season_of(day, True).start)
    assert bar is not None
    assert bar.until == date(2027, 11, 29)


def test_strikes_count_in_their_own_season_only() -> None:
    seen = (Trouble(JUNE, "t1", "fire blight"), Trouble(JUNE, "t2", "canker"))
    assert fire_blight_seen(seen, "t1", Season(2026).__contains__, first_day) == JUNE
    assert not fire_blight_seen(seen, "t1", Season(2027).__contains__, first_day)
    assert not fire_blight_seen(seen, "t2", Season(2026).__contains__, first_day)


@pytest.mark.parametrize("word", ["fireblight", "Fire-Blight", "blight"])
def test_what_is_on_file_by_another_word_of_the_trade_bars_like_the_known_one(word: str) -> None:
    assert bar_on((Trouble(JUNE, "t1", word),), "t1", JUNE, first_day) is not None
