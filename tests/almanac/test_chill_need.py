"""Chill that runs short: against published requirements, and what it does to a date's range."""

from __future__ import annotations

from datetime import date
from statistics import mean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reference_climates import CLIMATES

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.chill_need import chill_need, short_of_chill
from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.species import SPECIES

# Chill portions of varieties. Sweet cherry and apricot: UC Davis, tree phenology, table 1. Apple: Golden Delicious from
# UC ANR (fruit and nut crop chill portions requirements, K. Pope) and from Drepper et al. 2020 (Agronomy 10:73),
# Boskoop and Cox Orange from the latter.
PUBLISHED_PORTIONS = {
    "sweet cherry": (30.4, 35, 36.7, 45, 48, 48, 48, 53.5, 57.6, 70),
    "apricot": (34.3, 51.2, 53.8, 55.9, 56.2, 57.4, 64.8, 69.1),
    "apple": (50, 59.84, 59.16, 79.6),
}


@pytest.mark.parametrize("species", PUBLISHED_PORTIONS)
def test_the_needs_are_those_of_the_varieties_published(species: str) -> None:
    published, need = PUBLISHED_PORTIONS[species], chill_need(species)
    assert need.portions == pytest.approx(mean(published), abs=1)
    assert need.sd_portions == pytest.approx(stdev(published), abs=1.5)


@given(portions=st.floats(0, 150), more=st.floats(0, 40), species=st.sampled_from(SPECIES))
def test_more_chill_is_never_shorter_of_it(portions: float, more: float, species: str) -> None:
    assert 0 <= short_of_chill(species, portions + more) <= short_of_chill(species, portions) + 1e-9


def test_chill_that_is_far_too_little_is_short_by_the_whole_difference() -> None:
    assert short_of_chill("apple", 10.0) == pytest.approx(chill_need("apple").portions - 10.0, abs=0.1)


def apple_bloom(warmer_c: float) -> StageDate:
    latitude, minima, maxima, _ = CLIMATES["Meknes"]
    low, high = (tuple(float(value) + warmer_c for value in months.split()) for months in (minima, maxima))
    place = Place(latitude, normals_min_c=low, normals_max_c=high)
    return Almanac(place, None, (), date(2024, 1, 10)).stage("apple", "full bloom", Season(2024))


def test_the_warmer_the_winter_the_wider_the_range_and_the_reason_says_why() -> None:
    rows = [apple_bloom(warmer_c) for warmer_c in (-4.0, 0.0, 2.0)]
    widths = [(row.high - row.low).days for row in rows if row.low is not None and row.high is not None]
    assert widths == sorted(widths)
    assert widths[2] > widths[0] + 15
    short = "chill is short here (most varieties need 50 to 74 portions), so the range is wide"
    assert short in rows[2].because
    assert short not in rows[0].because


def test_too_little_chill_draws_the_range_to_the_late_side() -> None:
    """Models that wait for chill and are not reached in the season are not left out: they stand at its end."""
    row = apple_bloom(2.0)
    assert row.low is not None
    assert row.date is not None
    assert row.high is not None
    assert row.high - row.date > row.date - row.low
