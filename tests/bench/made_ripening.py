"""A made cool place whose fruit ripens by a rule that the almanac does not hold.

Temperatures are invented around the normals of Bonn (reference_climates.py, from memory). Bloom comes at a heat sum of
daily means; fruit would be ripe when another, counted from bloom, is full, but only a share of what that day departs
from its mean reaches the date, for a pure heat sum over-reacts (near Bonn bloom came 11 to 14 days earlier and fruit 4
to 12); the rest is drawn. Share and draws are set so that simple ways err about as they do over sixty years at one cool
place: the last season's date by 6.6 days, the mean of three by 5.1, bloom and constant days by 7.3 and 6.0.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise
from random import Random
from statistics import fmean
from typing import NamedTuple

from reference_climates import CLIMATES

from tendwork.almanac.temperature import MEASURED, DailySeries, Normals

CLIMATE = "Bonn"
LATITUDE_DEG = CLIMATES[CLIMATE][0]
FIRST_YEAR = 1961
_BLOOM_BASE_C, _RIPE_BASE_C = 4.5, 4.0


class MadeSeason(NamedTuple):
    """One year: full bloom and the picking date of each variety."""

    year: int
    bloom: date
    picked: dict[str, date]


class MadePlace(NamedTuple):
    series: DailySeries
    seasons: list[MadeSeason]


def made_place(
    seed: int,
    years: int = 60,
    heat_share: float = 0.7,
    heat_counts: float = 0.35,
    year_sd_days: float = 2.2,
    own_sd_days: float = 3.0,
    warming_c_a_year: float = 0.02,
) -> MadePlace:
    """Eleven varieties whose usual dates lie from early August to mid October.

    The heat that counts is that of the first `heat_counts` of the usual time from bloom on.
    """
    random = Random(seed)
    normals = normals_of(CLIMATE)
    begins = [date(FIRST_YEAR + place, 1, 1) for place in range(years + 1)]
    days = [
        _year(normals, random, (following - begin).days, (place - years / 2) * warming_c_a_year)
        for place, (begin, following) in enumerate(pairwise(begins))
    ]
    means = [[(low + high) / 2 for low, high in year] for year in days]
    usual_days = {f"Made {letter}": 215 + 7 * place for place, letter in enumerate("ABCDEFGHIJK")}
    target = fmean(sum(_heat(year[31:116], _BLOOM_BASE_C)) for year in means)
    blooms = [31 + _reached(year[31:], _BLOOM_BASE_C, target) + round(random.gauss(0, 2)) for year in means]
    common = [random.gauss(0, year_sd_days) for _ in means]
    picked: list[dict[str, int]] = [{} for _ in means]
    for variety, usual in usual_days.items():
        counted = 116 + round(heat_counts * (usual - 116))
        needed = fmean(sum(_heat(year[116:counted], _RIPE_BASE_C)) for year in means)
        pure = [bloom + _reached(year[bloom:], _RIPE_BASE_C, needed) for year, bloom in zip(means, blooms, strict=True)]
        middle = fmean(pure)
        for place, day in enumerate(pure):
            drawn = common[place] + random.gauss(0, own_sd_days)
            picked[place][variety] = round(usual + heat_share * (day - middle) + drawn)
    flat = [day for year in days for day in year]
    series = DailySeries(
        begins[0], tuple(low for low, _ in flat), tuple(high for _, high in flat), MEASURED * len(flat)
    )
    seasons = []
    for place, begin in enumerate(begins[:-1]):
        on = {variety: begin + timedelta(days=day) for variety, day in picked[place].items()}
        seasons.append(MadeSeason(begin.year, begin + timedelta(days=blooms[place]), on))
    return MadePlace(series, seasons)


def normals_of(climate: str) -> Normals:
    """The monthly normals of one of the reference climates."""
    _, low, high, _ = CLIMATES[climate]
    return Normals(tuple(map(float, low.split())), tuple(map(float, high.split())))


def _year(normals: Normals, random: Random, count: int, warmer_c: float) -> list[tuple[float, float]]:
    """Minimum and maximum of each day: what departs from the usual fades within days, within months, or not at all."""
    low_of_year, high_of_year = normals.year()
    year_c = warmer_c + random.gauss(0, 0.2)
    days, weather, spell = [], random.gauss(0, 2.9), random.gauss(0, 0.6)
    for low, high in zip(low_of_year[:count], high_of_year[:count], strict=True):
        weather = 0.72 * weather + random.gauss(0, 2.9 * (1 - 0.72**2) ** 0.5)
        spell = 0.98 * spell + random.gauss(0, 0.6 * (1 - 0.98**2) ** 0.5)
        middle = (low + high) / 2 + weather + spell + year_c
        half = (high - low) / 2 * max(0.4, random.gauss(1, 0.3))
        days.append((round(middle - half, 1), round(middle + half, 1)))
    return days


def _heat(means_c: Sequence[float], base_c: float) -> list[float]:
    return [max(0.0, mean - base_c) for mean in means_c]


def _reached(means_c: Sequence[float], base_c: float, needed: float) -> int:
    """Days until the sum is reached, going on at the mean of its last month where the year ends before."""
    so_far = 0.0
    heat = _heat(means_c, base_c)
    for day, more in enumerate(heat):
        if (so_far := so_far + more) >= needed:
            return day
    return len(heat)
