"""Heat sums on days so plain that the answer can be counted on the fingers."""

from __future__ import annotations

from datetime import date, timedelta
from math import pi
from time import process_time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.days import Days
from tendwork.almanac.heat_calendar import HeatCalendar
from tendwork.almanac.place import Place
from tendwork.almanac.temperature import DailySeries

TODAY = date(2026, 6, 1)
FIRST = date(2012, 1, 1)
# Every day from 10 to 20 °C: the whole day lies above 5 °C, so each gives its mean less 5, ten degree-days.
STEADY = DailySeries(
    FIRST, (10.0,) * ((TODAY - FIRST).days + 1), (20.0,) * ((TODAY - FIRST).days + 1), "m" * ((TODAY - FIRST).days + 1)
)


def calendar(late_days: int = 0) -> HeatCalendar:
    return HeatCalendar(Days(Place(50.0), STEADY, TODAY), late_days)


def test_a_sum_in_the_past_is_reached_on_one_known_day() -> None:
    reached = calendar().after(date(2026, 4, 1), 200)
    assert (reached.day, reached.low, reached.high) == (date(2026, 4, 21),) * 3


def test_an_earlier_day_asked_for_before_changes_no_sum_in_its_last_bit() -> None:
    """A calendar serves until the temperatures change, and what was asked of it meanwhile must not show."""
    count = (TODAY - FIRST).days + 1
    uneven = [5 + 7 * ((step * 37) % 101) / 101 for step in range(count)]
    days = Days(Place(50.0), DailySeries(FIRST, tuple(uneven), tuple(low + 9.1 for low in uneven), "m" * count), TODAY)
    asked_before = HeatCalendar(days)
    for back_days in (10, 700, 2000):
        asked_before.between(TODAY - timedelta(days=back_days), TODAY)
    for back_days in range(1, 400, 7):
        begin = TODAY - timedelta(days=back_days)
        assert asked_before.between(begin, TODAY) == HeatCalendar(days).between(begin, TODAY)


def test_a_sum_that_runs_into_the_days_to_come_goes_on_counting() -> None:
    assert calendar().after(date(2026, 5, 22), 200).day == date(2026, 6, 11)


def test_a_sum_from_a_day_to_come_counts_from_that_day() -> None:
    assert calendar().after(date(2026, 7, 10), 200).day == date(2026, 7, 30)


def test_a_sum_from_next_year_is_reached_too() -> None:
    assert calendar().after(date(2027, 3, 1), 200).day == date(2027, 3, 21)


def test_a_place_that_is_behind_its_temperatures_meets_the_same_days_later() -> None:
    # Eight days behind: what the series had from 24 March on comes here from 1 April on.
    assert calendar(8).after(date(2026, 4, 1), 200).day == date(2026, 4, 21)


@pytest.mark.parametrize("place", [Place(50.0), Place(50.0, normals_min_c=(5.0,) * 12, normals_max_c=(15.0,) * 12)])
def test_without_temperatures_a_season_s_sums_are_seen_from_its_first_day(place: Place) -> None:
    first = date(2026, 11, 1)
    on_first, in_january = (HeatCalendar(Days(place, None, day)) for day in (first, date(2027, 1, 15)))
    for start, heat in ((date(2027, 4, 20), 950), (date(2027, 4, 20), 300), (date(2028, 5, 1), 600)):
        reached, later = on_first.after(start, heat).day, in_january.after(start, heat).day
        assert reached is not None
        assert later == reached


def test_what_can_never_be_reached_has_no_day() -> None:
    assert calendar().after(date(2026, 4, 1), 1e9).day is None


@given(st.integers(-300, 300), st.integers(1, 1500), st.integers(0, 500))
def test_more_heat_is_never_reached_earlier(offset: int, heat: int, more: int) -> None:
    start = TODAY + timedelta(days=offset)
    sooner, later = _CALENDAR.after(start, heat), _CALENDAR.after(start, heat + more)
    assert sooner.day is not None
    assert later.day is not None
    assert sooner.day <= later.day


def test_the_heat_between_two_days_is_that_of_the_days_after_the_first_through_the_last() -> None:
    assert calendar().between(date(2026, 4, 1), date(2026, 4, 21)) == pytest.approx(200)
    assert calendar().between(date(2026, 4, 1), date(2026, 4, 1)) == 0.0
    assert calendar().between(date(2026, 4, 2), date(2026, 4, 1)) == 0.0


def test_the_heat_between_two_days_is_summed_by_hand() -> None:
    # Single sine above 5 °C: nothing below it, the mean less 5 above it, and 10 / pi for 5 °C plus and minus 10 °C.
    lows, highs = (-9.0, 8.0, -5.0, 7.0), (4.0, 18.0, 15.0, 9.0)
    days = Days(Place(50.0), DailySeries(date(2026, 5, 29), lows, highs, "mmmm"), TODAY)
    heat = HeatCalendar(days).between
    assert heat(date(2026, 5, 28), date(2026, 5, 29)) == 0.0
    assert heat(date(2026, 5, 29), date(2026, 5, 30)) == pytest.approx(8.0)
    assert heat(date(2026, 5, 30), date(2026, 5, 31)) == pytest.approx(10 / pi)
    assert heat(date(2026, 5, 28), TODAY) == pytest.approx(8.0 + 10 / pi + 3.0)


@given(st.integers(-3000, 60), st.integers(1, 1500), st.sampled_from((0, 8, -5)))
def test_so_much_heat_has_come_by_the_day_on_which_it_is_reached(offset: int, heat: int, late_days: int) -> None:
    start = TODAY + timedelta(days=offset)
    kept = _BEHIND[late_days]
    reached = kept.after(start, heat).day
    assert reached is not None
    by_then, the_day_before = kept.between(start, reached), kept.between(start, reached - timedelta(days=1))
    assert by_then is not None
    assert the_day_before is not None
    assert the_day_before < heat + 1e-6
    assert by_then > heat - 1e-6


def test_heat_of_days_never_measured_comes_from_the_normals_or_is_unknown() -> None:
    normals = Place(50.0, normals_min_c=(10.0,) * 12, normals_max_c=(20.0,) * 12)
    start = TODAY - timedelta(days=1000)
    for series in (None, DailySeries(TODAY, (10.0,), (20.0,), "m")):
        heat = HeatCalendar(Days(normals, series, TODAY)).between(start, TODAY)
        assert heat == pytest.approx(10_000, rel=0.02)
        assert HeatCalendar(Days(Place(50.0), series, TODAY)).between(start, TODAY) is None


def test_a_few_days_missing_do_not_make_the_heat_of_many_unknown() -> None:
    count = 60
    held = DailySeries(TODAY - timedelta(days=count + 1), (10.0,) * count, (20.0,) * count, "m" * count)
    kept = HeatCalendar(Days(Place(50.0), held, TODAY))
    heat = kept.between(TODAY - timedelta(days=50), TODAY)
    assert heat is not None
    assert 480 <= heat < 510
    assert kept.between(TODAY - timedelta(days=1), TODAY) is None
    assert kept.between(TODAY - timedelta(days=50), TODAY + timedelta(days=20)) is None


def test_a_thousand_sums_of_heat_are_cheap() -> None:
    kept = calendar()
    kept.between(FIRST, TODAY)
    begin = process_time()
    for step in range(1000):
        kept.between(FIRST + timedelta(days=5 * step), TODAY)
    assert process_time() - begin < 0.1


_CALENDAR = calendar()
_BEHIND = {late_days: calendar(late_days) for late_days in (0, 8, -5)}
