"""Shoot stop and leaf fall as a place has shown them: sightings of other seasons and usual dates move them.

The numbers are our own choice, no source: what is held here is the direction, the bounds and that more says more.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from test_almanac import JULY, SEASON, almanac, in_order, middle, seen, series, width

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.days_off import days_off
from tendwork.almanac.late_stages import day_of_stage
from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.temperature import DailySeries

LATE = pytest.mark.parametrize("stage", ["shoot stop", "leaf fall"])
YEARS = range(2018, 2023)


def row(stage: str, *sightings: SeenStage, usual: date | None = None, season: Season = SEASON) -> StageDate:
    dates = () if usual is None else (UsualDate("apple", stage, usual.month, usual.day),)
    place = Place(latitude=49.0, elevation_m=200.0, usual_dates=dates)
    return almanac(JULY, *sightings, place=place).stage("apple", stage, season)


def autumns(stage: str, days: int, count: int = len(YEARS)) -> list[SeenStage]:
    """The stage so many days after what was foreseen, in several years."""
    made = almanac()
    return [
        seen(middle(made.stage("apple", stage, Season(year))) + timedelta(days=days), stage) for year in YEARS[:count]
    ]


@LATE
@pytest.mark.parametrize("days", [-15, 15])
def test_what_was_seen_in_other_seasons_moves_the_stage_the_more_often_the_further(stage: str, days: int) -> None:
    plain = middle(row(stage))
    moved = [(middle(row(stage, *autumns(stage, days, count))) - plain).days for count in (0, 1, 3, 5)]
    assert moved[0] == 0
    assert all(abs(later) > abs(earlier) for earlier, later in pairwise(moved))
    assert 0.7 * abs(days) <= abs(moved[-1]) <= abs(days)
    assert moved[-1] * days > 0


@LATE
def test_the_range_narrows_and_the_reason_says_what_was_learned(stage: str) -> None:
    told = row(stage, *autumns(stage, -15))
    assert width(told) < width(row(stage))
    assert any(word.endswith("days earlier, learned here from 5 seasons of sightings") for word in told.because)


@LATE
def test_a_usual_date_moves_every_season_and_the_reason_says_so(stage: str) -> None:
    plain = row(stage, season=SEASON.following)
    usual = middle(plain) - timedelta(days=20)
    told = row(stage, usual=usual, season=SEASON.following)
    assert 12 <= (middle(plain) - middle(told)).days <= 20
    assert width(told) < width(plain)
    assert any("earlier, learned here from the usual date" in word for word in told.because)


def test_a_date_moved_off_the_end_of_the_calendar_has_a_range_on_both_sides() -> None:
    """Where no week is cold, leaves are taken to fall on the last day of the range."""
    warm = Place(33.0, None, (8.0,) * 12, (22.0,) * 12, usual_dates=(UsualDate("apple", "leaf fall", 11, 20),))
    found = Almanac(warm, None, (), JULY).stage("apple", "leaf fall", SEASON)
    assert found.low is not None
    assert found.high is not None
    assert found.low < middle(found) < found.high


def test_dormant_wood_follows_the_leaf_fall_that_was_moved() -> None:
    made = almanac(JULY, *autumns("leaf fall", 15))
    fallen = made.stage("apple", "leaf fall", SEASON.previous)
    dormant = made.stage("apple", "dormant", SEASON)
    assert dormant.date == fallen.date
    assert any("learned here from" in word for word in dormant.because)


def test_what_is_seen_this_season_is_a_fact_whatever_was_seen_before() -> None:
    day = date(2024, 7, 8)
    found = row("shoot stop", *autumns("shoot stop", 15), seen(day, "shoot stop"))
    assert (found.state, found.date) == ("seen", day)


@LATE
def test_another_species_is_not_moved(stage: str) -> None:
    taught = almanac(JULY, *autumns(stage, 15))
    assert taught.stage("pear", stage, SEASON) == almanac().stage("pear", stage, SEASON)


@given(stop=st.dates(date(2023, 1, 1), date(2023, 12, 31)), fall=st.dates(date(2023, 1, 1), date(2023, 12, 31)))
@examples(12)
def test_no_usual_date_brings_the_stages_out_of_order(stop: date, fall: date) -> None:
    dates = tuple(
        UsualDate("apple", stage, day.month, day.day) for stage, day in (("shoot stop", stop), ("leaf fall", fall))
    )
    rows = almanac(place=Place(latitude=49.0, elevation_m=200.0, usual_dates=dates)).stages("apple", SEASON)
    assert in_order(rows)
    for found in rows:
        assert found.low is not None
        assert found.high is not None
        assert found.low <= middle(found) <= found.high


def test_in_the_south_a_usual_date_is_one_of_its_own_autumn() -> None:
    north = series()
    south = DailySeries(north.first_day + timedelta(days=181), north.tmin_c, north.tmax_c, north.marks)
    today = JULY + timedelta(days=181)
    season = season_of(today, south=True)
    plain, told = (
        middle(Almanac(Place(-49.0, 200.0, usual_dates=dates), south, (), today).stage("apple", "leaf fall", season))
        for dates in ((), (UsualDate("apple", "leaf fall", 4, 20),))
    )
    assert date(season.name + 1, 4, 20) <= told < plain


def test_leaves_that_fall_in_november_are_those_of_the_season_before() -> None:
    assert day_of_stage(Season(2024), "leaf fall", 11, 20) == date(2024, 11, 20)
    assert day_of_stage(Season(2024), "leaf fall", 10, 1) == date(2024, 10, 1)
    assert day_of_stage(Season(2024, True), "leaf fall", 5, 20) == date(2025, 5, 20)
    assert day_of_stage(Season(2024), "shoot stop", 7, 28) == date(2024, 7, 28)


@given(st.lists(st.integers(-40, 40), max_size=12), st.lists(st.integers(-40, 40), max_size=1))
def test_the_days_lie_between_none_and_the_furthest_and_the_range_never_grows(
    seen: list[int], usual: list[int]
) -> None:
    learned = days_off(seen, usual)
    assert min([0, *seen, *usual]) <= learned.days <= max([0, *seen, *usual])
    assert 0.7 < learned.left_of_range <= 1
    assert bool(learned.words) == bool(seen or usual)
