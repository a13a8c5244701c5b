"""The last and the coming days, each a line: minimum, maximum, how they are known, and a bar that may cross 0 °C."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from math import ceil, floor

from msgspec import Struct

from tendwork.almanac.temperature import FORECAST
from tendwork.view.season_strip import Run, runs_of
from tendwork.view.symbols import DAY_MARKS, day_symbol
from tendwork.view.temperatures import HOW_KNOWN, HeldTemperatures
from tendwork.view.text import padded
from tendwork.view.words import format_day, in_units, temperature_words

LAST_DAYS = 7
_WORDS_COLUMNS = 43
_LEAST_BAR_COLUMNS = 12
_DAY = timedelta(days=1)

_Spread = tuple[float, float, float]


class DayLine(Struct, frozen=True):
    """One day: its words, its bar, whether it freezes, and whether it is today."""

    words: str
    runs: tuple[Run, ...]
    is_frost: bool
    is_today: bool

    @property
    def text(self) -> str:
        return self.words + "".join(run.text for run in self.runs)


class _Day(Struct, frozen=True):
    day: date
    tmin_c: _Spread
    tmax_c: _Spread
    how: str


def day_lines(held: HeldTemperatures, units: str, columns: int, ascii_only: bool = False) -> tuple[DayLine, ...]:
    """The last seven days held and those to come; a page too narrow for bars has the words alone."""
    days = [*_last_days(held), *_coming_days(held)]
    room = columns - _WORDS_COLUMNS
    if room < _LEAST_BAR_COLUMNS or not days:
        return tuple(_line(day, held.today, units, ()) for day in days)
    lowest = floor(min(0.0, *(min(day.tmin_c) for day in days)))
    highest = ceil(max(day for each in days for day in each.tmax_c))
    return tuple(_line(day, held.today, units, _bar(day, lowest, highest, room, ascii_only)) for day in days)


def day_legend(units: str, ascii_only: bool = False) -> str:
    """What the marks of the bars mean."""
    marks = ", ".join(f"{day_symbol(role, ascii_only)} {mark.word}" for role, mark in DAY_MARKS.items())
    return f"Days, from minimum to maximum: {in_units(marks, units)}"


def _last_days(held: HeldTemperatures) -> Iterable[_Day]:
    series = held.series
    if series is None:
        return
    last = min(held.today, series.last_day)
    for back in range(LAST_DAYS - 1, -1, -1):
        found = series.day(last - back * _DAY)
        if found is not None:
            low, high, mark = found
            yield _Day(last - back * _DAY, (low, low, low), (high, high, high), HOW_KNOWN[mark])


def _coming_days(held: HeldTemperatures) -> Iterable[_Day]:
    for day in held.coming:
        yield _Day(day.day, day.tmin_c, day.tmax_c, HOW_KNOWN[FORECAST] if day.is_forecast else "usual")


def _line(day: _Day, today: date, units: str, bar: tuple[Run, ...]) -> DayLine:
    return DayLine(_words(day, today, units), bar, day.tmin_c[0] <= 0, day.day == today)


def _words(day: _Day, today: date, units: str) -> str:
    cells = (temperature_words(day.tmin_c[0], units), temperature_words(day.tmax_c[0], units))
    shown = "".join(padded(cell, 9, right=True) for cell in cells)
    return padded(format_day(day.day, today), 11) + shown + " " + padded(day.how, 13)


def _bar(day: _Day, lowest: int, highest: int, columns: int, ascii_only: bool) -> tuple[Run, ...]:
    def column(celsius: float) -> int:
        return min(int((celsius - lowest) * columns / max(highest - lowest, 1)), columns - 1)

    cells = [(" ", "")] * columns
    cells[column(0.0)] = (day_symbol("freezing", ascii_only), "freezing")
    middle = "usual" if day.tmin_c[1] != day.tmin_c[2] else "known"
    for low, high, role in (
        (day.tmin_c[1], day.tmax_c[2], "range"),
        (day.tmin_c[0], day.tmax_c[0], middle),
    ):
        for at in range(column(low), column(high) + 1):
            cells[at] = (day_symbol(role, ascii_only), role)
    return runs_of(cells)
