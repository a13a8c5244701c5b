"""The advised days of a season stand: they move with the weather a little, and never by a month from plan to plan."""

from __future__ import annotations

from datetime import date
from functools import cache

import pytest
from timing_checks import BARK, CENTRAL, CLEFT, COLD, MARITIME, POME_WOOD, STONE_WOOD, WARM, WHIP
from timing_orchard import SITES, Year

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.temperature import Normals, SourceDay, build_series

PLACES = (COLD, MARITIME, CENTRAL, WARM, "Gulf Texas", "US South", "Sicily", "Manitoba", "Utah")
JOBS = (
    (POME_WOOD, "apple"),
    ("collect-wood-quince-medlar", "quince"),
    (STONE_WOOD, "plum"),
    (STONE_WOOD, "sweet cherry"),
    ("collect-wood-peach-apricot", "peach"),
    ("collect-wood-peach-apricot", "apricot"),
    (WHIP, "apple"),
    (CLEFT, "pear"),
    (BARK, "apple"),
    ("bark-plum-cherry", "plum"),
    ("graft-quince", "quince"),
    ("graft-medlar", "medlar"),
    ("graft-peach-apricot", "peach"),
    ("spring-bud", "peach"),
    ("spring-bud", "apple"),
    ("spring-bud-cherry", "sweet cherry"),
    ("bud-pear-plum-cherry", "plum"),
    ("bud-apple", "apple"),
    ("bud-quince-medlar", "quince"),
    ("bud-peach-apricot", "peach"),
    ("bud-peach-apricot", "apricot"),
)
PLAN_DAYS = (date(2026, 11, 1), date(2027, 1, 15), date(2027, 3, 15), date(2027, 6, 1))
MOST_DAYS = 28
"""Between the advised days of two plans of one season; a spring is as much early or late."""


@cache
def measured(site: str, today: date) -> Almanac:
    """Five years of invented days around the normals of the place, to the day of the plan."""
    place = SITES[site]
    assert place.normals_min_c is not None
    assert place.normals_max_c is not None
    normals = Normals(place.normals_min_c, place.normals_max_c)
    days = invented_days(normals, 3, date(2022, 1, 1), date(2027, 12, 31))
    series, _ = build_series([SourceDay(*day, False) for day in days if day[0] <= today], normals)
    return Almanac(place, series, (), today)


@pytest.mark.parametrize("site", PLACES)
def test_the_advised_day_is_the_same_in_every_plan_where_nothing_is_measured(site: str) -> None:
    years = [Year(today=today) for today in PLAN_DAYS]
    for job, species in JOBS:
        best = [year.window(site, job, species).best for year in years]
        assert (max(best) - min(best)).days <= 7, (job, species, best)


@pytest.mark.slow
@pytest.mark.parametrize("site", PLACES)
def test_what_is_measured_moves_the_advised_day_by_less_than_a_month(site: str) -> None:
    years = [Year(today=today, almanac_of=measured) for today in PLAN_DAYS]
    for job, species in JOBS:
        best = [year.window(site, job, species).best for year in years]
        assert (max(best) - min(best)).days <= MOST_DAYS, (job, species, best)
