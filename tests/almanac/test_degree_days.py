"""Properties of the heat sums that no table prints."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.heat import sine_sums

temperatures = st.floats(-40, 50)
spans = st.floats(0, 30)


def of_day(tmin_c: float, tmax_c: float, lower_c: float = 5.0) -> float:
    return sine_sums([tmin_c], [tmax_c], lower_c)[0]


@given(low=temperatures, span=spans, warmer=st.floats(0, 10))
def test_a_warmer_day_never_has_less_heat(low: float, span: float, warmer: float) -> None:
    assert of_day(low + warmer, low + span + warmer) >= of_day(low, low + span) - 1e-9


@given(low=temperatures, span=spans, lower=st.floats(0, 12))
def test_heat_is_between_nothing_and_the_whole_day_at_its_maximum(low: float, span: float, lower: float) -> None:
    assert 0 <= of_day(low, low + span, lower) <= max(0.0, low + span - lower) + 1e-9


@given(st.lists(st.tuples(temperatures, spans), max_size=30))
def test_running_sums_are_the_days_added_up_and_never_fall(days: list[tuple[float, float]]) -> None:
    low, high = [pair[0] for pair in days], [pair[0] + pair[1] for pair in days]
    total, wanted = 0.0, []
    for pair in zip(low, high, strict=True):
        total += of_day(*pair)
        wanted.append(total)
    sums = sine_sums(low, high, 5.0)
    assert sums == [pytest.approx(value) for value in wanted]
    assert sums == sorted(sums)
