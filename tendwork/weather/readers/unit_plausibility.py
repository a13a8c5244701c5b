"""Which unit a file is in where it does not say: one that fits the place while no other does, or a refusal.

A reading is judged by whole months, because a wrong unit moves a month's mean by more than weather ever does. All
figures are our own, common practice without a source, and wide: tests/weather/test_units_of_silent_files.py counts what
they let through in many climates.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.almanac.temperature import HIGHEST_C, LOWEST_C
from tendwork.errors import located
from tendwork.weather.readers.usual import Usual
from tendwork.weather.readers.values import UNIT_NAMES, Unit, to_celsius

_SILENT: tuple[Unit, ...] = ("c", "f", "tenths")  # the units in which files come that do not say one

# How far the mean of a month may lie from the usual one: 12 °C for a whole month, more than the coldest and warmest
# months of a century are off; 22 °C for a week, which a cold wave has reached.
_WHOLE_MONTH_DAYS, _WHOLE_MONTH_OFF_C = 28, 12.0
_WEEK_DAYS, _WEEK_OFF_C = 7, 22.0
# A month's mean daily range against the usual one; tenths taken for degrees are off by ten.
_DAYS_FOR_A_RANGE = 10
_NARROWEST_SHARE, _WIDEST_SHARE = 0.4, 2.5

# What no place with fruit trees has, whatever is usual there.
_WIDEST_RANGE_C, _WIDEST_RANGE_OF_DAYS_C = 30.0, 40.0  # mean daily range of ten days, of fewer
_NARROWEST_RANGE_C, _NARROWEST_RANGE_OF_DAYS_C = 3.0, 1.5
_WARMEST_MEAN_C, _WARMEST_MEAN_OF_DAYS_C = 41.0, 48.0
_WARMEST_WINTER_MEAN_C = 35.0
_COLDEST_SUMMER_MEAN_C = 0.0  # the tree line lies at 10 °C in the warmest month (Köppen, from memory)
_COLDEST_YEAR_C, _WARMEST_YEAR_C = -5.0, 35.0  # permafrost begins near the one; 34.4 °C is the highest known
_DAYS_FOR_A_YEARS_MONTH = 15
_NORTHERN_SUMMER, _NORTHERN_WINTER = (6, 7, 8), (12, 1, 2)


class _Month(Struct):
    """One month of one year: how many days, and the sums of their minima and maxima in the file's own numbers."""

    days: int = 0
    lows: float = 0.0
    highs: float = 0.0

    def mean(self) -> float:
        return (self.lows + self.highs) / (2 * self.days)

    def range(self) -> float:
        return (self.highs - self.lows) / self.days


class _File:
    """What the judgement rests on, gathered in one pass over the days."""

    def __init__(self, days: Iterable[tuple[date, float, float]]) -> None:
        self.months: dict[tuple[int, int], _Month] = {}
        self.days = 0
        self.highest = float("-inf")
        self.whole_numbers = True
        self._within = dict.fromkeys(_SILENT, 0)
        for day, low, high in days:
            self.days += 1
            month = self.months.setdefault((day.year, day.month), _Month())
            month.days += 1
            month.lows += low
            month.highs += high
            self.highest = max(self.highest, high)
            self.whole_numbers = self.whole_numbers and low.is_integer() and high.is_integer()
            for unit in _SILENT:
                self._within[unit] += to_celsius(low, unit) >= LOWEST_C and to_celsius(high, unit) <= HIGHEST_C

    def mostly_within(self, unit: Unit) -> bool:
        """Whether most of the days lie within the bounds of what is believed."""
        return 2 * self._within[unit] > self.days

    def mean(self) -> float:
        return sum(month.lows + month.highs for month in self.months.values()) / (2 * self.days)

    def range(self) -> float:
        return sum(month.highs - month.lows for month in self.months.values()) / self.days

    def year_mean(self) -> float | None:
        """The mean of the twelve months; None unless each has days enough."""
        sums = [[0, 0.0] for _ in range(12)]
        for (_, month), held in self.months.items():
            sums[month - 1][0] += held.days
            sums[month - 1][1] += held.lows + held.highs
        if min(days for days, _ in sums) < _DAYS_FOR_A_YEARS_MONTH:
            return None
        return sum(total / (2 * days) for days, total in sums) / 12


def plausible_unit(name: str, line: int, days: Iterable[tuple[date, float, float]], usual: Usual) -> tuple[Unit, str]:
    """The unit of (day, minimum, maximum) in the file's own numbers, and a sentence with the ground for it.

    Raises PersonError where more than one unit fits, or none. `line` is where the file names its columns.
    """
    file = _File(days)
    if not file.days:
        return "c", ""
    why_not = {unit: _impossible(file, unit, usual) for unit in _SILENT}
    possible = [unit for unit in _SILENT if not why_not[unit]]
    compared = [(year, month) for year, month in file.months if usual.months[month - 1] is not None]
    off = {unit: _off_the_usual(file, unit, usual, compared) for unit in possible}
    fitting = [unit for unit in possible if not off[unit]]
    if len(fitting) == 1:
        unit = fitting[0]
        against = _nearest_other(unit, why_not, off)
        near = f"; {usual.origin} agree with it" if compared else ""
        return unit, f"The file does not say its unit; taken as {UNIT_NAMES[unit]}, because {against}{near}."
    extent = f"the values (mean {file.mean():.1f}, highest {file.highest:g})"
    if not fitting:
        reasons = "; ".join(f"in {UNIT_NAMES[unit]} {off.get(unit) or why_not[unit]}" for unit in _SILENT[:2])
        what = f"the file does not say its unit, and {extent} fit neither °C nor °F: {reasons}"
    else:
        units = " as well as ".join(UNIT_NAMES[unit] for unit in fitting)
        known = (
            "" if compared else ", and there are no normals in site.toml and no days of these months to compare with"
        )
        what = f"{extent} may be {units}, and the file does not say which{known}"
    raise located(name, what, line=line, remedy=_remedy("tenths" in fitting))


