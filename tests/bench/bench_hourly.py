"""Thirty years of hourly chill and heat in pure Python beside numpy doing the same sums in the same run.

numpy takes whole arrays for the hourly curve, degree hours and degree-days. The Dynamic Model hangs each hour on the
one before, so along time it cannot be vectorised: the reference takes arrays for its coefficients and then the same
plain loop over hours that any Python needs. Run with `-m bench -s`.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from time import perf_counter
from typing import Any

import pytest

from tendwork.almanac.daylength import daylight
from tendwork.almanac.development import chill_and_heat
from tendwork.almanac.ensemble import Trace, invented_days
from tendwork.almanac.heat import sine_sums
from tendwork.almanac.hourly import hours_of_series
from tendwork.almanac.temperature import Normals

pytestmark = pytest.mark.bench
np = pytest.importorskip("numpy")

LATITUDE_DEG = 48.0
FIRST, LAST = date(1995, 1, 1), date(2024, 12, 31)
NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
MOST_TIMES_SLOWER = 3.0
TOLERANCE = {"chill and heat": 5.0}  # ours reads its tables by tenths of a degree; portions run to more than a thousand


def test_thirty_years_of_hours_chill_and_heat_take_at_most_three_times_numpy() -> None:
    days = invented_days(NORMALS, 1, FIRST, LAST)
    low, high = [day[1] for day in days], [day[2] for day in days]
    trace = Trace(tuple(low), tuple(high))
    low_array, high_array = np.array(low), np.array(high)
    of_year = np.array([day[0].timetuple().tm_yday for day in days])
    steps: list[tuple[str, Callable[[], Any], Callable[[], Any]]] = [
        (
            "hourly curve",
            lambda: hours_of_series(low, high, FIRST, LATITUDE_DEG),
            lambda: numpy_hours(low_array, high_array, of_year),
        ),
        (
            "chill and heat",
            lambda: chill_and_heat(trace, FIRST, LATITUDE_DEG),
            lambda: numpy_chill_and_heat(numpy_hours(low_array, high_array, of_year)),
        ),
        ("degree-days, sine", lambda: sine_sums(low, high, 5.0), lambda: numpy_sine(low_array, high_array)),
    ]
    plain_total = numpy_total = 0.0
    print(f"\n{len(days)} days")
    for name, plain, reference in steps:
        assert np.allclose(plain(), reference(), atol=TOLERANCE.get(name, 1e-6)), name
        plain_seconds, numpy_seconds = fastest(plain), fastest(reference)
        plain_total += plain_seconds
        numpy_total += numpy_seconds
        print(line(name, plain_seconds, numpy_seconds))
    print(line("all", plain_total, numpy_total))
    assert plain_total <= MOST_TIMES_SLOWER * numpy_total


def fastest(run: Callable[[], Any], times: int = 5) -> float:
    seconds = []
    for _ in range(times):
        before = perf_counter()
        run()
        seconds.append(perf_counter() - before)
    return min(seconds)


def line(name: str, plain_seconds: float, numpy_seconds: float) -> str:
    ratio = plain_seconds / numpy_seconds
    return f"{name:22} {plain_seconds * 1000:8.1f} ms   numpy {numpy_seconds * 1000:8.1f} ms   ratio {ratio:5.1f}"


def numpy_hours(low: Any, high: Any, of_year: Any) -> Any:
    table = np.array([(0.0, 0.0)] + [_sun(day) for day in range(1, 368)])
    rise, dusk = table[of_year, 0][:, None], table[of_year, 1][:, None]
    dusk_before = np.array([0.0] + [_sun(day - 1)[1] for day in range(1, 367)])[of_year][:, None]
    rise_after = table[of_year + 1, 0][:, None]
    hour = np.arange(24.0)[None, :]
    low, high = low[:, None], high[:, None]
    by_day = low + (high - low) * np.sin(np.pi * (hour - rise) / (dusk - rise + 4))
    sunset = low + (high - low) * np.sin(np.pi * (dusk - rise) / (dusk - rise + 4))
    sunset_before = np.vstack([sunset[:1], sunset[:-1]])
    low_after = np.vstack([low[1:], low[-1:]])
    with np.errstate(invalid="ignore"):
        since_before = np.log(hour + 25 - dusk_before) / np.log(25 - dusk_before + rise)
        since_dusk = np.log(np.maximum(hour - dusk, 0) + 1) / np.log(25 - dusk + rise_after)
    before = sunset_before - (sunset_before - low) * since_before
    after = sunset - (sunset - low_after) * since_dusk
    return np.where(hour < rise, before, np.where(hour <= dusk, by_day, after)).ravel()


def _sun(day_of_year: int) -> tuple[float, float]:
    light = daylight(LATITUDE_DEG, day_of_year)
    return light.sunrise_hour, light.sunset_hour


def numpy_chill_and_heat(hours: Any) -> tuple[Any, Any]:
    """Portions at the end of each day, degree hours of each day."""
    return np.array(numpy_portions(hours))[23::24], numpy_degree_hours(hours).reshape(-1, 24).sum(axis=1)


def numpy_portions(hours: Any) -> list[float]:
    kelvin = hours + 273.0
    level = (139500.0 / 2.567e18 * np.exp((12888.8 - 4153.5) / kelvin)).tolist()
    left = np.exp(-2.567e18 * np.exp(-12888.8 / kelvin)).tolist()
    ratio = np.exp(1.6 * 277.0 * (kelvin - 277.0) / kelvin)
    fixing = (ratio / (1 + ratio)).tolist()
    sums, product, total = [0.0], 0.0, 0.0
    for hour in range(1, len(level)):
        product = level[hour - 1] - (level[hour - 1] - product) * left[hour - 1]
        if product >= 1:
            total += product * fixing[hour - 1]
            product *= 1 - fixing[hour - 1]
        sums.append(total)
    return sums


def numpy_degree_hours(hours: Any) -> Any:
    """On a cosine up to 25 °C, and no more above."""
    return 10.5 * (1 - np.cos(np.pi * (np.clip(hours, 4, 25) - 4) / 21))


def numpy_sine(low: Any, high: Any) -> Any:
    mean, half = (low + high) / 2, (high - low) / 2
    ratio = np.clip((5.0 - mean) / half, -1, 1)
    return np.cumsum(((mean - 5.0) * (np.pi / 2 - np.arcsin(ratio)) + half * np.sqrt(1 - ratio**2)) / np.pi)
