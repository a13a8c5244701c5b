"""Which unit a file is in where it does not say: a test of plausibility that states its ground, or a refusal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tendwork.errors import located
from tendwork.weather.readers.values import Unit

# Our own thresholds: common practice, no source. A whole file's mean day outside these is no place for fruit trees.
_NO_DEGREE_REACHES = 140  # neither °C nor °F
_WIDEST_MEAN_RANGE = 40  # between a day's minimum and maximum, in °F as in °C
_HOTTEST_C = 60
_COLDEST_MEAN_F = 14  # -10 °C
_WARMEST_MEAN_C = 41
_WARMEST_WINTER_MEAN_C = 35
_COLDEST_SUMMER_MEAN_F = 32  # 0 °C, in the winter of the south as well


def plausible_unit(name: str, line: int, days: Sequence[tuple[date, float, float]]) -> tuple[Unit, str]:
    """The unit of (day, minimum, maximum) in the file's own numbers, and a sentence with the ground for it.

    Raises PersonError where the numbers fit °C as well as °F. `line` is where the file names its columns.
    """
    if not days:
        return "c", ""
    lows, highs = [low for _, low, _ in days], [high for _, _, high in days]
    lowest, highest = min(lows), max(highs)
    mean_range = (sum(highs) - sum(lows)) / len(days)
    mean = (sum(highs) + sum(lows)) / (2 * len(days))
    whole = all(value.is_integer() for value in (*lows, *highs))
    beyond = max(abs(lowest), abs(highest))
    if whole and (beyond > _NO_DEGREE_REACHES or mean_range > _WIDEST_MEAN_RANGE):
        return "tenths", _ground("tenths of °C", f"whole numbers as far as {beyond:g}, {mean_range:.0f} apart on a day")
    if highest > _HOTTEST_C:
        return "f", _ground("°F", f"the highest value is {highest:g}")
    in_summer_half = any(5 <= day.month <= 9 for day, _, _ in days)
    if mean < _COLDEST_MEAN_F:
        return "c", _ground("°C", f"the mean is {mean:.1f}")
    if mean > (_WARMEST_MEAN_C if in_summer_half else _WARMEST_WINTER_MEAN_C):
        return "f", _ground("°F", f"the mean is {mean:.1f}")
    if in_summer_half and mean < _COLDEST_SUMMER_MEAN_F:
        return "c", _ground("°C", f"the mean is {mean:.1f} and no day is above {_HOTTEST_C}, from May to September too")
    raise located(
        name,
        f"the values (mean {mean:.1f}, highest {highest:g}) may be °C as well as °F, and the file does not say which",
        line=line,
        remedy='Write the unit into the names of the columns, as in "tmin_c,tmax_c" or "tmin_f,tmax_f"',
    )


def _ground(unit: str, why: str) -> str:
    return f"The file does not say its unit; taken as {unit}, because {why}."
