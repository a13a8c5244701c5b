"""What the weather of the days of a job asks of the person: heat, cold, thunder, insects, ticks.

Measured and forecast days count as they are, all others as the usual day of the place; where no temperature is known
the half of the year decides. The strictest published figure is taken. Figures and sources:

- heat: the US National Weather Service begins "caution" at a heat index of 80 °F, and says that full sun can add up to
  15 °F to a figure for the shade: together 65 °F (18.3 °C) of air in the sun; "danger" from 103 °F: 88 °F (31.1 °C).
- cold: NIOSH 2010-115, near freezing for people who are not used to it (a night at or below 0 °C), and the US National
  Weather Service's wind chill, which is defined from 50 °F (10 °C) down (a day that gets no warmer).
- thunder, wasps and bees: a day of 15 °C or more; common practice, no source.
- ticks: from April to October (October to April in the south) on days over 4 °C; from memory, no source seen.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from msgspec import Struct

from tendwork.planning.anchors import SeasonAlmanac

HEAT_FROM_C = (80 - 15 - 32) * 5 / 9
DANGER_FROM_C = (103 - 15 - 32) * 5 / 9
COLD_DAY_TO_C = 10.0
COLD_NIGHT_TO_C = 0.0
WARM_FROM_C = 15.0
TICKS_OVER_C = 4.0
_MILD_MONTHS = {False: range(4, 11), True: (10, 11, 12, 1, 2, 3, 4)}
_KNOWN = {"m": "measured", "f": "forecast"}
_USUAL = "n"
_SHORTEST_DAYS, _LONGEST_DAYS = 7, 14  # the plan is made every day, so what is far off is not asked yet


class Asked(Struct, frozen=True):
    """One thing that the weather of a job's days asks for: the `card` of a caution, and why.

    `by_season`: usual days alone ask it, and none of them is in danger.
    """

    card: str
    because: str
    by_season: bool = False


class WorkWeather:
    """What the days ask, each stretch of days worked out once."""

    def __init__(self, almanac: SeasonAlmanac, south: bool) -> None:
        self._almanac = almanac
        self._south = south
        self._days: dict[date, tuple[float, float, str] | None] = {}
        self._held: dict[tuple[date, date], tuple[Asked, ...]] = {}

    def asks(self, first: date, last: date) -> tuple[Asked, ...]:
        """What the days from `first` to `last` ask for, in the order heat, lightning, cold, stings, ticks.

        At least a week and at most two are looked at, since late work is still done and the far days come nearer.
        """
        days = min(max((last - first).days + 1, _SHORTEST_DAYS), _LONGEST_DAYS)
        last = first + timedelta(days=days - 1)
        held = self._held.get((first, last))
        if held is None:
            held = self._held[(first, last)] = tuple(self._found(first, last))
        return held

    def _found(self, first: date, last: date) -> Iterator[Asked]:
        days = [first + timedelta(days=step) for step in range((last - first).days + 1)]
        known = [(day, held) for day in days if (held := self._day(day)) is not None]
        mild = [day for day in days if self._is_mild(day)]
        if not known:
            half = "it is the warm half of the year" if mild else "it is the cold half of the year"
            cards = ("heat", "lightning", "stings", "ticks") if mild else ("cold",)
            yield from (Asked(card, f"no temperature is known here, and {half}", True) for card in cards)
            return
        warmest = max(known, key=lambda item: item[1][1])
        coldest = min(known, key=lambda item: item[1][1])
        frostiest = min(known, key=lambda item: item[1][0])
        if warmest[1][1] >= HEAT_FROM_C:
            is_danger = warmest[1][1] >= DANGER_FROM_C
            because = f"{_said(*warmest)}, {_DANGER if is_danger else 'and full sun feels hotter'}"
            yield Asked("heat", because, _is_usual(warmest[1]) and not is_danger)
        if warmest[1][1] >= WARM_FROM_C:
            yield Asked("lightning", f"{_said(*warmest)}: thunder is likeliest on warm days", _is_usual(warmest[1]))
        if coldest[1][1] <= COLD_DAY_TO_C:
            yield Asked("cold", _said(*coldest), _is_usual(coldest[1]))
        elif frostiest[1][0] <= COLD_NIGHT_TO_C:
            yield Asked("cold", _said(*frostiest, night=True), _is_usual(frostiest[1]))
        if warmest[1][1] >= WARM_FROM_C:
            yield Asked("stings", f"{_said(*warmest)}: wasps and bees are about", _is_usual(warmest[1]))
        ticks = [day for day, (_, tmax_c, _) in known if tmax_c > TICKS_OVER_C and self._is_mild(day)]
        if ticks:
            yield Asked("ticks", "ticks are about from April to October" if not self._south else _SOUTHERN_TICKS, True)

    def _day(self, day: date) -> tuple[float, float, str] | None:
        if day not in self._days:
            held = self._almanac.day(day)
            usual = self._almanac.usual_day(day) if held is None else None
            self._days[day] = held if usual is None else (*usual, _USUAL)
        return self._days[day]

    def _is_mild(self, day: date) -> bool:
        return day.month in _MILD_MONTHS[self._south]


_DANGER = "which full sun makes what is called danger: only in the early morning"
_SOUTHERN_TICKS = "ticks are about from October to April"


def _is_usual(held: tuple[float, float, str]) -> bool:
    return held[2] not in _KNOWN


def _said(day: date, held: tuple[float, float, str], night: bool = False) -> str:
    """ "28 °C is forecast for 12 July", "the usual days of this job reach 24 °C"."""
    degrees_c = held[0] if night else held[1]
    if held[2] in _KNOWN:
        return f"{degrees_c:.0f} °C is {_KNOWN[held[2]]} for {day.day} {day:%B}"
    if night:
        return f"usual nights go down to {degrees_c:.0f} °C"
    return f"{degrees_c:.0f} °C is usual around {day.day} {day:%B}"
