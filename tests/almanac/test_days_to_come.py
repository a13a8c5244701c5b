"""The ensemble of days to come."""

from __future__ import annotations

from datetime import date, timedelta
from statistics import correlation, mean, stdev

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st

from tendwork.almanac.ensemble import days_to_come, invented_days
from tendwork.almanac.temperature import DailySeries, Normals, build_series

NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
TODAY = date(2024, 2, 20)
UNTIL = date(2024, 6, 30)


def held(first: date, last: date, forecast_days: int = 0, seed: int = 5) -> DailySeries:
    rows = [(day, low, high, day > last) for day, low, high in invented_days(NORMALS, seed, first, last)]
    rows += [(last + timedelta(days=step), 20.0 + step, 30.0 + step, True) for step in range(1, forecast_days + 1)]
    series, _ = build_series(rows, NORMALS)
    assert series is not None
    return series


TWENTY_YEARS = held(date(2004, 1, 1), TODAY)
WITH_FORECAST = held(date(2004, 1, 1), TODAY, forecast_days=7)
THREE_YEARS = held(date(2021, 1, 1), TODAY)
SOURCES = {
    "twenty years": (TWENTY_YEARS, None),
    "a forecast": (WITH_FORECAST, NORMALS),
    "three years": (THREE_YEARS, None),
    "normals only": (None, NORMALS),
}
sources = pytest.mark.parametrize(("series", "normals"), SOURCES.values(), ids=SOURCES.keys())


@sources
def test_every_trace_has_each_day_until_the_last_in_order(series: DailySeries | None, normals: Normals | None) -> None:
    traces = days_to_come(series, normals, TODAY, UNTIL)
    assert {(len(trace.tmin_c), len(trace.tmax_c)) for trace in traces} == {((UNTIL - TODAY).days,) * 2}
    assert all(low <= high for trace in traces for low, high in zip(trace.tmin_c, trace.tmax_c, strict=True))


@sources
def test_the_same_input_gives_the_same_traces(series: DailySeries | None, normals: Normals | None) -> None:
    assert days_to_come(series, normals, TODAY, UNTIL) == days_to_come(series, normals, TODAY, UNTIL)


def test_each_past_season_that_is_held_is_one_trace_however_far_ahead() -> None:
    # The days begin on 1 January 2004: the first whole season is that of 2005, the last before today's that of 2023.
    assert len(days_to_come(TWENTY_YEARS, None, TODAY, UNTIL)) == 19
    assert len(days_to_come(TWENTY_YEARS, None, TODAY, TODAY + timedelta(days=800))) == 19


def test_draws_stand_for_the_past_seasons_that_lack_and_fewer_with_each_more() -> None:
    counts = [
        len(days_to_come(held(date(first, 1, 1), TODAY), None, TODAY, UNTIL)) for first in (2023, 2022, 2018, 2012)
    ]
    assert counts == [30, 1 + 28, 5 + 16, 11]


def test_only_the_newest_past_years_are_used() -> None:
    few = days_to_come(TWENTY_YEARS, None, TODAY, UNTIL, members=12)
    assert few == days_to_come(TWENTY_YEARS, None, TODAY, UNTIL)[:12]


def test_a_trace_ends_as_its_own_past_year_went() -> None:
    trace = days_to_come(TWENTY_YEARS, None, TODAY, UNTIL)[0]
    assert TWENTY_YEARS.day(date(2023, 6, 30)) == (
        pytest.approx(trace.tmin_c[-1]),
        pytest.approx(trace.tmax_c[-1]),
        "m",
    )


def test_a_leap_day_to_come_is_the_28_february_of_a_year_without_one() -> None:
    today = date(2024, 1, 2)
    trace = days_to_come(held(date(2004, 1, 1), today), None, today, UNTIL)[0]
    leap = (date(2024, 2, 29) - today).days - 1
    assert trace.tmin_c[leap - 1] == trace.tmin_c[leap]
    assert trace.tmin_c[leap + 1] == TWENTY_YEARS.tmin_c[(date(2023, 3, 1) - date(2004, 1, 1)).days]


