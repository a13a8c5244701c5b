"""How past seasons are levelled to today."""

from __future__ import annotations

from datetime import date
from statistics import linear_regression, mean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.days import Days
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import DailySeries, Normals, SourceDay, build_series
from tendwork.almanac.warming import warming_c_a_year

NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
FIRST, TODAY = date(2000, 1, 1), date(2025, 3, 20)
PLACE = Place(latitude=49.0)
A_DECADE = 3652.5


def warming(c_a_decade: float) -> DailySeries:
    """Invented days around the normals, each a little warmer than a year before."""
    rows = []
    for day, low, high in invented_days(NORMALS, 3, FIRST, TODAY):
        by_c = c_a_decade * (day - TODAY).days / A_DECADE
        rows.append(SourceDay(day, low + by_c, high + by_c, False))
    series, _ = build_series(rows, NORMALS)
    assert series is not None
    return series


@given(slope=st.floats(-0.1, 0.2), start_c=st.floats(0, 15))
def test_many_seasons_say_it_themselves(slope: float, start_c: float) -> None:
    """The slope of the standard library's least squares."""
    means = {year: start_c + slope * (year - 1985) + (0.3 if year % 2 else -0.3) for year in range(1985, 2025)}
    expected = linear_regression(list(means), list(means.values())).slope
    assert warming_c_a_year(means) == pytest.approx(expected, abs=0.006)


@given(later_c=st.floats(-2, 2))
def test_two_seasons_hardly_say_anything(later_c: float) -> None:
    assert abs(warming_c_a_year({2023: 9.0, 2024: 9.0 + later_c}) - warming_c_a_year({2023: 9.0})) < 0.04


def test_a_place_with_no_seasons_is_not_levelled() -> None:
    assert Days(PLACE, None, TODAY).warming_c_a_year == 0.0


def test_a_warming_place_is_seen_to_warm() -> None:
    assert Days(PLACE, warming(0.8), TODAY).warming_c_a_year == pytest.approx(0.08, abs=0.03)


def test_the_days_to_come_are_as_warm_as_today_and_not_as_the_middle_of_the_past() -> None:
    """Eight tenths of a degree in ten years, over twenty-four seasons: their middle is almost a degree too cold."""
    days = Days(PLACE, warming(0.8), TODAY)
    plain = Days(PLACE, warming(0.0), TODAY)
    first, last = date(2025, 5, 1), date(2025, 6, 30)

    def mean_c(of: Days) -> float:
        traces = of.to_come(first, last)
        return mean(value for trace in traces for value in (*trace.tmin_c, *trace.tmax_c))

    unlevelled = mean_c(plain) - 0.8 * 1.2
    assert abs(mean_c(days) - mean_c(plain)) < 0.4
    assert mean_c(days) - unlevelled > 0.5


def test_the_reason_says_that_past_seasons_are_levelled() -> None:
    row = Almanac(PLACE, warming(0.8), (), TODAY).stage("apple", "full bloom", Season(2025))
    assert any(
        word.startswith("past seasons are levelled to today: the place becomes 0.") and "warmer in ten years" in word
        for word in row.because
    )
