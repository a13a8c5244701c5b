"""Published formulas written out hour by hour and day by day, against which the almanac's own faster ones are held.

That they are right themselves is checked beside them, against the figures of other people's programs.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import accumulate
from math import acos, cos, exp, pi, radians, sin, tan
from typing import Literal

# Dynamic Model: Fishman, Erez & Couvillon 1987; constants as in Luedeling et al. 2009.
_E0, _E1, _A0, _A1, _SLOPE, _TF_K = 4153.5, 12888.8, 139500.0, 2.567e18, 1.6, 277.0

# Growing degree hours after Anderson, Richardson & Kesner 1986 (ASYMCUR): base, best and critical temperature.
_ANDERSON_BASE_C, _ANDERSON_BEST_C, _ANDERSON_CRITICAL_C = 4.0, 25.0, 36.0


def chill_portions(
    hours_c: Iterable[float], kelvin_offset: float = 273.0, hour_order: Literal["previous", "current"] = "previous"
) -> list[float]:
    """Dynamic Model chill portions so far, one value an hour; the sum never falls.

    What happens in an hour follows from the temperature of the hour before ("previous", as in chillR) or of the hour
    itself ("current", as in fruclimadapt and xclim). `kelvin_offset` is 273 (chillR) or 273.15 (xclim).
    """
    # Per hour: the level that the intermediate product tends to, and the share of the way that is left after the hour.
    inverse_kelvin = [1 / (hour + kelvin_offset) for hour in hours_c]
    level_slope = _E1 - _E0
    level_factor = _A0 / _A1
    levels = [level_factor * exp(level_slope * inverse) for inverse in inverse_kelvin]
    left = [exp(-_A1 * exp(-_E1 * inverse)) for inverse in inverse_kelvin]
    acting = slice(None, -1) if hour_order == "previous" else slice(1, None)
    product = total = 0.0
    portions = [0.0] * min(1, len(levels))
    append = portions.append
    for level, share_left, inverse in zip(levels[acting], left[acting], inverse_kelvin[acting], strict=True):
        product = level - (level - product) * share_left
        if product >= 1:
            ratio = exp(_SLOPE * _TF_K * (1 - _TF_K * inverse))
            fixed = product * ratio / (1 + ratio)
            total += fixed
            product -= fixed
        append(total)
    return portions


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


def day_length_fao56(latitude_deg: float, day_of_year: int) -> float:
    """Hours from rise to set of the sun's centre, without refraction (FAO Irrigation and Drainage Paper 56, eq. 34)."""
    declination = 0.409 * sin(2 * pi * day_of_year / 365 - 1.39)
    cosine = -tan(radians(latitude_deg)) * tan(declination)
    return acos(max(-1.0, min(1.0, cosine))) * 24 / pi
