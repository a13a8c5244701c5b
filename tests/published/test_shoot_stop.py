"""The end of shoot growth against published dates of the work that begins with it, in several climates.

No source dates the end of shoot growth itself. The reference climates stand for the places; their normals are from
memory, so a date may lie anywhere in the range that the almanac gives, over sixteen invented years.
"""

from __future__ import annotations

from datetime import date
from functools import cache
from statistics import median

import pytest
from reference_climates import CLIMATES

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.ensemble import invented_days
from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.almanac.shoot_stop import NEEDS
from tendwork.almanac.temperature import Normals, SourceDay, build_series
from tendwork.species import SPECIES

TODAY = date(2024, 3, 10)
YEARS = range(2008, 2024)

# (climate, species, first and last day of the published dates, the source)
PUBLISHED = (
    ("East Malling", "apple", (8, 11), (8, 31), "RHS, J. Arbury: trained apples mid to late August, once shoots stop"),
    ("East Malling", "pear", (7, 21), (8, 10), "RHS, J. Arbury: trained pears late July to early August"),
    ("Geneva NY", "apple", (7, 16), (8, 5), "Univ. Wisconsin 2020 on trials in New York: July cuts regrow, August not"),
    ("Geneva NY", "apple", (8, 1), (8, 31), "UMass Healthy Fruit, 31 July 2001: August opens summer pruning"),
    ("Wenatchee", "apple", (7, 21), (8, 10), "Utah State: late July to early August (a dry inland climate like it)"),
)


@cache
def almanac(climate: str) -> Almanac:
    latitude, minima, maxima, _ = CLIMATES[climate]
    normals = Normals(tuple(map(float, minima.split())), tuple(map(float, maxima.split())))
    rows = [SourceDay(*day, False) for day in invented_days(normals, 1, date(2006, 1, 1), TODAY)]
    made, _ = build_series(rows, normals)
    return Almanac(Place(latitude), made, (), TODAY)


def stop(climate: str, species: str, year: int = 2024) -> StageDate:
    return almanac(climate).stage(species, "shoot stop", Season(year))


def usual(climate: str, species: str) -> date:
    days = [found.timetuple().tm_yday for year in YEARS if (found := stop(climate, species, year).date) is not None]
    assert days
    return date.fromordinal(date(2024, 1, 1).toordinal() + round(median(days)) - 1)


@pytest.mark.parametrize(("climate", "species", "first", "last", "source"), PUBLISHED)
def test_the_range_of_a_year_to_come_meets_the_published_dates(
    climate: str, species: str, first: tuple[int, int], last: tuple[int, int], source: str
) -> None:
    row = stop(climate, species)
    assert row.low is not None, source
    assert row.high is not None, source
    assert row.low <= date(2024, *last), source
    assert row.high >= date(2024, *first), source


@pytest.mark.parametrize(("climate", "species", "first", "last", "source"), PUBLISHED)
def test_the_usual_day_is_within_ten_days_of_the_published_ones(
    climate: str, species: str, first: tuple[int, int], last: tuple[int, int], source: str
) -> None:
    day = usual(climate, species)
    off = max((date(2024, *first) - day).days, (day - date(2024, *last)).days, 0)
    assert off <= 10, source


def test_england_is_later_than_new_york_though_it_blooms_before() -> None:
    """RHS mid to late August against New York's end of July: 85 days from bloom had it the other way round."""
    blooms = [
        almanac(climate).stage("apple", "full bloom", Season(2024)).date for climate in ("East Malling", "Geneva NY")
    ]
    assert blooms[0] is not None
    assert blooms[1] is not None
    assert blooms[0] < blooms[1]
    assert usual("East Malling", "apple") > usual("Geneva NY", "apple")


def test_pears_stop_two_to_three_weeks_before_apples_in_england() -> None:
    """RHS; Westmorland Gazette for Cumbria: pears late July to early August, apples mid to late August."""
    assert 10 <= (usual("East Malling", "apple") - usual("East Malling", "pear")).days <= 28


