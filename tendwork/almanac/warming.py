"""How much warmer a place becomes from year to year, as far as its own seasons tell.

A least-squares slope is trusted as its error allows and for the rest drawn to what is usual over land. Seasons that are
long past, taken as ways in which this one may go on, are levelled by it: as they went, they would bring the buds late.
"""

from __future__ import annotations

from collections.abc import Mapping

_USUAL_C_A_YEAR = 0.03  # over land since about 1980: IPCC, sixth assessment report, from memory
_SD_BETWEEN_PLACES_C_A_YEAR = 0.06  # wide, so that ten seasons lead: tests/bench/almanac-comparison.md
_SD_OF_A_SEASON_C = 0.7  # of the mean of a whole season: common practice, no source


def warming_c_a_year(mean_c_of_seasons: Mapping[int, float]) -> float:
    """°C by which one season is warmer than the one before it, from the means of seasons by year."""
    if len(mean_c_of_seasons) < 2:
        return _USUAL_C_A_YEAR
    count = len(mean_c_of_seasons)
    middle_year = sum(mean_c_of_seasons) / count
    mean_c = sum(mean_c_of_seasons.values()) / count
    squares = sum((year - middle_year) ** 2 for year in mean_c_of_seasons)
    slope = sum((year - middle_year) * (value - mean_c) for year, value in mean_c_of_seasons.items()) / squares
    between = _SD_BETWEEN_PLACES_C_A_YEAR**2
    trust = between / (between + _SD_OF_A_SEASON_C**2 / squares)
    return _USUAL_C_A_YEAR + trust * (slope - _USUAL_C_A_YEAR)