def test_a_leap_day_of_the_past_is_left_out_of_a_year_without_one() -> None:
    today = date(2023, 1, 2)
    trace = days_to_come(held(date(2003, 1, 1), today), None, today, date(2023, 3, 9))[2]
    past = held(date(2003, 1, 1), today)
    after_february = (date(2023, 3, 1) - today).days - 1
    assert trace.tmin_c[after_february - 1 : after_february + 1] == (
        past.tmin_c[(date(2020, 2, 28) - date(2003, 1, 1)).days],
        past.tmin_c[(date(2020, 3, 1) - date(2003, 1, 1)).days],
    )


def test_traces_run_over_the_end_of_a_year() -> None:
    today = date(2023, 11, 5)
    series = held(date(2004, 1, 1), today)
    trace = days_to_come(series, None, today, date(2024, 5, 1))[0]
    assert trace.tmin_c[-1] == series.tmin_c[(date(2023, 5, 1) - date(2004, 1, 1)).days]


def test_a_past_season_filled_from_normals_is_none() -> None:
    rows = [
        (day, low, high, False)
        for day, low, high in invented_days(NORMALS, 5, date(2004, 1, 1), TODAY)
        if day.year != 2023
    ]
    series, _ = build_series(rows, NORMALS)
    assert len(days_to_come(series, None, TODAY, UNTIL)) == 18


@pytest.mark.parametrize("series", [WITH_FORECAST, held(date(2021, 1, 1), TODAY, forecast_days=7)])
def test_forecast_days_come_first_in_every_trace(series: DailySeries) -> None:
    traces = days_to_come(series, NORMALS, TODAY, UNTIL)
    assert {trace.tmin_c[:7] for trace in traces} == {(21.0, 22.0, 23.0, 24.0, 25.0, 26.0, 27.0)}


def test_a_forecast_to_the_last_day_is_all_there_is() -> None:
    traces = days_to_come(WITH_FORECAST, NORMALS, TODAY, TODAY + timedelta(days=3), members=4)
    assert [trace.tmax_c for trace in traces] == [(31.0, 32.0, 33.0)] * 4


def test_measured_days_after_today_are_not_used() -> None:
    today = TODAY - timedelta(days=200)
    known_then = held(date(2004, 1, 1), TODAY)
    cut = DailySeries(known_then.first_day, known_then.tmin_c[:-200], known_then.tmax_c[:-200], known_then.marks[:-200])
    assert days_to_come(known_then, NORMALS, today, UNTIL) == days_to_come(cut, NORMALS, today, UNTIL)


@pytest.mark.parametrize("first_year", [2004, 2021])
def test_a_warm_spell_fades_into_the_usual(first_year: int) -> None:
    first = date(first_year, 1, 1)
    usual, warm = held(first, TODAY), held(first, TODAY, forecast_days=7)
    start = TODAY + timedelta(days=7)
    plain = days_to_come(usual, NORMALS, start, UNTIL)
    after_heat = [trace.tmin_c[7:] for trace in days_to_come(warm, NORMALS, TODAY, UNTIL)]
    lift = [mean(trace[step] for trace in after_heat) - mean(t.tmin_c[step] for t in plain) for step in (0, 5, 60)]
    assert lift[0] > 10
    assert 2 < lift[1] < 7
    assert abs(lift[2]) < 1


def test_draws_keep_the_mean_of_the_normals() -> None:
    traces = days_to_come(None, NORMALS, TODAY, UNTIL)
    june = [mean(trace.tmin_c[-30:]) for trace in traces]
    assert mean(june) == pytest.approx(NORMALS.minimum_c[5], abs=0.5)


@pytest.mark.parametrize("step", [0, 5, -1])
def test_draws_without_a_known_day_differ_from_one_another_as_days_do(step: int) -> None:
    spreads = []
    for place in range(20):
        traces = days_to_come(None, NORMALS, TODAY, UNTIL, place=f"place {place}")
        spreads.append(stdev((trace.tmin_c[step] + trace.tmax_c[step]) / 2 for trace in traces))
    assert 3.0 < mean(spreads) < 3.7


def test_draws_right_after_a_known_day_lie_closer_together() -> None:
    traces = days_to_come(THREE_YEARS, NORMALS, TODAY, UNTIL)
    spread = [stdev((trace.tmin_c[step] + trace.tmax_c[step]) / 2 for trace in traces) for step in (0, 20)]
    assert spread[0] < 0.85 * spread[1]


