"""A season's heat and chill beside other seasons, and the days to come with their ranges. All weather is invented."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from reference_formulas import chill_portions

from tendwork.almanac.courses import chill_courses, coming_days, frost_days, heat_courses
from tendwork.almanac.days import Days
from tendwork.almanac.hourly import hours_of_series
from tendwork.almanac.place import Place
from tendwork.almanac.temperature import DailySeries

DAY = timedelta(days=1)
LATITUDE = 52.1
FIRST = date(2013, 11, 1)


def days_of(
    today: date, degrees_c: dict[int, float], forecast: int = 0, south: bool = False, first: date = FIRST
) -> Days:
    """Days of a steady minimum by calendar year and a maximum 8 °C above it, `forecast` of them after today."""
    count = (today - first).days + 1 + forecast
    lows = tuple(degrees_c.get((first + step * DAY).year, 2.0) for step in range(count))
    marks = "m" * (count - forecast) + "f" * forecast
    latitude = -LATITUDE if south else LATITUDE
    series = DailySeries(first, lows, tuple(low + 8 for low in lows), marks)
    return Days(Place(latitude, normals_min_c=(2.0,) * 12, normals_max_c=(10.0,) * 12), series, today)


def test_heat_counts_degree_days_above_five_from_the_first_of_january() -> None:
    heat = heat_courses(days_of(date(2026, 3, 12), {2026: 6.0}), south=False)
    assert heat.this.first_day == date(2026, 1, 1)
    assert heat.total == pytest.approx(71 * 5.0)  # a mean of 10 °C, 5 above the base, on 71 days
    assert heat.last_day == date(2026, 3, 12)


def test_a_warmer_spring_than_all_others_ranks_first_and_a_colder_one_last() -> None:
    warm = heat_courses(days_of(date(2026, 3, 12), {2026: 6.0}), south=False)
    cold = heat_courses(days_of(date(2026, 3, 12), {2026: -5.0}), south=False)
    assert (warm.rank, cold.rank, len(warm.others)) == (1, 13, 12)


def test_other_seasons_are_compared_after_as_many_days() -> None:
    heat = heat_courses(days_of(date(2026, 3, 12), {2025: 6.0}), south=False)
    assert dict(heat.totals_then())[2025] == pytest.approx(71 * 5.0)


def test_chill_is_the_dynamic_model_from_november_on() -> None:
    today = date(2025, 11, 30)
    chill = chill_courses(days_of(today, {}), False, LATITUDE)
    hours = hours_of_series((2.0,) * 30, (10.0,) * 30, date(2025, 11, 1), LATITUDE)
    assert chill.total == pytest.approx(chill_portions(hours)[-1], abs=0.5)


def test_chill_stands_still_after_april() -> None:
    chill = chill_courses(days_of(date(2026, 7, 1), {}), False, LATITUDE)
    assert (chill.last_day, chill.to_come) == (date(2026, 4, 30), ())


def test_before_january_there_is_no_heat_yet_and_nothing_to_rank() -> None:
    heat = heat_courses(days_of(date(2025, 12, 3), {}), south=False)
    assert (heat.last_day, heat.total, heat.totals_then()) == (None, 0.0, ())


def test_in_the_south_both_move_by_six_months() -> None:
    days = days_of(date(2026, 9, 1), {}, south=True)
    assert heat_courses(days, south=True).this.first_day == date(2026, 7, 1)
    assert chill_courses(days, True, -LATITUDE).this.first_day == date(2026, 5, 1)


def test_a_season_that_is_hardly_held_is_not_compared_with() -> None:
    full = days_of(date(2026, 3, 12), {})
    series = full._series
    assert series is not None
    holed = DailySeries(series.first_day, series.tmin_c, series.tmax_c, "n" * 300 + series.marks[300:])
    days = Days(Place(LATITUDE, normals_min_c=(2.0,) * 12, normals_max_c=(10.0,) * 12), holed, date(2026, 3, 12))
    assert 2014 not in [season for season, _ in heat_courses(days, False).totals_then()]


def test_what_is_to_come_goes_on_from_the_sum_so_far_to_the_season_s_end() -> None:
    heat = heat_courses(days_of(date(2026, 3, 12), {}), south=False)
    assert len(heat.this.sums) + len(heat.to_come) == 304
    assert heat.to_come[0][1] >= heat.total


def test_the_forecast_has_no_range_and_the_days_behind_it_have_one() -> None:
    days = coming_days(days_of(date(2026, 3, 12), {}, forecast=3), 5)
    assert [day.is_forecast for day in days] == [True, True, True, False, False]
    assert days[0].tmin_c == (2.0, 2.0, 2.0)
    assert [day.day for day in days] == [date(2026, 3, 13) + step * DAY for step in range(5)]


def test_a_today_that_is_not_held_yet_is_the_first_of_the_days_to_come() -> None:
    days = days_of(date(2026, 3, 12), {})
    late = Days(Place(LATITUDE), days._series, date(2026, 3, 14))
    assert [day.day for day in coming_days(late, 2)] == [date(2026, 3, 14) + step * DAY for step in range(3)]


@examples(20)
@given(
    today=st.dates(date(2024, 11, 2), date(2026, 10, 30)),
    low=st.floats(-15, 20),
    forecast=st.integers(0, 10),
)
def test_ranges_hold_their_median_and_sums_never_fall(today: date, low: float, forecast: int) -> None:
    days = days_of(today, {2025: low}, forecast)
    for day in coming_days(days, 14):
        for middle, lowest, highest in (day.tmin_c, day.tmax_c):
            assert lowest <= middle <= highest
    for courses in (heat_courses(days, False), chill_courses(days, False, LATITUDE)):
        sums = courses.this.sums
        assert all(later >= earlier for earlier, later in pairwise(sums))
        assert all(lowest <= middle <= highest for middle, lowest, highest in courses.to_come)
        assert 1 <= courses.rank <= len(courses.others) + 1


def test_frost_days_are_those_of_this_season_at_zero_or_below() -> None:
    assert frost_days(days_of(date(2026, 1, 4), {2026: 0.0}), south=False) == (4, date(2026, 1, 4))
    assert frost_days(days_of(date(2026, 1, 4), {2025: -1.0}), south=False) == (61, date(2025, 12, 31))
    assert frost_days(days_of(date(2026, 1, 4), {2024: -1.0}), south=False) == (0, None)


def test_the_orchard_s_own_shift_counts() -> None:
    shifted = Place(LATITUDE, normals_min_c=(2.0,) * 12, normals_max_c=(10.0,) * 12, colder_degrees_c=3.0)
    series = days_of(date(2026, 3, 12), {})._series
    assert frost_days(Days(shifted, series, date(2026, 3, 12)), south=False)[0] == 132
