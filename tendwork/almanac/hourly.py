"""Hourly temperatures out of daily ones (Linvill 1990): a sine by day, a logarithm by night.

Linvill, HortScience 25:14-16. Both halves of a night are divided by ln(night + 1), so that the curve meets the minimum
at sunrise exactly; implementations that leave the + 1 out before sunrise dip below it.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import lru_cache
from math import log, pi, sin

from tendwork.almanac.daylength import daylight

_Shape = tuple[list[float], list[float], float, list[float]]
"""Hour by hour the share of the fall before sunrise, of the day's range (then at sunset), of the fall after sunset."""


def hours_of_series(
    tmin_c: Sequence[float], tmax_c: Sequence[float], first_day: date, latitude_deg: float
) -> list[float]:
    """24 values a day in °C, for the solar hours 0 to 23 of each day.

    The night before the first day falls from that day's own sunset, the night after the last to that day's own minimum.
    """
    hours: list[float] = []
    if not tmin_c:
        return hours
    shapes: list[_Shape | None] = [None] * 367
    first = first_day.toordinal()
    next_minima = [*tmin_c[1:], tmin_c[-1]]
    sunset_before: float | None = None
    day_of_year = first_day.timetuple().tm_yday - 1
    for step, (low, high, next_low) in enumerate(zip(tmin_c, tmax_c, next_minima, strict=True)):
        day_of_year += 1
        if day_of_year > 365:
            day_of_year = date.fromordinal(first + step).timetuple().tm_yday
        shape = shapes[day_of_year]
        if shape is None:
            shape = shapes[day_of_year] = _shape(latitude_deg, day_of_year)
        before, by_day, at_sunset, after = shape
        span = high - low
        sunset = low + span * at_sunset
        if sunset_before is None:
            sunset_before = sunset
        fall = sunset_before - low
        hours += [sunset_before - fall * share for share in before]
        hours += [low + span * share for share in by_day]
        fall = sunset - next_low
        hours += [sunset - fall * share for share in after]
        sunset_before = sunset
    return hours


def hours_of_day(
    tmin_c: float,
    tmax_c: float,
    day: date,
    latitude_deg: float,
    before: tuple[float, float] | None = None,
    next_tmin_c: float | None = None,
) -> list[float]:
    """The 24 values of one day; `before` is (tmin_c, tmax_c) of the day before. A missing neighbour is like the day."""
    low_before, high_before = before or (tmin_c, tmax_c)
    low_after = tmin_c if next_tmin_c is None else next_tmin_c
    return hours_of_series(
        (low_before, tmin_c, low_after),
        (high_before, tmax_c, tmax_c),
        date.fromordinal(day.toordinal() - 1),
        latitude_deg,
    )[24:48]


@lru_cache(maxsize=800)
def _shape(latitude_deg: float, day_of_year: int) -> _Shape:
    yesterday, today, tomorrow = (daylight(latitude_deg, day_of_year + step) for step in (-1, 0, 1))
    rise, dusk = today.sunrise_hour, today.sunset_hour
    night_before = 24 - yesterday.sunset_hour + rise
    night_after = 24 - dusk + tomorrow.sunrise_hour
    width = today.length_hours + 4
    return (
        [log(hour + 25 - yesterday.sunset_hour) / log(night_before + 1) for hour in range(24) if hour < rise],
        [sin(pi * (hour - rise) / width) for hour in range(24) if rise <= hour <= dusk],
        sin(pi * (dusk - rise) / width),
        [log(hour - dusk + 1) / log(night_after + 1) for hour in range(24) if hour > dusk],
    )
