"""Frost and heat of one season beside those of other years, out of the days held; what is not held is said, not filled.

The days are the orchard's own, moved by what it is colder than its temperatures. Frost and hot days are counted on the
days that were measured or bridged; a heat sum with more than one day in twenty missing is not known.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Protocol

from msgspec import Struct

from tendwork.almanac.heat import sine_sums
from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import FORECAST, USUAL

HEAT_BASE_C = 5.0
HOT_ABOVE_C = 30.0
FULL_BLOOM = "full bloom"
_MOST_MISSING = 0.05
_DAY = timedelta(days=1)


class DailyAlmanac(Protocol):
    """What an almanac must do for this."""

    @property
    def first_held(self) -> date | None: ...

    def day(self, day: date) -> tuple[float, float, str] | None: ...

    def usual_day(self, day: date) -> tuple[float, float] | None: ...

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate: ...


class HeatSum(Struct, frozen=True):
    """Degree-days above 5 °C from 1 January (1 July in the south) to a day; None where too few days are known."""

    to: date
    degree_days_c: float | None


class YearWeather(Struct, frozen=True):
    """One season, as far as it is over: of its `days` so many are `missing`; None is not known, or not had.

    `last_frost` is the last day of the first half of the year at 0 °C or below; `spring_missing` days of that half are
    missing. `hot_days` are those above 30 °C.
    """

    season: int
    days: int
    missing: int
    coldest_on: date | None
    coldest_c: float | None
    last_frost: date | None
    spring_days: int
    spring_missing: int
    hot_days: int
    heat: tuple[HeatSum, ...]

    @property
    def is_well_known(self) -> bool:
        """Whether it may be compared with."""
        return self.days > 0 and self.missing <= _MOST_MISSING * self.days


class BloomDay(Struct, frozen=True):
    """Full bloom of a species in one season: `seen`, or by the temperatures."""

    season: int
    day: date
    seen: bool


class Bloom(Struct, frozen=True):
    """Full bloom of a species in the season, None where it is not known, and in the other years that are known."""

    species: str
    own: BloomDay | None
    others: tuple[BloomDay, ...]

    @property
    def days_late(self) -> int | None:
        """By how many days it was later than the middle of the other years; None where there is none."""
        if self.own is None or not self.others:
            return None
        numbers = sorted(_of_season(one.day, one.season) for one in self.others)
        half = len(numbers) // 2
        middle = numbers[half] if len(numbers) % 2 else (numbers[half - 1] + numbers[half]) / 2
        return round(_of_season(self.own.day, self.own.season) - middle)


def season_weather(almanac: DailyAlmanac, season: Season, today: date) -> tuple[YearWeather, tuple[YearWeather, ...]]:
    """The season, and all other whole seasons of which hardly a day is missing, oldest first."""
    others = []
    first = almanac.first_held
    if first is not None:
        for name in range(first.year - 1, today.year + 2):
            other = Season(name, season.south)
            if other != season and other.end <= today and other.end >= first:
                year = _year(almanac, other, today)
                others += [year] if year.is_well_known else []
    return _year(almanac, season, today), tuple(others)


def season_bloom(
    almanac: DailyAlmanac, species: Iterable[str], season: Season, others: Iterable[Season], today: date
) -> tuple[Bloom, ...]:
    """Full bloom of each species, in the season and in the others of which it was seen or the days are known."""
    held = tuple(others)
    found = []
    for name in species:
        days = [day for other in held if (day := _bloom(almanac, name, other, today)) is not None]
        found.append(Bloom(name, _bloom(almanac, name, season, today), tuple(days)))
    return tuple(found)


def _bloom(almanac: DailyAlmanac, species: str, season: Season, today: date) -> BloomDay | None:
    stage = almanac.stage(species, FULL_BLOOM, season)
    if stage.date is None or stage.date > today:
        return None
    if stage.state != "seen":
        first, days = season.start, (stage.date - season.start).days + 1
        missing = sum(_held(almanac, first + step * _DAY) is None for step in range(days))
        if missing > _MOST_MISSING * days:
            return None
    return BloomDay(season.name, stage.date, stage.state == "seen")


def _of_season(day: date, season: int) -> int:
    """Its number among the days of the year after 1 January of the season's name, which leap years do not move."""
    return date(2001 + day.year - season, day.month, min(day.day, 28) if day.month == 2 else day.day).toordinal()


def _year(almanac: DailyAlmanac, season: Season, today: date) -> YearWeather:
    end = min(season.end, today)
    spring_first, spring_last = season.on(1, 1), min(season.on(6, 30), today)
    missing = spring_missing = hot = 0
    coldest: tuple[float, date] | None = None
    last_frost = None
    day = season.start
    while day <= end:
        held = _held(almanac, day)
        in_spring = spring_first <= day <= spring_last
        if held is None:
            missing += 1
            spring_missing += in_spring
        else:
            coldest = (held[0], day) if coldest is None or held[0] < coldest[0] else coldest
            last_frost = day if in_spring and held[0] <= 0 else last_frost
            hot += held[1] > HOT_ABOVE_C
        day += _DAY
    return YearWeather(
        season=season.name,
        days=max(0, (end - season.start).days + 1),
        missing=missing,
        coldest_on=None if coldest is None else coldest[1],
        coldest_c=None if coldest is None else coldest[0],
        last_frost=last_frost,
        spring_days=max(0, (spring_last - spring_first).days + 1),
        spring_missing=spring_missing,
        hot_days=hot,
        heat=tuple(HeatSum(to, _heat(almanac, spring_first, to, today)) for to in (season.on(8, 31), season.on(9, 30))),
    )


def _heat(almanac: DailyAlmanac, first: date, last: date, today: date) -> float | None:
    """The sum; a few missing days count as they usually are."""
    if last > today:
        return None
    days = (last - first).days + 1
    low, high, missing = [], [], 0
    for step in range(days):
        day = first + step * _DAY
        held = _held(almanac, day)
        if held is None:
            missing += 1
            usual = almanac.usual_day(day)
            held = (0.0, 0.0) if usual is None else usual
        low.append(held[0])
        high.append(held[1])
    return sine_sums(low, high, HEAT_BASE_C)[-1] if missing <= _MOST_MISSING * days else None


def _held(almanac: DailyAlmanac, day: date) -> tuple[float, float] | None:
    """A day that was measured or bridged; forecast ones are none yet."""
    held = almanac.day(day)
    return None if held is None or held[2] in (USUAL, FORECAST) else (held[0], held[1])
