"""Heat that drives buds and shoots: degree-days from each day's minimum and maximum.

Published sums hold only with the method they were made with; this one is the single sine (Baskerville & Emin 1969).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from math import asin, pi, sqrt


def sine_sums(tmin_c: Sequence[float], tmax_c: Sequence[float], lower_c: float) -> list[float]:
    """Running sum of single-sine degree-days at the end of each day, without an upper threshold."""
    return list(accumulate(map(_under_sine, tmin_c, tmax_c, [lower_c] * len(tmin_c))))


def _under_sine(tmin_c: float, tmax_c: float, base_c: float) -> float:
    if tmax_c <= base_c:
        return 0.0
    mean = (tmin_c + tmax_c) / 2
    if tmin_c >= base_c:
        return mean - base_c
    half_range = (tmax_c - tmin_c) / 2
    ratio = (base_c - mean) / half_range
    if ratio <= -1.0:  # rounding only
        return mean - base_c
    if ratio >= 1.0:
        return 0.0
    return ((mean - base_c) * (pi / 2 - asin(ratio)) + half_range * sqrt(1 - ratio * ratio)) / pi
