"""Bud stages against published phenology, with tolerances that a site known by monthly normals alone deserves.

The normals are from memory and rounded; they are inputs. Where a tolerance is wide, the test says how wide, in days.
"""

from __future__ import annotations

from datetime import date, timedelta
from functools import cache

import msgspec
import pytest
from timing_orchard import JANUARY, SITES, almanac_of, place

from tendwork.almanac.almanac import Almanac, Place, UsualDate
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.frost import kill_temperatures
from tendwork.almanac.heat import sine_sums
from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.almanac.temperature import Normals, build_series
from tendwork.species import STAGES, stage_named

SEASON = Season(2027)
JULY = date(2027, 7, 31)
PEACH_RIDGE = msgspec.structs.replace(SITES["cold continental"], usual_dates=())
PEACH_RIDGE_BY_HEART = msgspec.structs.replace(PEACH_RIDGE, usual_dates=(UsualDate("apple", "full bloom", 5, 5),))
HUDSON_VALLEY = place(
    41.7,
    100,
    "-8.5 -7.5 -3 2.5 8.5 13.5 16.5 15.5 11 4.5 0 -5",
    "1.5 3.5 9 16 22 26.5 29 28.5 24 17.5 11 4.5",
)
BELCHERTOWN = place(
    42.3,
    120,
    "-9.5 -8 -3.5 2 8 13 16 15 10.5 4.5 0 -5.5",
    "1 3 7.5 14.5 21 25.5 28.5 27.5 23 16.5 10 4",
)
LOST_NATION = place(
    44.5,
    350,
    "-16 -14.5 -8 -1.5 4.5 9.5 12.5 11.5 7 1.5 -3.5 -11",
    "-3.5 -1.5 4 11.5 19 24 26.5 25.5 21 13.5 6 -0.5",
)


@cache
def almanac(site: Place) -> Almanac:
    return Almanac(site, None, (), JANUARY)


def stage(site: Place, name: str, species: str = "apple") -> StageDate:
    return almanac(site).stage(species, name, SEASON)


def day_of(site: Place, name: str, species: str = "apple") -> date:
    found = stage(site, name, species).date
    assert found is not None
    return found


@pytest.mark.parametrize(("name", "published"), [("green tip", date(2027, 4, 5)), ("full bloom", date(2027, 5, 5))])
def test_the_average_of_peach_ridge_lies_in_the_range_and_within_two_weeks_of_the_date(
    name: str, published: date
) -> None:
    """P01, P02: MSU Extension, Apple growth stages for Peach Ridge area, 2014: McIntosh, Sparta, Michigan."""
    found = stage(PEACH_RIDGE, name)
    assert found.low is not None
    assert found.high is not None
    assert found.low <= published <= found.high
    assert abs((day_of(PEACH_RIDGE, name) - published).days) <= 14


def test_knowing_the_usual_bloom_by_heart_brings_green_tip_and_bloom_nearer() -> None:
    """P01, P02: the same source; bloom within eight days, green tip within eleven, once the average bloom is told."""
    assert abs((day_of(PEACH_RIDGE_BY_HEART, "full bloom") - date(2027, 5, 5)).days) <= 8
    assert abs((day_of(PEACH_RIDGE_BY_HEART, "green tip") - date(2027, 4, 5)).days) <= 11


@pytest.mark.parametrize("site", [PEACH_RIDGE, PEACH_RIDGE_BY_HEART], ids=["by normals", "with the usual bloom"])
def test_green_tip_to_full_bloom_takes_about_31_days(site: Place) -> None:
    """P03: the same source: 31 days on average, 17 to 50 seen; ours within a week of the average."""
    assert abs((day_of(site, "full bloom") - day_of(site, "green tip")).days - 31) <= 7


