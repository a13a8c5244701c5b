"""Winter chill as running sums over hourly temperatures: chilling hours, Utah units, Dynamic Model portions."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from itertools import accumulate
from math import exp

CHILLING_HOUR_LOWEST_C, CHILLING_HOUR_HIGHEST_C = 0.0, 7.2

# Utah model: Richardson, Seeley & Walker 1974, HortScience 9:331-332. A band ends with its own upper temperature.
_UTAH_BAND_ENDS_C = (1.4, 2.4, 9.1, 12.4, 15.9, 18.0)
_UTAH_WEIGHTS = (0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0)

# Dynamic Model: Fishman, Erez & Couvillon 1987; constants as in Luedeling et al. 2009.
_E0, _E1, _A0, _A1, _SLOPE, _TF_K = 4153.5, 12888.8, 139500.0, 2.567e18, 1.6, 277.0


def chilling_hours(hours_c: Iterable[float]) -> list[float]:
    """Hours between 0 and 7.2 °C so far, both edges counted (Weinberger 1950); some counts leave out exactly 0 °C."""
    lowest, highest = CHILLING_HOUR_LOWEST_C, CHILLING_HOUR_HIGHEST_C
    return list(accumulate([1.0 if lowest <= hour <= highest else 0.0 for hour in hours_c]))


def utah_units(hours_c: Iterable[float]) -> list[float]:
    """Utah chill units so far; warm hours take some back, so the sum can fall and go below 0."""
    ends, weights = _UTAH_BAND_ENDS_C, _UTAH_WEIGHTS
    return list(accumulate([weights[bisect_left(ends, hour)] for hour in hours_c]))


def chill_portions(hours_c: Iterable[float], kelvin_offset: float = 273.0, hour_order: str = "previous") -> list[float]:
    """Dynamic Model chill portions so far, one value an hour; the sum never falls.

    What happens in an hour follows from the temperature of the hour before ("previous", as in chillR) or of the hour
    itself ("current", as in fruclimadapt and xclim). `kelvin_offset` is 273 (chillR) or 273.15 (xclim).
    """
    if hour_order not in ("previous", "current"):
        raise ValueError(f"hour_order is previous or current, not {hour_order!r}")
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
