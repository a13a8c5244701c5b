"""What is learned from springs, against invented places whose truth is known: more of them never hurts."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from math import exp
from random import Random
from statistics import fmean

import pytest

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.development import first_day, last_day, ways_forward
from tendwork.almanac.ensemble import Trace, invented_days
from tendwork.almanac.requirements import heat_to_bloom
from tendwork.almanac.results import SeenStage
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import DailySeries, Normals, SourceDay, build_series

COOL = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
MILD = Normals((4, 5, 7, 8, 11, 14, 17, 17, 15, 12, 8, 5), (14, 16, 18, 20, 24, 29, 33, 33, 29, 24, 18, 14))
PLACE = Place(latitude=45.0)
FIRST, YEARS, FIRST_TESTED = 1996, range(1997, 2025), 2014
SPRINGS = (0, 1, 3, 5)
SEASON_SD_DAYS = 3.0


def days_of(normals: Normals, seed: int) -> DailySeries:
    rows = [SourceDay(*day, False) for day in invented_days(normals, seed, date(FIRST, 1, 1), date(2024, 8, 10))]
    series, _ = build_series(rows, normals)
    assert series is not None
    return series


def blooms_by(model: int, needs_more: float, series: DailySeries, seed: int) -> dict[int, date]:
    """Full bloom of apple where one of the models holds, the need is not the published one, and no spring is exact."""
    random = Random(seed)
    blooms = {}
    for year in YEARS:
        season = Season(year)
        begin = (first_day(season) - series.first_day).days
        part = slice(begin, begin + (last_day(season) - first_day(season)).days + 1)
        progress = ways_forward(Trace(series.tmin_c[part], series.tmax_c[part]), [Trace((), ())], season, 45.0)[0]
        reached = progress.day_reached(model, heat_to_bloom("apple")[model] * exp(needs_more))
        assert reached is not None
        blooms[year] = first_day(season) + timedelta(days=round(reached + random.gauss(0, SEASON_SD_DAYS)))
    return blooms


@pytest.mark.parametrize(
    ("normals", "model", "needs_more"),
    [(COOL, 0, 0.3), (COOL, 0, 0.0), (COOL, 4, -0.3), (MILD, 0, 0.3), (MILD, 1, -0.2), (MILD, 3, 0.0)],
)
def test_more_springs_never_hurt_and_beat_the_mean_of_ten_years(
    normals: Normals, model: int, needs_more: float
) -> None:
    series = days_of(normals, 5)
    blooms = blooms_by(model, needs_more, series, 11)
    errors: dict[int, list[int]] = {springs: [] for springs in SPRINGS}
    of_ten_years, inside = [], []
    for year in range(FIRST_TESTED, 2025):
        for springs in SPRINGS:
            seen = [SeenStage(blooms[other], "apple", "full bloom") for other in range(year - springs, year)]
            row = Almanac(PLACE, series, seen, date(year, 8, 10)).stage("apple", "full bloom", Season(year))
            assert row.date is not None
            assert row.low is not None
            assert row.high is not None
            errors[springs].append(abs((row.date - blooms[year]).days))
            if springs == SPRINGS[-1]:
                inside.append(row.low <= blooms[year] <= row.high)
        of_year = [blooms[other].timetuple().tm_yday for other in range(year - 10, year)]
        of_ten_years.append(abs(fmean(of_year) - blooms[year].timetuple().tm_yday))
    means = [fmean(errors[springs]) for springs in SPRINGS]
    for fewer, more in pairwise(means):
        assert more <= fewer + 1.0, means
    assert max(means[2:]) <= fmean(of_ten_years), means
    assert fmean(inside) >= 0.65
