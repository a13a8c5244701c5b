"""The values of a file between their reading and the choice of their unit, packed: millions fit into little memory."""

from __future__ import annotations

from array import array
from collections.abc import Iterator
from datetime import date

_NOTHING = float("nan")
Value = tuple[int, date, float | None, float | None]
"""(line, day, lowest, highest) in the file's own units"""


class Samples:
    """Lowest and highest values with the line and day of each."""

    def __init__(self) -> None:
        self._lines = array("l")
        self._days = array("l")
        self._lows = array("d")
        self._highs = array("d")

    def __len__(self) -> int:
        return len(self._lines)

    def add(self, line: int, day: date, low: float | None, high: float | None) -> None:
        """None where the file has no value."""
        self._lines.append(line)
        self._days.append(day.toordinal())
        self._lows.append(_NOTHING if low is None else low)
        self._highs.append(_NOTHING if high is None else high)

    def __iter__(self) -> Iterator[Value]:
        day_of = date.fromordinal
        for line, day, low, high in zip(self._lines, self._days, self._lows, self._highs, strict=True):
            yield line, day_of(day), None if low != low else low, None if high != high else high

    def whole_days(self) -> Iterator[tuple[date, float, float]]:
        """(day, minimum, maximum) of each day that has both, over all its values."""
        extremes: dict[int, tuple[float, float]] = {}
        for day, low, high in zip(self._days, self._lows, self._highs, strict=True):
            if low != low or high != high:
                continue
            lowest, highest = extremes.get(day, (low, high))
            extremes[day] = (min(low, lowest), max(high, highest))
        for day, (low, high) in extremes.items():
            yield date.fromordinal(day), low, high
