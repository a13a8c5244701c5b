"""How the buds of one species go forward through one run of days: a sum that never falls, and the days on which it is reached."""

from __future__ import annotations

from bisect import bisect_left
from math import acos, pi, sqrt

from tendwork.almanac.requirements import HEAT_TO_BLOOM, SHARE_OF_BLOOM

BASE_C = 6.1
"""43 °F, the base of the published sums."""


def heat_of_day(tmin_c: float, tmax_c: float, base_c: float = BASE_C) -> float:
    """Degree-days of one day above `base_c`, single sine (Baskerville & Emin 1969)."""
    mean = (tmin_c + tmax_c) / 2
    if tmin_c >= base_c:
        return mean - base_c
    if tmax_c <= base_c:
        return 0.0
    half_range = (tmax_c - tmin_c) / 2
    ratio = (base_c - mean) / half_range
    return half_range * (sqrt(1 - ratio * ratio) - ratio * acos(ratio)) / pi


def forward(tmin_c: list[float], tmax_c: list[float], start: int) -> list[float]:
    """The sum at the end of each day; days before index `start` do not count."""
    total = 0.0
    sums = []
    for index, (low, high) in enumerate(zip(tmin_c, tmax_c, strict=True)):
        if index >= start:
            total += heat_of_day(low, high)
        sums.append(total)
    return sums


def needed(species: str, code: int, factor: float = 1.0) -> float:
    """The sum at which the stage with this BBCH code begins."""
    return HEAT_TO_BLOOM[species] * SHARE_OF_BLOOM[code] * factor


def day_reached(sums: list[float], wanted: float) -> int | None:
    """Index of the first day on which the sum is reached; None if not within the days given."""
    index = bisect_left(sums, wanted)
    return index if index < len(sums) else None
