"""One daily series out of good and bad rows."""

from __future__ import annotations

from datetime import date, timedelta
from math import cos, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.temperature import DailySeries, Normals, build_series, normals_of_series

FIRST = date(2024, 2, 27)
NORMALS = Normals(
    tuple(5 - 6 * cos(2 * pi * (month + 0.5) / 12) for month in range(12)),
    tuple(15 - 8 * cos(2 * pi * (month + 0.5) / 12) for month in range(12)),
)


def day(step: int) -> date:
    return FIRST + timedelta(days=step)


def series_of(*rows: tuple[int, float | None, float | None, bool], normals: Normals | None = None) -> DailySeries:
    series, _ = build_series([(day(step), low, high, forecast) for step, low, high, forecast in rows], normals)
    assert series is not None
    return series


def words_of(*rows: tuple[int, float | None, float | None]) -> str:
    _, words = build_series([(day(step), low, high, False) for step, low, high in rows], None)
    return " ".join(words)


def test_measured_and_forecast_days_are_marked() -> None:
    assert series_of((0, 1, 9, False), (1, 2, 8, True)).marks == "mf"


def test_days_count_on_over_a_leap_day() -> None:
    series = series_of((0, 1, 9, False), (1, 2, 8, False), (2, 3, 7, False), (3, 4, 6, False))
    assert (series.day(date(2024, 2, 29)), series.last_day) == ((3, 7, "m"), date(2024, 3, 1))


def test_a_day_outside_the_series_is_none() -> None:
    series = series_of((0, 1, 9, False))
    assert (series.day(day(-1)), series.day(day(1))) == (None, None)


def test_the_first_row_of_a_day_wins() -> None:
    assert series_of((0, 1, 9, False), (0, 5, 6, False)).day(FIRST) == (1, 9, "m")


def test_a_measured_row_beats_a_forecast_of_a_better_source() -> None:
    assert series_of((0, 1, 9, True), (0, 5, 6, False)).day(FIRST) == (5, 6, "m")


def test_an_unusable_row_leaves_the_day_to_the_next_source() -> None:
    assert series_of((0, 9, 1, False), (0, 5, 6, False)).day(FIRST) == (5, 6, "m")


def test_rows_may_come_in_any_order() -> None:
    assert series_of((1, 2, 8, False), (0, 1, 9, False)).tmin_c == (1, 2)


def test_a_gap_of_five_days_is_a_straight_line() -> None:
    series = series_of((0, 0, 12, False), (6, 6, 6, False), normals=NORMALS)
    assert (series.tmin_c, series.marks) == (pytest.approx((0, 1, 2, 3, 4, 5, 6)), "miiiiim")


def test_a_gap_of_six_days_takes_the_normals() -> None:
    series = series_of((0, 0, 12, False), (7, 6, 6, False), normals=NORMALS)
    assert series.day(day(3)) == (*NORMALS.day(day(3)), "n")


def test_a_long_gap_without_normals_takes_the_monthly_means_of_the_days_held() -> None:
    rows = [(step, *NORMALS.day(day(step)), False) for step in range(800) if not 400 <= step < 500]
    series = series_of(*rows)
    low, high = NORMALS.day(day(450))
    assert series.day(day(450)) == (pytest.approx(low, abs=0.5), pytest.approx(high, abs=0.5), "n")


def test_a_long_gap_with_nothing_to_go_by_is_a_line_and_says_so() -> None:
    series, words = build_series([(FIRST, 0, 12, False), (day(9), 9, 12, False), (day(11), 9, 12, False)], None)
    assert series is not None
    assert series.marks == "miiiiiiiimim"
    assert words == ("8 days without temperatures, in long gaps, are only interpolated: there are no normals.",)


def test_a_filled_gap_is_counted_in_words() -> None:
    _, words = build_series([(FIRST, 0, 12, False), (day(9), 9, 12, False)], NORMALS)
    assert words == ("8 days without temperatures are filled from the normals.",)


def test_swapped_days_are_set_aside_and_counted() -> None:
    words = words_of((0, 9, 1), (1, 8, 2), (2, 1, 9))
    assert words == (
        "The temperatures of 2 days between 2024-02-27 and 2024-02-28 are set aside: the minimum is above the maximum."
    )


def test_one_unbelievable_day_is_named() -> None:
    words = words_of((0, -80, 1), (1, 1, 9))
    assert words == "The temperatures of 2024-02-27 are set aside: not between -60 and 60 °C."


