"""How far a stage after fruit set lies off what the weather alone foresees for it, as a place has shown.

Nothing is published of how such dates differ between places, so the numbers are our own choice: the place may be as far
off as a single year may, so that one season seen moves the date by half of what it was off, and a usual date, the
middle of about ten years but from memory, counts as some seasons.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from msgspec import Struct

_USUAL_COUNTS_AS = 4


class DaysOff(Struct, frozen=True):
    """Days by which the stage comes later here than foreseen, and the share of its range that is left by then."""

    days: float
    left_of_range: float
    words: tuple[str, ...]


def days_off(seen: Sequence[int], usual: Sequence[int]) -> DaysOff:
    """From the days by which the stage was later than foreseen in each season seen, and by which each usual date is."""
    count = len(seen) + _USUAL_COUNTS_AS * len(usual)
    if not count:
        return DaysOff(0.0, 1.0, ())
    days = (sum(seen) + _USUAL_COUNTS_AS * sum(usual)) / (count + 1)
    place_left = 1 / (count + 1)
    return DaysOff(days, sqrt((1 + place_left) / 2), (_words(len(seen), len(usual), round(days)),))


def _words(seasons: int, usual: int, days: int) -> str:
    parts = [f"{seasons} season{'s' if seasons != 1 else ''} of sightings"] if seasons else []
    parts += ["the usual date"] if usual else []
    taught = f"learned here from {' and '.join(parts)}"
    if not days:
        return f"{taught}: no other day"
    size = abs(days)
    return f"moved {size} day{'s' if size != 1 else ''} {'later' if days > 0 else 'earlier'}, {taught}"
