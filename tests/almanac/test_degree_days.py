"""Properties of the heat sums that no table prints."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.heat import (
    average,
    double_sine,
    double_triangle,
    growing_degree_hours,
    growing_degree_hours_anderson,
    sine_sums,
    single_sine,
    single_triangle,
)

temperatures = st.floats(-40, 50)
methods = pytest.mark.parametrize("method", [average, single_sine, single_triangle])
HeatOfDay = Callable[..., float]


@methods
@given(low=temperatures, span=st.floats(0, 30), warmer=st.floats(0, 10), upper=st.none() | st.floats(20, 40))
def test_a_warmer_day_never_has_less_heat(
    method: HeatOfDay, low: float, span: float, warmer: float, upper: float | None
) -> None:
    colder = method(low, low + span, 5.0, upper)
    assert method(low + warmer, low + span + warmer, 5.0, upper) >= colder - 1e-9


@methods
@given(low=temperatures, span=st.floats(0, 30), lower=st.floats(0, 12))
def test_heat_is_between_nothing_and_the_whole_day_at_its_maximum(
    method: HeatOfDay, low: float, span: float, lower: float
) -> None:
    heat = method(low, low + span, lower)
    assert 0 <= heat <= max(0.0, low + span - lower) + 1e-9


@given(low=temperatures, span=st.floats(0, 30))
def test_a_double_method_with_the_same_next_minimum_is_the_single_one(low: float, span: float) -> None:
    assert (double_sine(low, low + span, low, 5.0, 30.0), double_triangle(low, low + span, low, 5.0, 30.0)) == (
        pytest.approx(single_sine(low, low + span, 5.0, 30.0)),
        pytest.approx(single_triangle(low, low + span, 5.0, 30.0)),
    )


@given(low=st.floats(-5, 30), span=st.floats(0, 20))
def test_an_intermediate_cutoff_never_counts_more_than_a_horizontal_one(low: float, span: float) -> None:
    assert single_sine(low, low + span, 5.0, 25.0, "intermediate") <= single_sine(low, low + span, 5.0, 25.0) + 1e-9


def test_an_intermediate_cutoff_takes_off_twice_the_heat_above() -> None:
    assert single_triangle(20, 30, 10, 25, "intermediate") == 15 - 2 * 1.25


def test_an_unknown_cutoff_is_refused() -> None:
    with pytest.raises(ValueError, match="horizontal or intermediate"):
        single_sine(10, 30, 5, 25, "vertical")


@given(st.lists(st.tuples(temperatures, st.floats(0, 30)), max_size=30))
def test_running_sums_are_the_days_added_up_and_never_fall(days: list[tuple[float, float]]) -> None:
    low, high = [pair[0] for pair in days], [pair[0] + pair[1] for pair in days]
    total, wanted = 0.0, []
    for pair in zip(low, high, strict=True):
        total += single_sine(*pair, 5.0)
        wanted.append(total)
    sums = sine_sums(low, high, 5.0)
    assert sums == [pytest.approx(value) for value in wanted]
    assert sums == sorted(sums)


@pytest.mark.parametrize("sums_of", [growing_degree_hours, growing_degree_hours_anderson])
@given(hours=st.lists(temperatures, max_size=48))
def test_degree_hours_never_fall(sums_of: Callable[[list[float]], list[float]], hours: list[float]) -> None:
    sums = sums_of(hours)
    assert len(sums) == len(hours)
    assert sums == sorted(sums)


@pytest.mark.parametrize("sums_of", [growing_degree_hours, growing_degree_hours_anderson])
@given(hour=st.floats(-10, 25), warmer=st.floats(0, 10))
def test_a_warmer_hour_up_to_the_best_one_never_has_less_heat(
    sums_of: Callable[[list[float]], list[float]], hour: float, warmer: float
) -> None:
    assert sums_of([min(25.0, hour + warmer)])[0] >= sums_of([hour])[0] - 1e-9


def test_straight_degree_hours_count_from_the_base_to_the_best_temperature() -> None:
    """Worked by hand from the rule: max(0, min(T, 25) - 4.5)."""
    assert growing_degree_hours([4.5, 10.0, 25.0, 40.0]) == [0.0, 5.5, 26.0, 46.5]
