"""Chill sums: edges and properties that no table prints."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.chill import chill_portions, chilling_hours, utah_units

hours_c = st.lists(st.floats(-40, 45), max_size=200)
SumsOf = Callable[[list[float]], list[float]]


@pytest.mark.parametrize("sums_of", [chilling_hours, utah_units, chill_portions])
@given(hours=hours_c)
def test_there_is_one_sum_an_hour(sums_of: SumsOf, hours: list[float]) -> None:
    assert len(sums_of(hours)) == len(hours)


@pytest.mark.parametrize("sums_of", [chilling_hours, chill_portions])
@given(hours=hours_c)
def test_hours_and_portions_never_fall(sums_of: SumsOf, hours: list[float]) -> None:
    sums = sums_of(hours)
    assert sums == sorted(sums)


@pytest.mark.parametrize("sums_of", [chilling_hours, utah_units, chill_portions])
@given(hours=hours_c, more=hours_c)
def test_later_hours_do_not_change_earlier_sums(sums_of: SumsOf, hours: list[float], more: list[float]) -> None:
    assert sums_of(hours + more)[: len(hours)] == sums_of(hours)


@given(hours=hours_c)
def test_one_hour_order_is_the_other_an_hour_later(hours: list[float]) -> None:
    late = chill_portions(hours, hour_order="previous")
    assert late == pytest.approx(chill_portions(hours[:1] + hours[:-1], hour_order="current"))


def test_chilling_hours_count_both_edges() -> None:
    assert chilling_hours([-0.1, 0.0, 7.2, 7.3]) == [0, 1, 2, 2]


def test_utah_units_can_fall_below_nothing() -> None:
    assert utah_units([20.0, 16.0, 5.0]) == [-1.0, -1.5, -0.5]


def test_an_unknown_hour_order_is_refused() -> None:
    with pytest.raises(ValueError, match="previous or current"):
        chill_portions([5.0], hour_order="next")
