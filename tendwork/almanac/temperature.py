"""One daily series of minimum and maximum temperatures out of whatever the sources give, with every day marked.

Everything in the almanac rests on these days, so what is measured, forecast, interpolated or only usual stays visible.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from math import cos, pi, sin
from typing import NamedTuple

from msgspec import Struct

MEASURED, FORECAST, INTERPOLATED, USUAL = "m", "f", "i", "n"
LOWEST_C, HIGHEST_C = -60.0, 60.0
LONGEST_INTERPOLATED_DAYS = 5

_DAYS_FOR_A_MONTH = 15
_DAYS_FOR_A_VERDICT = 5
_NO_PLACE_IS_WARMER_C = 35.0  # the highest yearly mean known on Earth is 34.4 °C, from memory


class SourceDay(NamedTuple):
    """A day's minimum and maximum in °C as a source has them, None where it has no value; forecast or measured."""

    day: date
    min_c: float | None
    max_c: float | None
    is_forecast: bool


class Normals(Struct, frozen=True):
    """Monthly means of the daily minimum and maximum in °C, January first."""

    minimum_c: tuple[float, ...]
    maximum_c: tuple[float, ...]

    def year(self) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """The normal minimum and maximum of day 1 to 366 of the year: a smooth curve with the normals as monthly means.

        The curve is the mean and two harmonics, widened by what averaging over a month takes from them, so it keeps
        the yearly and half-yearly wave of the twelve numbers and leaves out what is rougher.
        """
        return _yearly_curve(self.minimum_c), _yearly_curve(self.maximum_c)

    def day(self, day: date) -> tuple[float, float]:
        """The normal (minimum, maximum) of one calendar day."""
        low, high = self.year()
        index = day.timetuple().tm_yday - 1
        return low[index], high[index]


class DailySeries(Struct, frozen=True):
    """An unbroken run of days. `marks` has a character for each: m measured, f forecast, i interpolated, n usual."""

    first_day: date
    tmin_c: tuple[float, ...]
    tmax_c: tuple[float, ...]
    marks: str

    @property
    def last_day(self) -> date:
        return date.fromordinal(self.first_day.toordinal() + len(self.marks) - 1)

    def __len__(self) -> int:
        return len(self.marks)

    def index(self, day: date) -> int | None:
        """Place of `day` in the tuples, or None."""
        index = day.toordinal() - self.first_day.toordinal()
        return index if 0 <= index < len(self.marks) else None

    def day(self, day: date) -> tuple[float, float, str] | None:
        """(tmin_c, tmax_c, mark), or None for a day outside the series."""
        index = self.index(day)
        return None if index is None else (self.tmin_c[index], self.tmax_c[index], self.marks[index])


def build_series(rows: Iterable[SourceDay], normals: Normals | None) -> tuple[DailySeries | None, tuple[str, ...]]:
    """The series of all rows, and sentences about what was wrong with them; None where no row can be used.

    Rows come from the best source first: the first usable row of a day wins, but a measured one beats a forecast.
    Gaps of up to five days are interpolated; longer ones take `normals`, or else the monthly means of the days held.
    """
    held, words = _usable(rows)
    if not held:
        return None, words
    ordinals = sorted(held)
    series = DailySeries(
        date.fromordinal(ordinals[0]),
        tuple([held[ordinal][0] for ordinal in ordinals]),
        tuple([held[ordinal][1] for ordinal in ordinals]),
        "".join([held[ordinal][2] for ordinal in ordinals]),
    )
    if len(ordinals) <= ordinals[-1] - ordinals[0]:
        series, gap_words = _without_gaps(series, ordinals, normals)
        words += gap_words
    return series, words


def normals_of(days: Iterable[date], tmin_c: Sequence[float], tmax_c: Sequence[float]) -> Normals | None:
    """The monthly means of these days; None unless each month has at least 15 of them."""
    sums = [[0, 0.0, 0.0] for _ in range(12)]
    for day, low, high in zip(days, tmin_c, tmax_c, strict=True):
        month = sums[day.month - 1]
        month[0] += 1
        month[1] += low
        month[2] += high
    if min(count for count, _, _ in sums) < _DAYS_FOR_A_MONTH:
        return None
    return Normals(tuple(low / count for count, low, _ in sums), tuple(high / count for count, _, high in sums))


def normals_of_series(series: DailySeries) -> Normals | None:
    """The monthly means of the measured days of a series; None unless each month has at least 15 of them."""
    first = series.first_day.toordinal()
    measured = [index for index, mark in enumerate(series.marks) if mark == MEASURED]
    return normals_of(
        (date.fromordinal(first + index) for index in measured),
        [series.tmin_c[index] for index in measured],
        [series.tmax_c[index] for index in measured],
    )


