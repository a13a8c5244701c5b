"""Which crop fruit belongs to, and in which spring a graft first grows, north and south."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.orchard.fruit_year import day_of_fruit_year, first_growing_year, fruit_year, month_day_of


@pytest.mark.parametrize(
    ("day", "south", "year"),
    [
        (date(2025, 10, 8), False, 2025),
        (date(2026, 1, 25), False, 2025),
        (date(2026, 3, 31), False, 2025),
        (date(2026, 4, 1), False, 2026),
        (date(2026, 2, 10), True, 2025),
        (date(2026, 8, 10), True, 2025),
        (date(2026, 11, 20), True, 2026),
    ],
)
def test_fruit_eaten_in_winter_belongs_to_the_spring_before(day: date, south: bool, year: int) -> None:
    assert fruit_year(day, south) == year


@pytest.mark.parametrize(
    ("set_on", "south", "year"),
    [
        (date(2026, 2, 20), False, 2026),
        (date(2026, 6, 15), False, 2026),
        (date(2026, 8, 9), False, 2027),
        (date(2025, 9, 20), True, 2025),
        (date(2026, 2, 10), True, 2026),
    ],
)
def test_a_spring_graft_grows_at_once_and_a_summer_bud_in_the_next_spring(set_on: date, south: bool, year: int) -> None:
    assert first_growing_year(set_on, south) == year


@pytest.mark.parametrize(
    ("month_day", "south", "day"),
    [((4, 1), False, 0), ((6, 21), False, 81), ((3, 31), False, 364), ((10, 1), True, 0), ((12, 21), True, 81)],
)
def test_days_count_from_the_first_of_april_or_october(month_day: tuple[int, int], south: bool, day: int) -> None:
    assert day_of_fruit_year(month_day, south) == day


def test_the_leap_day_stands_for_the_day_before() -> None:
    assert day_of_fruit_year((2, 29)) == day_of_fruit_year((2, 28))


@given(st.integers(0, 364), st.booleans())
def test_a_day_of_the_fruit_year_comes_back_from_its_month_and_day(day: int, south: bool) -> None:
    assert day_of_fruit_year(month_day_of(day, south), south) == day


def test_the_south_turns_with_its_months_as_the_north_does() -> None:
    for north, south in ((date(2027, 3, 31), date(2027, 9, 30)), (date(2027, 4, 1), date(2027, 10, 1))):
        assert fruit_year(south, south=True) == fruit_year(north)
    for north, south in ((date(2027, 7, 31), date(2028, 1, 31)), (date(2027, 8, 1), date(2028, 2, 1))):
        assert first_growing_year(south, south=True) == first_growing_year(north)
