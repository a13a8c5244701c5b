"""Heat that drives buds and shoots: degree-days from a day's minimum and maximum, growing degree hours from hours.

Published sums hold only with the method they were made with, so each method is its own function.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import accumulate
from math import asin, cos, pi, sqrt

# Growing degree hours after Richardson et al. 1974: from 4.5 °C, no more than at 25 °C. The base is from memory.
_RICHARDSON_BASE_C, _RICHARDSON_BEST_C = 4.5, 25.0

# Growing degree hours after Anderson, Richardson & Kesner 1986 (ASYMCUR): base, best and critical temperature.
_ANDERSON_BASE_C, _ANDERSON_BEST_C, _ANDERSON_CRITICAL_C = 4.0, 25.0, 36.0

_HeatAbove = Callable[[float, float, float], float]


def average(tmin_c: float, tmax_c: float, lower_c: float, upper_c: float | None = None) -> float:
    """Degree-days as the mean of minimum and maximum less the threshold, never below 0; a ceiling caps the maximum."""
    if upper_c is not None:
        tmin_c, tmax_c = min(tmin_c, upper_c), min(tmax_c, upper_c)
    return max(0.0, (tmin_c + tmax_c) / 2 - lower_c)


def single_sine(
    tmin_c: float, tmax_c: float, lower_c: float, upper_c: float | None = None, cutoff: str = "horizontal"
) -> float:
    """Degree-days of one day under a sine through its minimum and maximum (Baskerville & Emin 1969).

    `cutoff` above `upper_c`: "horizontal" counts on at the rate of `upper_c`; "intermediate" takes off as much again.
    """
    return _between(_under_sine, tmin_c, tmax_c, lower_c, upper_c, cutoff)


def double_sine(
    tmin_c: float,
    tmax_c: float,
    next_tmin_c: float,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: str = "horizontal",
) -> float:
    """As single_sine, with the second half of the day falling to the next day's minimum (Allen 1976)."""
    before = _between(_under_sine, tmin_c, tmax_c, lower_c, upper_c, cutoff)
    return (before + _between(_under_sine, next_tmin_c, tmax_c, lower_c, upper_c, cutoff)) / 2


def single_triangle(
    tmin_c: float, tmax_c: float, lower_c: float, upper_c: float | None = None, cutoff: str = "horizontal"
) -> float:
    """Degree-days of one day under straight lines from its minimum to its maximum and back."""
    return _between(_under_triangle, tmin_c, tmax_c, lower_c, upper_c, cutoff)


def double_triangle(
    tmin_c: float,
    tmax_c: float,
    next_tmin_c: float,
    lower_c: float,
    upper_c: float | None = None,
    cutoff: str = "horizontal",
) -> float:
    """As single_triangle, with the second half of the day falling to the next day's minimum."""
    before = _between(_under_triangle, tmin_c, tmax_c, lower_c, upper_c, cutoff)
    return (before + _between(_under_triangle, next_tmin_c, tmax_c, lower_c, upper_c, cutoff)) / 2


def sine_sums(tmin_c: Sequence[float], tmax_c: Sequence[float], lower_c: float) -> list[float]:
    """Running sum of single-sine degree-days at the end of each day, without an upper threshold."""
    return list(accumulate(map(_under_sine, tmin_c, tmax_c, [lower_c] * len(tmin_c))))


def growing_degree_hours(hours_c: Iterable[float]) -> list[float]:
    """Running sum of growing degree hours on a straight line (Richardson et al. 1974): 20.5 an hour from 25 °C on."""
    base, best = _RICHARDSON_BASE_C, _RICHARDSON_BEST_C
    most = best - base
    return list(accumulate([0.0 if hour <= base else hour - base if hour < best else most for hour in hours_c]))


def growing_degree_hours_anderson(hours_c: Iterable[float]) -> list[float]:
    """Running sum of growing degree hours on two cosines (Anderson, Richardson & Kesner 1986, Acta Hortic. 184:71).

    Nothing at 4 °C and below, 21 an hour at 25 °C, nothing again from 36 °C on.
    """
    base, best, critical = _ANDERSON_BASE_C, _ANDERSON_BEST_C, _ANDERSON_CRITICAL_C
    most = best - base
    half, rise, fall = most / 2, pi / most, pi / 2 / (critical - best)
    return list(
        accumulate(
            [
                0.0
                if hour <= base or hour >= critical
                else half - half * cos(rise * (hour - base))
                if hour <= best
                else most + most * cos(pi / 2 + fall * (hour - best))
                for hour in hours_c
            ]
        )
    )


def _between(
    above: _HeatAbove, tmin_c: float, tmax_c: float, lower_c: float, upper_c: float | None, cutoff: str
) -> float:
    heat = above(tmin_c, tmax_c, lower_c)
    if upper_c is None or tmax_c <= upper_c:
        return heat
    if cutoff == "horizontal":
        return heat - above(tmin_c, tmax_c, upper_c)
    if cutoff == "intermediate":
        return max(0.0, heat - 2 * above(tmin_c, tmax_c, upper_c))
    raise ValueError(f"cutoff is horizontal or intermediate, not {cutoff!r}")


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


def _under_triangle(tmin_c: float, tmax_c: float, base_c: float) -> float:
    if tmax_c <= base_c:
        return 0.0
    if tmin_c >= base_c:
        return (tmin_c + tmax_c) / 2 - base_c
    return (tmax_c - base_c) ** 2 / (2 * (tmax_c - tmin_c))
