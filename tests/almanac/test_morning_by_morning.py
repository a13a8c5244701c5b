"""Dates from one morning to the next: where the new day is as was expected of it, they stay where they were."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import pytest

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.days import Days
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.seasons import season_of
from tendwork.almanac.temperature import DailySeries, Normals, SourceDay, build_series

NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
BARE = Place(49.0, 200.0)
GIVEN = Place(49.0, 200.0, NORMALS.minimum_c, NORMALS.maximum_c)
USUAL = Place(49.0, 200.0, usual_dates=(UsualDate("apple", "full bloom", 5, 1),))
MORNINGS = 20
_DAY = timedelta(days=1)
Dates = dict[tuple[str, ...], date | None]

_slow = pytest.mark.slow
PLACES = (
    pytest.param(BARE, 0, 0, id="nothing but latitude"),
    pytest.param(BARE, 3, 0, id="3 years"),
    pytest.param(BARE, 9, 0, id="9 years"),
    pytest.param(BARE, 3, 7, id="3 years and a forecast"),
    pytest.param(GIVEN, 0, 0, id="normals", marks=_slow),
    pytest.param(BARE, 12, 0, id="12 years", marks=_slow),
    pytest.param(BARE, 25, 0, id="25 years", marks=_slow),
    pytest.param(USUAL, 3, 0, id="3 years and a usual date", marks=_slow),
    pytest.param(GIVEN, 12, 7, id="12 years, normals and a forecast", marks=_slow),
)


def held(place: Place, rows: list[SourceDay]) -> DailySeries | None:
    normals = None if place.normals_min_c is None else NORMALS
    return build_series(rows, normals)[0]


def expected(place: Place, rows: list[SourceDay], today: date, count: int) -> list[SourceDay]:
    """The mean of all the ways in which the `count` days from `today` on may go, as it was the day before."""
    ways = Days(place, held(place, rows), today - _DAY).to_come(today, today + (count - 1) * _DAY)
    return [
        (
            today + step * _DAY,
            sum(way.tmin_c[step] for way in ways) / len(ways),
            sum(way.tmax_c[step] for way in ways) / len(ways),
            True,
        )
        for step in range(count)
    ]


def dates(almanac: Almanac, today: date) -> Dates:
    """Every stage of two species, and days on which heat sums are reached, in the season that holds the next spring."""
    found: Dates = {}
    season = season_of(today + timedelta(days=60))
    for species in ("apple", "peach"):
        for row in almanac.stages(species, season):
            found[species, row.stage] = row.date
    for start in (season.on(3, 1), season.on(5, 1)):
        for heat in (200, 600, 1200):
            found["heat", str(heat), start.isoformat()] = almanac.heat_after(start, heat).day
    return found


def mornings(place: Place, years: int, forecast_days: int, first: date) -> Iterator[tuple[date, Dates]]:
    rows: list[SourceDay] = []
    if years:
        begin = first - timedelta(days=round(365.25 * years))
        rows = [(day, low, high, False) for day, low, high in invented_days(NORMALS, 3, begin, first - _DAY)]
    for step in range(MORNINGS):
        today = first + step * _DAY
        coming = expected(place, rows, today, max(forecast_days, 1))
        series = held(place, rows + coming[:forecast_days])
        yield today, dates(Almanac(place, series, (), today), today)
        if years:
            rows.append((*coming[0][:3], False))


def moves(place: Place, years: int, forecast_days: int, first: date) -> Iterator[tuple[int, str]]:
    """By how many days each date moves on each morning, and what moved."""
    before: Dates = {}
    for today, found in mornings(place, years, forecast_days, first):
        for name, day in found.items():
            if name in before:
                earlier = before[name]
                assert (earlier is None) == (day is None), f"{name} on {today}"
                if day is not None and earlier is not None:
                    yield abs((day - earlier).days), f"{name}: from {earlier} to {day} on {today}"
        before = found


@pytest.mark.parametrize(("place", "years", "forecast_days"), PLACES)
def test_a_day_as_expected_moves_no_date_by_more_than_two_days_and_few_at_all(
    place: Place, years: int, forecast_days: int
) -> None:
    moved = list(moves(place, years, forecast_days, date(2026, 3, 1)))
    assert max(moved)[0] <= 2, max(moved)
    assert sum(days for days, _ in moved) <= 0.2 * len(moved)
    assert sum(days > 1 for days, _ in moved) <= 0.01 * len(moved)


@pytest.mark.slow
@pytest.mark.parametrize("years", [0, 9, 12])
def test_no_date_jumps_on_the_first_days_of_a_season_when_one_more_is_over(years: int) -> None:
    """One season more to go by moves dates of the next year, but the nine that were held outweigh it."""
    moved = list(moves(BARE, years, 0, date(2026, 10, 22)))
    assert max(moved)[0] <= 3, max(moved)
    assert sum(days > 1 for days, _ in moved) <= 0.03 * len(moved)
