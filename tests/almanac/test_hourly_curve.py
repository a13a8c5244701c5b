"""Day length and hourly temperatures: shapes that hold everywhere and all year."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference_formulas import day_length_fao56

from tendwork.almanac.daylength import daylight
from tendwork.almanac.hourly import hours_of_day, hours_of_series

latitudes = st.floats(-90, 90)
orchard_latitudes = st.floats(-60, 60)
days_of_year = st.integers(1, 366)
daily = st.lists(st.tuples(st.floats(-30, 30), st.floats(0, 25)), min_size=1, max_size=12)
FIRST = date(2023, 12, 27)


@given(latitudes, days_of_year)
def test_every_place_and_day_has_between_no_light_and_twenty_four_hours(latitude: float, day_of_year: int) -> None:
    light = daylight(latitude, day_of_year)
    assert 0 <= light.sunrise_hour <= 12 <= light.sunset_hour <= 24


@pytest.mark.parametrize(
    ("latitude", "day_of_year", "hours"), [(80, 172, 24), (80, 355, 0), (-80, 172, 0), (-80, 355, 24)]
)
def test_polar_days_and_nights_are_whole(latitude: float, day_of_year: int, hours: float) -> None:
    assert daylight(latitude, day_of_year).length_hours == hours


@given(st.floats(1, 60), st.integers(100, 240))
def test_summer_days_grow_longer_towards_the_pole(latitude: float, day_of_year: int) -> None:
    assert daylight(latitude + 5, day_of_year).length_hours > daylight(latitude, day_of_year).length_hours


@given(orchard_latitudes, days_of_year)
def test_day_length_is_that_of_fao_56_within_two_thirds_of_an_hour(latitude: float, day_of_year: int) -> None:
    assert daylight(latitude, day_of_year).length_hours == pytest.approx(
        day_length_fao56(latitude, day_of_year), abs=2 / 3
    )


@given(daily, latitudes)
def test_there_are_twenty_four_hours_a_day(days: list[tuple[float, float]], latitude: float) -> None:
    low, high = [day[0] for day in days], [day[0] + day[1] for day in days]
    assert len(hours_of_series(low, high, FIRST, latitude)) == 24 * len(days)


@given(st.floats(-30, 30), st.floats(0, 25), st.integers(0, 365), orchard_latitudes)
def test_a_steady_day_stays_between_its_minimum_and_maximum(
    low: float, span: float, step: int, latitude: float
) -> None:
    day = date.fromordinal(FIRST.toordinal() + step)
    hours = hours_of_day(low, low + span, day, latitude)
    assert low - 1e-9 <= min(hours)
    assert max(hours) <= low + span + 1e-9


@given(daily, orchard_latitudes)
def test_the_curve_never_dips_below_the_minimum_of_the_night(days: list[tuple[float, float]], latitude: float) -> None:
    low, high = [day[0] for day in days], [day[0] + day[1] for day in days]
    hours = hours_of_series(low, high, FIRST, latitude)
    assert min(hours) >= min(low) - 1e-9


def test_the_hour_of_sunrise_is_the_minimum() -> None:
    hours = hours_of_day(5.0, 15.0, date(2023, 3, 21), 0)
    assert (min(hours), hours.index(min(hours))) == (pytest.approx(5.0, abs=0.2), 6)


def test_a_series_and_its_days_one_by_one_agree() -> None:
    low, high = (1.0, 4.0, -2.0), (9.0, 11.0, 6.0)
    whole = hours_of_series(low, high, FIRST, 48.0)
    day = date.fromordinal(FIRST.toordinal() + 1)
    assert hours_of_day(4.0, 11.0, day, 48.0, before=(1.0, 9.0), next_tmin_c=-2.0) == pytest.approx(whole[24:48])


def test_hours_run_over_the_end_of_a_leap_year() -> None:
    hours = hours_of_series([1.0] * 4, [9.0] * 4, date(2024, 12, 30), 48.0)
    assert hours[24:48] == pytest.approx(hours[48:72], abs=0.05)


def test_no_days_are_no_hours() -> None:
    assert hours_of_series((), (), FIRST, 48.0) == []
