"""Frost and heat of a season beside other years, from days that are made so that every sum is worked out by hand."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from tendwork.almanac.results import StageDate
from tendwork.almanac.season_weather import Bloom, BloomDay, season_bloom, season_weather
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import FORECAST, INTERPOLATED, MEASURED, USUAL

TODAY = date(2026, 12, 1)
Days = dict[date, tuple[float, float, str]]


class MadeDays:
    """Every day held has a minimum of 5 °C and a maximum of 15 °C, ten degree-days less five, but those named."""

    def __init__(self, first: date, last: date, changed: Days | None = None, missing: set[date] | None = None) -> None:
        self._days: Days = {}
        day = first
        while day <= last:
            self._days[day] = (5.0, 15.0, MEASURED)
            day += timedelta(days=1)
        self._days |= changed or {}
        for gone in missing or ():
            del self._days[gone]
        self.bloom: dict[int, StageDate] = {}

    @property
    def first_held(self) -> date | None:
        return min(self._days, default=None)

    def day(self, day: date) -> tuple[float, float, str] | None:
        return self._days.get(day)

    def usual_day(self, day: date) -> tuple[float, float] | None:  # noqa: ARG002
        return 5.0, 15.0

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate:  # noqa: ARG002
        return self.bloom.get(season.name, StageDate("full bloom", 65, "unreached", None, None, None))


def frost(low: float, high: float = 8.0, mark: str = MEASURED) -> tuple[float, float, str]:
    return low, high, mark


def test_the_last_frost_the_coldest_night_and_the_hot_days() -> None:
    days = MadeDays(
        date(2025, 11, 1),
        date(2026, 10, 31),
        {
            date(2025, 12, 30): frost(-9.5),
            date(2026, 4, 20): frost(0.0),
            date(2026, 4, 25): frost(0.1),
            date(2026, 5, 2): frost(-3.0, mark=USUAL),  # not held: the climate's own
            date(2026, 7, 1): frost(14.0, 30.0),
            date(2026, 7, 2): frost(14.0, 30.1),
            date(2026, 10, 20): frost(-1.0),  # in autumn
        },
    )
    year, others = season_weather(days, Season(2026), TODAY)
    assert (year.last_frost, year.coldest_on, year.coldest_c) == (date(2026, 4, 20), date(2025, 12, 30), -9.5)
    assert (year.hot_days, year.days, year.missing, year.spring_missing) == (1, 365, 1, 1)
    assert others == ()


def test_degree_days_are_ten_minus_five_a_day_from_january_on() -> None:
    year, _ = season_weather(MadeDays(date(2025, 11, 1), date(2026, 10, 31)), Season(2026), TODAY)
    # 1 January to 31 August are 243 days, to 30 September 273, each with a mean of 10 °C
    assert [(heat.to, heat.degree_days_c) for heat in year.heat] == [
        (date(2026, 8, 31), pytest.approx(243 * 5)),
        (date(2026, 9, 30), pytest.approx(273 * 5)),
    ]


def test_in_the_south_all_of_it_is_half_a_year_later() -> None:
    days = MadeDays(
        date(2026, 5, 1), date(2027, 4, 30), {date(2026, 10, 3): frost(-1.0), date(2027, 1, 9): frost(9, 33)}
    )
    year, _ = season_weather(days, Season(2026, south=True), date(2027, 6, 1))
    assert (year.last_frost, year.hot_days, year.days) == (date(2026, 10, 3), 1, 365)
    year, _ = season_weather(MadeDays(date(2026, 5, 1), date(2027, 4, 30)), Season(2026, south=True), date(2027, 6, 1))
    # 1 July to 28 February are 243 days, to 30 March 273
    assert [(heat.to, round(heat.degree_days_c or 0)) for heat in year.heat] == [
        (date(2027, 2, 28), 243 * 5),
        (date(2027, 3, 30), 273 * 5),
    ]


def test_a_sum_with_too_many_days_missing_is_not_known_and_a_few_count_as_usual() -> None:
    def without(count: int) -> float | None:
        gone = {date(2026, 2, 1) + timedelta(days=step) for step in range(count)}
        days = MadeDays(date(2025, 11, 1), date(2026, 10, 31), missing=gone)
        year, _ = season_weather(days, Season(2026), TODAY)
        assert (year.missing, year.spring_missing) == (count, count)
        return year.heat[0].degree_days_c

    assert without(12) == pytest.approx(243 * 5)  # a twentieth of 243 days is 12.15
    assert without(13) is None


def test_a_season_that_is_not_over_has_no_sum_to_a_day_to_come_and_no_forecast_in_it() -> None:
    days = MadeDays(date(2025, 11, 1), date(2026, 5, 10), {date(2026, 5, 10): frost(-2, mark=FORECAST)})
    year, _ = season_weather(days, Season(2026), date(2026, 5, 10))
    assert ([heat.degree_days_c for heat in year.heat], year.last_frost, year.missing) == ([None, None], None, 1)
    bridged = MadeDays(date(2025, 11, 1), date(2026, 5, 10), {date(2026, 5, 10): frost(-2, mark=INTERPOLATED)})
    assert season_weather(bridged, Season(2026), date(2026, 5, 10))[0].last_frost == date(2026, 5, 10)


def test_other_years_are_whole_seasons_of_which_hardly_a_day_is_missing_oldest_first() -> None:
    gone = {date(2024, 1, 1) + timedelta(days=step) for step in range(40)}
    days = MadeDays(date(2022, 2, 1), date(2026, 11, 30), missing=gone)
    _, others = season_weather(days, Season(2026), TODAY)
    assert [other.season for other in others] == [2023, 2025]  # 2022 begins in February, of 2024 40 days are missing
    _, others = season_weather(days, Season(2023), TODAY)
    assert [other.season for other in others] == [2025, 2026]


def test_nothing_held_is_nothing_known() -> None:
    year, others = season_weather(MadeDays(date(2026, 1, 2), date(2026, 1, 1)), Season(2026), TODAY)
    assert (year.missing, year.coldest_c, year.last_frost, others) == (365, None, None, ())
    assert [heat.degree_days_c for heat in year.heat] == [None, None]


def bloomed(day: date, state: str = "past") -> StageDate:
    return StageDate("full bloom", 65, state, day, day, day)  # type: ignore[arg-type]


def test_full_bloom_is_told_against_the_middle_of_the_other_years() -> None:
    days = MadeDays(date(2021, 11, 1), date(2026, 10, 31))
    days.bloom = {
        2026: bloomed(date(2026, 5, 9), "seen"),
        2025: bloomed(date(2025, 5, 1)),
        2024: bloomed(date(2024, 5, 5)),
        2023: bloomed(date(2023, 5, 20)),
    }
    others = [Season(name) for name in (2022, 2023, 2024, 2025)]
    (bloom,) = season_bloom(days, ("apple",), Season(2026), others, TODAY)
    assert bloom.own == BloomDay(2026, date(2026, 5, 9), True)
    assert [one.season for one in bloom.others] == [2023, 2024, 2025]  # of 2022 it was not reached
    assert bloom.days_late == 4  # the middle of 1, 5 and 20 May is the 5th


def test_bloom_by_temperatures_that_are_not_held_is_not_known_but_what_was_seen_is() -> None:
    days = MadeDays(date(2026, 3, 1), date(2026, 10, 31))  # four months of the season are missing
    days.bloom = {2026: bloomed(date(2026, 5, 9))}
    (bloom,) = season_bloom(days, ("apple",), Season(2026), (), TODAY)
    assert (bloom.own, bloom.days_late) == (None, None)
    days.bloom = {2026: bloomed(date(2026, 5, 9), "seen")}
    (bloom,) = season_bloom(days, ("apple",), Season(2026), (), TODAY)
    assert bloom.own == BloomDay(2026, date(2026, 5, 9), True)


def test_bloom_that_is_still_to_come_is_none_yet() -> None:
    days = MadeDays(date(2025, 11, 1), date(2026, 4, 1))
    days.bloom = {2026: bloomed(date(2026, 5, 9), "predicted")}
    (bloom,) = season_bloom(days, ("apple",), Season(2026), (), date(2026, 4, 1))
    assert bloom.own is None


def test_the_middle_of_an_even_number_of_years_lies_between_and_leap_days_move_nothing() -> None:
    own = BloomDay(2026, date(2026, 4, 10), False)
    others = (BloomDay(2024, date(2024, 4, 4), False), BloomDay(2025, date(2025, 4, 8), False))
    bloom = Bloom("apple", own, others)
    assert bloom.days_late == 4
    assert replace(bloom, own=BloomDay(2026, date(2026, 4, 6), False)).days_late == 0
