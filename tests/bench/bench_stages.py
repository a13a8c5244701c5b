"""The bud stages of all species with twenty-five years of days: cold, warm, and beside plain degree-days.


Run with `-m bench -s`.
"""

from __future__ import annotations

from datetime import date
from time import perf_counter

import pytest

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.heat import sine_sums
from tendwork.almanac.seasons import season_of
from tendwork.almanac.temperature import Normals, SourceDay, build_series
from tendwork.species import SPECIES

pytestmark = pytest.mark.bench

FIRST, TODAY = date(2000, 1, 1), date(2025, 3, 1)
NORMALS = Normals((-2, -1, 1, 4, 8, 11, 13, 13, 9, 6, 2, -1), (4, 6, 10, 14, 19, 22, 24, 24, 19, 14, 8, 5))
USUAL_DATES = tuple(UsualDate(species, "full bloom", 5, 1) for species in SPECIES)


def test_stages_cold_and_warm_beside_plain_degree_days() -> None:
    rows = [SourceDay(day, low, high, False) for day, low, high in invented_days(NORMALS, 1, FIRST, TODAY)]
    series, _ = build_series(rows, NORMALS)
    assert series is not None
    start = perf_counter()
    sine_sums(series.tmin_c, series.tmax_c, 5.0)
    plain = perf_counter() - start
    for name, place in (("nothing taught", Place(49.0)), ("a usual date each", Place(49.0, usual_dates=USUAL_DATES))):
        almanac = Almanac(place, series, (), TODAY)
        times = []
        for _ in range(2):
            start = perf_counter()
            for species in SPECIES:
                almanac.stages(species, season_of(TODAY))
            times.append(perf_counter() - start)
        cold, warm = times
        print(f"\n{name}: cold {cold:.3f} s, {cold / plain:.0f} x plain degree-days; warm {warm * 1e6:.0f} µs")
        assert warm < cold / 100
