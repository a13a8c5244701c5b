"""Stone fruit moves as by the published rule for Redhaven in south-west Michigan (Michigan State University, 2016).

Day of year = 234.9 - 0.0386 x (degree-days above 50 °F, 1 January to 3 June), r² 0.75: so two springs are set against
each other by the days that the rule moves the date between them, in an invented climate like that of the place.
"""

from __future__ import annotations

from datetime import date
from statistics import fmean

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.days import Days
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.heat import sine_sums
from tendwork.almanac.place import Place
from tendwork.almanac.ripe_weather import STONE, RipeWeather
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import MEASURED, DailySeries, Normals

NORMALS = Normals((-8, -8, -4, 2, 8, 13, 16, 15, 11, 5, 0, -5), (0, 1, 6, 13, 20, 25, 27, 26, 22, 15, 8, 2))
PLACE = Place(42.3, normals_min_c=NORMALS.minimum_c, normals_max_c=NORMALS.maximum_c)
FIRST, LAST = 1990, 2019
YEARS = range(FIRST + 1, LAST)
NEAR_DAYS = 3  # the rule leaves a quarter of the variance, and knows no bloom


def redhaven_day(series: DailySeries, year: int) -> float:
    begin, end = series.index(date(year, 1, 1)), series.index(date(year, 6, 3))
    assert begin is not None
    assert end is not None
    part = slice(begin, end + 1)
    fahrenheit_degree_days = 1.8 * sine_sums(series.tmin_c[part], series.tmax_c[part], 10.0)[-1]
    return 234.9 - 0.0386 * fahrenheit_degree_days


def test_warm_and_cold_springs_move_peaches_as_the_rule_does() -> None:
    days = invented_days(NORMALS, 7, date(FIRST, 1, 1), date(LAST, 12, 31))
    series = DailySeries(
        date(FIRST, 1, 1), tuple(low for _, low, _ in days), tuple(high for _, _, high in days), MEASURED * len(days)
    )
    today = date(LAST, 12, 31)
    almanac = Almanac(PLACE, series, (), today)
    weather = RipeWeather(
        Days(PLACE, series, today),
        PLACE.latitude,
        lambda species, variety, season: almanac.stage(species, "full bloom", season, variety),
    )
    ours, rule = [], [redhaven_day(series, year) for year in YEARS]
    for year in YEARS:
        late = weather.of("peach", "", Season(year), Season(LAST)).late
        ours.append(sum(factor * value for factor, value in zip(STONE.factors, late, strict=True)))
    off = [own - fmean(ours) - (day - fmean(rule)) for own, day in zip(ours, rule, strict=True)]
    assert max(map(abs, off)) <= NEAR_DAYS
    moved = max(rule) - min(rule)
    assert moved > 2 * NEAR_DAYS
    assert 0.7 * moved < max(ours) - min(ours) < 1.5 * moved