@pytest.mark.parametrize("bound", [-60, 60])
def test_the_bounds_themselves_are_believed(bound: float) -> None:
    assert series_of((0, bound, bound, False)).day(FIRST) == (bound, bound, "m")


def test_a_summer_in_fahrenheit_is_noticed() -> None:
    assert "°F taken for °C" in words_of(*[(step, 60.0, 85.0) for step in range(30)])


def test_a_winter_in_fahrenheit_is_noticed() -> None:
    assert "°F taken for °C" in words_of(*[(step, 31.0, 45.0) for step in range(30)])


def test_one_spike_is_not_taken_for_fahrenheit() -> None:
    assert "°F" not in words_of(*[(step, 5.0, 15.0) for step in range(30)], (30, 5.0, 99.0))


def test_no_usable_row_is_no_series() -> None:
    rows = [(FIRST, None, None, False), (day(1), 3.0, None, False), (day(2), float("nan"), 3.0, False)]
    assert build_series(rows, NORMALS) == (None, ())


def test_one_day_is_a_series() -> None:
    assert len(series_of((0, 1, 9, False))) == 1


def test_a_year_without_any_value_is_filled_from_the_normals() -> None:
    rows = [(step, 1.0 if not 300 <= step < 665 else None, 9.0, False) for step in range(1000)]
    assert series_of(*rows, normals=NORMALS).marks.count("n") == 365


def test_the_curve_of_normals_has_them_as_monthly_means() -> None:
    low_of_year, high_of_year = NORMALS.year()
    days = [date(2023, 1, 1) + timedelta(days=step) for step in range(365)]
    for month in range(12):
        inside = [each.timetuple().tm_yday - 1 for each in days if each.month == month + 1]
        means = [sum(curve[index] for index in inside) / len(inside) for curve in (low_of_year, high_of_year)]
        assert means == [
            pytest.approx(NORMALS.minimum_c[month], abs=0.25),
            pytest.approx(NORMALS.maximum_c[month], abs=0.25),
        ]


def test_the_curve_of_normals_swings_as_far_as_their_monthly_means_do() -> None:
    wave = [cos(2 * pi * (month + 0.5) / 12) for month in range(12)]
    curve, _ = Normals(tuple(-20 * share for share in wave), (30.0,) * 12).year()
    days = [date(2023, 1, 1) + timedelta(days=step) for step in range(365)]
    swing = 0.0
    for month, share in enumerate(wave):
        inside = [curve[each.timetuple().tm_yday - 1] for each in days if each.month == month + 1]
        swing -= share * sum(inside) / len(inside) / 6
    assert swing == pytest.approx(20, abs=0.05)


def test_a_flat_climate_has_a_flat_curve() -> None:
    assert Normals((3.0,) * 12, (9.0,) * 12).day(date(2024, 12, 31)) == pytest.approx((3.0, 9.0))


def test_normals_of_a_series_need_every_month() -> None:
    assert normals_of_series(series_of(*[(step, 1, 9, False) for step in range(300)])) is None


def test_normals_of_a_series_are_its_monthly_means() -> None:
    rows = [(step, float(day(step).month), float(day(step).month + 5), False) for step in range(366)]
    assert normals_of_series(series_of(*rows)) == Normals(
        tuple(float(month) for month in range(1, 13)), tuple(float(month + 5) for month in range(1, 13))
    )


temperatures = st.floats(-60, 60)
rows_of_days = st.lists(
    st.tuples(st.integers(0, 60), temperatures | st.none(), temperatures | st.none(), st.booleans()), max_size=40
)


@given(rows_of_days)
def test_every_series_is_whole_and_in_order(rows: list[tuple[int, float | None, float | None, bool]]) -> None:
    series, _ = build_series([(day(step), low, high, forecast) for step, low, high, forecast in rows], NORMALS)
    if series is not None:
        assert len(series.tmin_c) == len(series.tmax_c) == len(series.marks) == len(series)
        assert all(low <= high + 1e-9 for low, high in zip(series.tmin_c, series.tmax_c, strict=True))


@given(temperatures, temperatures, st.integers(1, 5))
def test_interpolated_days_lie_between_their_neighbours(before: float, after: float, missing: int) -> None:
    series = series_of((0, before, 60, False), (missing + 1, after, 60, False))
    low, high = min(before, after) - 1e-9, max(before, after) + 1e-9
    assert all(low <= value <= high for value in series.tmin_c)