@pytest.mark.parametrize("climate", CLIMATES)
def test_the_species_stop_in_the_order_in_which_their_stocks_are_budded_in_france(climate: str) -> None:
    """A rural magazine: plum and mazzard 25 July, pear early August, apple and quince mid August, almond September."""
    plum, cherry, apple, quince, peach = (
        usual(climate, species) for species in ("plum", "sweet cherry", "apple", "quince", "peach")
    )
    assert max(plum, cherry) < apple <= peach
    assert abs((quince - apple).days) <= 5


def test_a_short_season_stops_nearer_to_bloom() -> None:
    """Short seasons leave fewer days: in Norway at 60° N the second half of August, with bloom near the end of May."""
    days = []
    for place in ("Kentville NS", "East Malling", "Davis CA"):
        bloom = almanac(place).stage("apple", "full bloom", Season(2024)).date
        assert bloom is not None
        days.append((usual(place, "apple") - bloom).days)
    assert days == sorted(days)


@pytest.mark.parametrize("climate", ["Davis CA", "Meknes", "Zaragoza"])
def test_a_warm_place_has_a_range_of_more_than_a_month(climate: str) -> None:
    """Nothing is published of its shoots but that buds are set in apple from late August into September."""
    row = stop(climate, "apple")
    assert row.low is not None
    assert row.high is not None
    assert (row.high - row.low).days > 30
    assert row.high >= date(2024, 8, 10)
    assert any("common practice, no source" in word for word in row.because)


def test_a_date_that_is_held_at_its_earliest_or_latest_day_says_so_and_nothing_of_a_past() -> None:
    """Shoots of a July to come: Davis has had that heat by June, and high above Kentville there is too little of it."""
    early = " ".join(stop("Davis CA", "apple").because)
    assert "held at 2024-07-21, its earliest day: that heat comes by 2024-06-" in early
    assert "has come" not in early
    assert "none are known" not in early
    latitude, minima, maxima, _ = CLIMATES["Kentville NS"]
    place = Place(latitude, None, *(tuple(map(float, half.split())) for half in (minima, maxima)), colder_degrees_c=3.0)
    late = Almanac(place, None, (), TODAY).stage("apple", "shoot stop", Season(2024)).because
    assert any("its latest day: 50 days before the leaves fall" in words for words in late)


@pytest.mark.parametrize("climate", CLIMATES)
@pytest.mark.parametrize("species", SPECIES)
def test_the_range_holds_the_day_and_is_never_narrow(climate: str, species: str) -> None:
    row = stop(climate, species)
    assert row.date is not None
    assert row.low is not None
    assert row.high is not None
    assert row.low <= row.date <= row.high
    assert (row.high - row.low).days >= 20
    assert row.date <= date(2024, 9, 15)


def test_every_species_has_its_own_need_with_a_source() -> None:
    assert set(NEEDS) == set(SPECIES)
    assert all(need.source for need in NEEDS.values())


def test_the_south_stops_half_a_year_later() -> None:
    latitude, minima, maxima, _ = CLIMATES["East Malling"]
    lows, highs = (tuple(map(float, half.split())) for half in (minima, maxima))
    normals = Normals(lows[6:] + lows[:6], highs[6:] + highs[:6])
    rows = [SourceDay(*day, False) for day in invented_days(normals, 1, date(2006, 1, 1), date(2024, 9, 10))]
    made, _ = build_series(rows, normals)
    row = Almanac(Place(-latitude), made, (), date(2024, 9, 10)).stage("apple", "shoot stop", Season(2024, south=True))
    assert row.date is not None
    assert date(2025, 1, 25) <= row.date <= date(2025, 3, 5)


def test_where_nothing_is_known_but_a_latitude_the_range_is_wider() -> None:
    latitude = CLIMATES["East Malling"][0]
    guessed = Almanac(Place(latitude), None, (), TODAY).stage("apple", "shoot stop", Season(2024))
    assert guessed.low is not None
    assert guessed.high is not None
    assert (guessed.high - guessed.low).days >= 48