def test_drawn_days_persist_as_measured_ones_do() -> None:
    """Lag-one correlation of daily means in Seattle, 2012 to 2015 (NOAA), is 0.75, computed apart from this project."""
    days = invented_days(Normals((5.0,) * 12, (15.0,) * 12), 1, date(2000, 1, 1), date(2019, 12, 31))
    means = [low + high for _, low, high in days]
    assert correlation(means[1:], means[:-1]) == pytest.approx(0.75, abs=0.03)


def test_the_last_days_of_a_draw_stay_the_same_from_one_morning_to_the_next() -> None:
    today, tomorrow = (days_to_come(None, NORMALS, TODAY + timedelta(days=step), UNTIL) for step in (0, 1))
    assert [trace.tmin_c[-20:] for trace in tomorrow] == [pytest.approx(trace.tmin_c[-20:]) for trace in today]


def test_what_is_drawn_for_a_day_hangs_on_the_place_and_the_day_alone() -> None:
    here, farther = (days_to_come(None, NORMALS, TODAY, UNTIL + timedelta(days=more)) for more in (0, 300))
    assert [trace.tmax_c[: len(trace.tmin_c)] for trace in here] == [
        trace.tmax_c[: (UNTIL - TODAY).days] for trace in farther
    ]
    elsewhere = days_to_come(None, NORMALS, TODAY, UNTIL, place="elsewhere")
    assert here != elsewhere
    # Normals a little warmer, as a growing series makes them, move the same days a little.
    warmer = Normals(*(tuple(value + 0.1 for value in months) for months in (NORMALS.minimum_c, NORMALS.maximum_c)))
    for trace, moved in zip(here, days_to_come(None, warmer, TODAY, UNTIL), strict=True):
        assert moved.tmin_c == pytest.approx([value + 0.1 for value in trace.tmin_c])


@pytest.mark.parametrize("south", [False, True])
def test_past_seasons_give_the_same_calendar_days(south: bool) -> None:
    first = date(2004, 1, 1)
    ordinals = range(first.toordinal(), TODAY.toordinal() + 1)
    of_year = tuple(
        float(date.fromordinal(ordinal).month * 100 + date.fromordinal(ordinal).day) / 100 for ordinal in ordinals
    )
    series = DailySeries(first, of_year, of_year, "m" * len(of_year))
    ahead = 760
    for trace in days_to_come(series, None, TODAY, TODAY + timedelta(days=ahead), south=south):
        days = [TODAY + timedelta(days=step + 1) for step in range(ahead)]
        wrong = [
            day
            for day, value in zip(days, trace.tmax_c, strict=True)
            if round(value * 100) != day.month * 100 + day.day and (day.month, day.day) != (2, 29)
        ]
        assert not wrong


def test_an_odd_number_of_draws_is_kept() -> None:
    assert len(days_to_come(None, NORMALS, TODAY, UNTIL, members=7)) == 7


def test_nothing_to_go_by_gives_no_trace() -> None:
    one_day, _ = build_series([(TODAY, 1.0, 9.0, False)], None)
    assert (days_to_come(None, None, TODAY, UNTIL), days_to_come(one_day, None, TODAY, UNTIL)) == ([], [])


def test_one_day_and_normals_are_enough() -> None:
    one_day, _ = build_series([(TODAY, 1.0, 9.0, False)], None)
    assert len(days_to_come(one_day, NORMALS, TODAY, UNTIL)) == 30


def test_no_days_to_come_give_no_trace() -> None:
    assert days_to_come(TWENTY_YEARS, NORMALS, TODAY, TODAY) == []


@examples(40)
@given(st.dates(date(2010, 1, 1), date(2026, 12, 31)), st.integers(1, 500))
def test_any_day_of_the_year_has_whole_traces(today: date, ahead: int) -> None:
    traces = days_to_come(TWENTY_YEARS, NORMALS, today, today + timedelta(days=ahead))
    assert len(traces) >= 10
    assert {len(trace.tmin_c) for trace in traces} == {ahead}


def test_invented_days_are_the_same_for_the_same_number_and_differ_for_another() -> None:
    first, last = date(2020, 2, 28), date(2020, 3, 1)
    days = invented_days(NORMALS, 1, first, last)
    assert [day for day, _, _ in days] == [first, date(2020, 2, 29), last]
    assert days == invented_days(NORMALS, 1, first, last) != invented_days(NORMALS, 2, first, last)
