"""Heat sums on days so plain that the answer can be counted on the fingers."""

from __future__ import annotations

from datetime import date, timedelta

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


def test_a_sum_that_runs_into_the_days_to_come_goes_on_counting() -> None:
    assert calendar().after(date(2026, 5, 22), 200).day == date(2026, 6, 11)


def test_a_sum_from_a_day_to_come_counts_from_that_day() -> None:
    assert calendar().after(date(2026, 7, 10), 200).day == date(2026, 7, 30)


def test_a_sum_from_next_year_is_reached_too() -> None:
    assert calendar().after(date(2027, 3, 1), 200).day == date(2027, 3, 21)


def test_a_place_that_is_behind_its_temperatures_meets_the_same_days_later() -> None:
    # Eight days behind: what the series had from 24 March on comes here from 1 April on.
    assert calendar(8).after(date(2026, 4, 1), 200).day == date(2026, 4, 21)


def test_what_can_never_be_reached_has_no_day() -> None:
    assert calendar().after(date(2026, 4, 1), 1e9).day is None


@given(st.integers(-300, 300), st.integers(1, 1500), st.integers(0, 500))
def test_more_heat_is_never_reached_earlier(offset: int, heat: int, more: int) -> None:
    start = TODAY + timedelta(days=offset)
    sooner, later = _CALENDAR.after(start, heat), _CALENDAR.after(start, heat + more)
    assert sooner.day is not None
    assert later.day is not None
    assert sooner.day <= later.day


_CALENDAR = calendar()