@pytest.mark.parametrize(
    ("name", "earliest", "latest"),
    [
        ("green tip", date(2027, 3, 15), date(2027, 5, 3)),
        ("full bloom", date(2027, 4, 16), date(2027, 5, 25)),
    ],
)
def test_the_range_of_peach_ridge_lies_within_the_extremes_seen(name: str, earliest: date, latest: date) -> None:
    """P04: the same source: extremes of some forty springs, 2012 and 1978 or 1997."""
    found = stage(PEACH_RIDGE_BY_HEART, name)
    assert found.low is not None
    assert found.high is not None
    assert earliest <= found.low <= found.high <= latest


def test_green_tip_comes_within_ten_days_of_80_to_106_degree_days() -> None:
    """P05: Bradshaw, blog.uvm.edu/fruit, March 2016: degree-days F above 40 °F; our sum runs from 1 January."""
    normals = Normals(HUDSON_VALLEY.normals_min_c or (), HUDSON_VALLEY.normals_max_c or ())
    late_days = []
    for seed in range(6):
        days = invented_days(normals, seed, date(2026, 9, 1), date(2027, 10, 31))
        series, _ = build_series([(day, low, high, False) for day, low, high in days], None)
        computed = Almanac(HUDSON_VALLEY, series, (), date(2027, 10, 31)).stage("apple", "green tip", SEASON).date
        assert computed is not None
        year = [entry for entry in days if entry[0] >= date(2027, 1, 1)]
        sums_c = sine_sums([low for _, low, _ in year], [high for _, _, high in year], (40 - 32) / 1.8)
        reached = [
            next(day for (day, _, _), total in zip(year, sums_c, strict=True) if total * 1.8 >= wanted)
            for wanted in (80, 106)
        ]
        late_days.append(max((reached[0] - computed).days, (computed - reached[1]).days, 0))
    assert sum(late_days) / len(late_days) <= 10


def test_tight_cluster_in_northern_new_hampshire_falls_between_4_and_21_may() -> None:
    """P06: groworganicapples forum, five springs at Lost Nation, zone 4b; grade C, so soft."""
    assert date(2027, 5, 4) <= day_of(LOST_NATION, "tight cluster") <= date(2027, 5, 21)


@pytest.mark.parametrize(
    ("species", "name"),
    [
        ("pear", "tight cluster"),
        ("peach", "calyx red"),
        ("sweet cherry", "tight cluster"),
        ("japanese plum", "tight cluster"),
    ],
)
def test_the_stages_seen_on_one_day_at_belchertown_fall_near_one_another(species: str, name: str) -> None:
    """P07: UMass bud stages, 23 April 2001: all four beside apple at half-inch green; here within two weeks of it."""
    named = stage_named(species, name)
    assert named is not None
    apart = day_of(BELCHERTOWN, named, species) - day_of(BELCHERTOWN, "half-inch green")
    assert abs(apart) <= timedelta(days=14)


def test_stone_fruit_stands_ahead_of_apple_as_at_belchertown() -> None:
    """P07: on the day of apple half-inch green the others had passed that code (BBCH 54), or stood at it."""
    apple = day_of(BELCHERTOWN, "half-inch green")
    for species in ("pear", "peach", "sweet cherry", "japanese plum"):
        same = stage_named(species, "half-inch green")
        assert same is not None
        assert day_of(BELCHERTOWN, same, species) <= apple, species


def degree_days_f_to_bloom(site: Place) -> float:
    """Degree-days F above 43 °F from 1 January to apple's full bloom, single sine, of invented days by the normals."""
    days = invented_days(Normals(site.normals_min_c or (), site.normals_max_c or ()), 1, date(2027, 1, 1), JULY)
    sums_c = sine_sums([low for _, low, _ in days], [high for _, _, high in days], (43 - 32) / 1.8)
    return sums_c[(day_of(site, "full bloom") - date(2027, 1, 1)).days] * 1.8