def unlikely_words(days: Iterable[tuple[date, float, float]], unit: Unit, usual: Usual) -> str:
    """A sentence where the unit that the person said does not fit the place; else empty."""
    file = _File(days)
    if not file.days or unit not in _SILENT:
        return ""
    compared = [(year, month) for year, month in file.months if usual.months[month - 1] is not None]
    why = _impossible(file, unit, usual) or _off_the_usual(file, unit, usual, compared)
    return f"Look at this once more: in {UNIT_NAMES[unit]} {why}." if why else ""


def _nearest_other(unit: Unit, why_not: dict[Unit, str], off: dict[Unit, str]) -> str:
    """Why it is not °F, for what is taken as °C, and not °C for all else."""
    other: Unit = "f" if unit == "c" else "c"
    return f"in {UNIT_NAMES[other]} {why_not[other] or off[other]}"


def _remedy(with_tenths: bool) -> str:
    tenths = " (or --unit tenths)" if with_tenths else ""
    return (
        f"Say it with --unit celsius or --unit fahrenheit{tenths}, "
        'or in the names of the columns, as in "tmin_c,tmax_c" or "tmin_f,tmax_f"'
    )


def _impossible(file: _File, unit: Unit, usual: Usual) -> str:
    """Why no place with fruit trees has these values in this unit; empty if one may."""
    if unit == "tenths" and not file.whole_numbers:
        return "there would be no decimals"
    if not file.mostly_within(unit):
        return f"most days are outside {LOWEST_C:g} to {HIGHEST_C:g} °C"
    many = file.days >= _DAYS_FOR_A_RANGE
    mean_range = to_celsius(file.range(), unit) - to_celsius(0, unit)
    if mean_range > (_WIDEST_RANGE_C if many else _WIDEST_RANGE_OF_DAYS_C):
        return f"minimum and maximum are {mean_range:.0f} °C apart"
    if unit == "tenths" and mean_range < (_NARROWEST_RANGE_C if many else _NARROWEST_RANGE_OF_DAYS_C):
        return f"minimum and maximum are only {mean_range:.1f} °C apart"
    for (year, month), held in file.months.items():
        mean = to_celsius(held.mean(), unit)
        if _too_warm(mean, month, held.days, usual.south) or _too_cold(mean, month, usual.south):
            return f"the mean of {year}-{month:02} is {mean:.1f} °C, which no fruit tree meets"
    year_mean = file.year_mean()
    if year_mean is not None and not _COLDEST_YEAR_C <= to_celsius(year_mean, unit) <= _WARMEST_YEAR_C:
        return f"the mean of the year is {to_celsius(year_mean, unit):.1f} °C, which no fruit tree meets"
    return ""


def _too_warm(mean_c: float, month: int, days: int, south: bool | None) -> bool:
    warmest = _WARMEST_MEAN_C if days >= _DAYS_FOR_A_RANGE else _WARMEST_MEAN_OF_DAYS_C
    if south is not None and month in (_NORTHERN_SUMMER if south else _NORTHERN_WINTER):
        warmest = _WARMEST_WINTER_MEAN_C
    return mean_c > warmest


def _too_cold(mean_c: float, month: int, south: bool | None) -> bool:
    summer = () if south is None else _NORTHERN_WINTER if south else _NORTHERN_SUMMER
    return month in summer and mean_c < _COLDEST_SUMMER_MEAN_C


def _off_the_usual(file: _File, unit: Unit, usual: Usual, compared: list[tuple[int, int]]) -> str:
    """How the month that is farthest from the usual one lies in this unit; empty if all are near."""
    worst, words = 0.0, ""
    for year, month in compared:
        held, known = file.months[year, month], usual.months[month - 1]
        if known is None:
            continue
        mean = to_celsius(held.mean(), unit)
        mean_range = to_celsius(held.range(), unit) - to_celsius(0, unit)
        off = abs(mean - known.mean_c)
        share = mean_range / known.range_c if known.range_c > 0 and held.days >= _DAYS_FOR_A_RANGE else 1.0
        if off > max(worst, _allowed_off_c(held.days) + known.uncertain_c):
            worst = off
            words = (
                f"{year}-{month:02} has a mean of {mean:.1f} °C, {off:.0f} from the {known.mean_c:.1f} °C that is usual"
            )
        elif not words and not _NARROWEST_SHARE <= share <= _WIDEST_SHARE:
            words = (
                f"minimum and maximum of {year}-{month:02} are {mean_range:.1f} °C apart "
                f"instead of the usual {known.range_c:.1f} °C"
            )
    return words


def _allowed_off_c(days: int) -> float:
    if days >= _WHOLE_MONTH_DAYS:
        return _WHOLE_MONTH_OFF_C
    over = max(0, days - _WEEK_DAYS) / (_WHOLE_MONTH_DAYS - _WEEK_DAYS)
    return _WEEK_OFF_C - over * (_WEEK_OFF_C - _WHOLE_MONTH_OFF_C)