def _yearly_curve(monthly: tuple[float, ...]) -> tuple[float, ...]:
    mean = sum(monthly) / 12
    waves = []
    for order in (1, 2):
        half_month = pi * order / 12
        widened = half_month / sin(half_month) / 6
        angles = [half_month * (2 * month + 1) for month in range(12)]
        waves.append(
            (
                2 * pi * order / 365.25,
                widened * sum(value * cos(angle) for value, angle in zip(monthly, angles, strict=True)),
                widened * sum(value * sin(angle) for value, angle in zip(monthly, angles, strict=True)),
            )
        )
    return tuple(
        mean + sum(a * cos(speed * (day - 0.5)) + b * sin(speed * (day - 0.5)) for speed, a, b in waves)
        for day in range(1, 367)
    )


def _usable(rows: Iterable[SourceDay]) -> tuple[dict[int, tuple[float, float, str]], tuple[str, ...]]:
    """The best believable row of each day by ordinal, and words about the others."""
    held: dict[int, tuple[float, float, str]] = {}
    swapped: list[date] = []
    beyond: list[date] = []
    too_hot = 0
    for day, low, high, is_forecast in rows:
        if low is None or high is None or low != low or high != high:
            continue
        if not (LOWEST_C <= low <= HIGHEST_C and LOWEST_C <= high <= HIGHEST_C):
            beyond.append(day)
            too_hot += high > HIGHEST_C
        elif low > high:
            swapped.append(day)
        else:
            ordinal = day.toordinal()
            if ordinal not in held:
                held[ordinal] = (low, high, FORECAST if is_forecast else MEASURED)
            elif not is_forecast and held[ordinal][2] == FORECAST:
                held[ordinal] = (low, high, MEASURED)
    words = []
    if swapped:
        words.append(f"{_days(swapped)} set aside: the minimum is above the maximum.")
    if beyond:
        words.append(f"{_days(beyond)} set aside: not between {LOWEST_C:g} and {HIGHEST_C:g} °C.")
    mean = sum(low + high for low, high, _ in held.values()) / (2 * len(held)) if held else 0.0
    if mean > _NO_PLACE_IS_WARMER_C or too_hot >= max(_DAYS_FOR_A_VERDICT, (len(held) + len(beyond)) // 20):
        words.append("The temperatures look like °F taken for °C: check the unit of the file or service.")
    return held, tuple(words)


def _days(days: list[date]) -> str:
    if len(days) == 1:
        return f"The temperatures of {days[0].isoformat()} are"
    return f"The temperatures of {len(days)} days between {min(days).isoformat()} and {max(days).isoformat()} are"


def _without_gaps(
    series: DailySeries, ordinals: list[int], normals: Normals | None
) -> tuple[DailySeries, tuple[str, ...]]:
    """The same days with what lies between them filled; `series` still lacks the days between `ordinals`."""
    usual = normals or normals_of(map(date.fromordinal, ordinals), series.tmin_c, series.tmax_c)
    low_of_year, high_of_year = usual.year() if usual is not None else ((), ())
    tmin_c: list[float] = []
    tmax_c: list[float] = []
    marks: list[str] = []
    bridged = filled = 0
    previous = ordinals[0] - 1
    for ordinal, low, high, mark in zip(ordinals, series.tmin_c, series.tmax_c, series.marks, strict=True):
        missing = ordinal - previous - 1
        if missing > LONGEST_INTERPOLATED_DAYS and usual is not None:
            filled += missing
            for gap in range(previous + 1, ordinal):
                index = date.fromordinal(gap).timetuple().tm_yday - 1
                tmin_c.append(low_of_year[index])
                tmax_c.append(high_of_year[index])
            marks.append(USUAL * missing)
        elif missing:
            bridged += missing if missing > LONGEST_INTERPOLATED_DAYS else 0
            low_before, high_before = tmin_c[-1], tmax_c[-1]
            for step in range(1, missing + 1):
                share = step / (missing + 1)
                tmin_c.append(low_before * (1 - share) + low * share)
                tmax_c.append(high_before * (1 - share) + high * share)
            marks.append(INTERPOLATED * missing)
        tmin_c.append(low)
        tmax_c.append(high)
        marks.append(mark)
        previous = ordinal
    words = []
    if filled:
        origin = "the normals" if normals is not None else "the monthly means of the days held"
        words.append(f"{filled} days without temperatures are filled from {origin}.")
    if bridged:
        words.append(f"{bridged} days without temperatures, in long gaps, are only interpolated: there are no normals.")
    return DailySeries(series.first_day, tuple(tmin_c), tuple(tmax_c), "".join(marks)), tuple(words)