@pytest.mark.parametrize("site", ["Manitoba", "Alaska", "Minnesota", "Vermont"])
def test_a_winter_of_hard_frost_asks_for_little_more_heat_than_one_in_massachusetts(site: str) -> None:
    """UMass Healthy Fruit 2010: McIntosh blooms at 349 to 419 degree-days, one sum from 1 January for a cold place.

    Sums of days by rounded normals lie higher, so places are held to Belchertown, where that sum was taken. The
    Dynamic Model gives hard frost no portions; taken for want of chill it asked 1.6 times as much in Manitoba.
    """
    assert 0.9 <= degree_days_f_to_bloom(SITES[site]) / degree_days_f_to_bloom(BELCHERTOWN) <= 1.35


@pytest.mark.parametrize("site", [PEACH_RIDGE, SITES["south-east Michigan"]], ids=["Peach Ridge", "south-east"])
def test_pear_buds_burst_before_apple_leaves_silver_tip_as_in_michigan(site: Place) -> None:
    """USDA NASS Great Lakes in Fruit Growers News, 7 May 2018: pear burst to tight cluster, apple silver tip to
    half-inch green; so the last pears had burst before the last apples showed green, and the first stood at tight
    cluster before the first apples did."""
    assert day_of(site, "bud burst", "pear") <= day_of(site, "green tip") < day_of(site, "half-inch green")
    assert day_of(site, "green cluster", "pear") <= day_of(site, "tight cluster")
    assert day_of(site, "swollen bud", "pear") >= day_of(site, "silver tip") - timedelta(days=7)


def test_silver_tip_stands_nine_degrees_of_frost_and_pink_only_two_to_four() -> None:
    """P08: pss.uvm.edu, Home fruit growth stages: silver tip safe to -9 °C, pink hurt from -2, mostly dead at -4."""
    silver, pink = kill_temperatures("apple", "silver tip"), kill_temperatures("apple", "pink")
    assert silver is not None
    assert pink is not None
    assert pink.kill90_c is not None
    assert silver.kill10_c == pytest.approx(-9, abs=0.7)
    assert pink.kill10_c == pytest.approx(-2, abs=0.7)
    assert pink.kill90_c == pytest.approx(-4, abs=0.7)


@pytest.mark.parametrize(
    ("species", "names"),
    [
        (
            "apple",
            "silver tip, green tip, half-inch green, tight cluster, pink, first bloom, full bloom, petal fall",
        ),
        ("sweet cherry", "swollen bud, white bud, first bloom, full bloom, petal fall"),
    ],
)
def test_the_trade_names_of_the_stages_are_ours_and_in_order(species: str, names: str) -> None:
    """P09: Utah State home-orchard growth-stage pages, apple and cherry."""
    own = [row[0] for row in STAGES[species]]
    places = [own.index(name) for name in names.split(", ")]
    assert places == sorted(places)


def test_leaves_folded_like_mouse_ears_are_half_inch_green() -> None:
    """P10: pss.uvm.edu, Home fruit growth stages."""
    assert stage_named("apple", "mouse-ear") == "half-inch green"


def test_a_usual_date_moves_the_whole_spring_and_never_breaks_its_order() -> None:
    by_heart = [row.date for row in almanac_of("cold continental", JANUARY).stages("apple", SEASON) if row.date]
    assert by_heart == sorted(by_heart)


@pytest.mark.parametrize("site", [site for site in SITES if site != "Gulf Texas"])
def test_quince_is_in_leaf_before_apple_and_blooms_after_it_and_medlar_is_in_leaf_with_apple(site: str) -> None:
    """German, English and Portland growers: quince shows green before apple, and blooms after it; days from memory.

    No source dates medlar: with apple or up to a week later is common practice. Where winter has next to no chill, as
    on the Gulf, nobody knows.
    """
    apple = day_of(SITES[site], "green tip")
    assert -10 <= (day_of(SITES[site], "green tip", "quince") - apple).days <= 0
    assert 0 <= (day_of(SITES[site], "green tip", "medlar") - apple).days <= 7
    bloom = (day_of(SITES[site], "full bloom", "quince") - day_of(SITES[site], "full bloom")).days
    assert 8 <= bloom <= 17  # 10 to 14 from memory; a cool spring draws it out
