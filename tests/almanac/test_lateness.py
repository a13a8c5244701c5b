"""How late a variety is: what is published of it, and what sightings do to that."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from test_almanac import BLOOM, JULY, MARCH, SEASON, almanac, middle, seen, series

from tendwork.almanac.almanac import Almanac, Place
from tendwork.almanac.bloom_order import bloom_order
from tendwork.almanac.learning import Lesson, learn, offset
from tendwork.almanac.published_bloom import PUBLISHED
from tendwork.almanac.requirements import SPREAD, model_weights
from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.temperature import DailySeries

LATE = "Newton Wonder"  # bloom group 5
YEARS = range(2015, 2023)


def row(*sightings: SeenStage, variety: str = LATE, stage: str = "full bloom", today: date = JULY) -> StageDate:
    return almanac(today, *sightings).stage("apple", stage, SEASON, variety)


def species_bloom(year: int) -> date:
    return middle(almanac().stage("apple", "full bloom", Season(year)))


def springs(years: Sequence[int], variety_days: int) -> list[SeenStage]:
    """Full bloom of the species as foreseen, and of the variety some days later, in each year."""
    whole = [seen(species_bloom(year)) for year in years]
    return whole + [seen(species_bloom(year) + timedelta(days=variety_days), variety=LATE) for year in years]


def days_late(*sightings: SeenStage) -> int:
    return (middle(row(*sightings)) - middle(row(*sightings, variety=""))).days


def test_a_late_variety_is_late_before_anything_was_seen() -> None:
    assert 4 <= days_late() <= 8


@given(days=st.integers(-12, 12))
@examples(8)
def test_the_more_springs_are_seen_of_a_variety_the_less_its_published_days_count(days: int) -> None:
    off = [abs(days_late(*springs(YEARS[:count], days)) - days) for count in (0, 1, 3, 8)]
    assert all(later <= earlier + 1 for earlier, later in pairwise(off))
    assert off[-1] <= 3


@given(days=st.floats(-12, 12), usual=st.floats(-8, 8), count=st.integers(1, 30))
def test_an_offset_lies_between_what_is_usual_and_what_was_seen_and_nears_that(
    days: float, usual: float, count: int
) -> None:
    weights = model_weights("apple")
    rates = (0.05,) * len(weights)
    learned = learn([], rates, weights, SPREAD.site_days)
    lesson = Lesson((days * 0.05,) * len(weights), rates, 3.0, True)
    fewer, more = (offset(learned, [lesson] * springs, usual, 2.0) for springs in (count, count + 1))
    assert min(days, usual) - 1e-6 <= more <= max(days, usual) + 1e-6
    assert abs(more - days) <= abs(fewer - days) + 1e-9


def test_what_is_published_is_surer_than_nothing() -> None:
    orders = [bloom_order(held.species, held.variety) for held in PUBLISHED]
    assert all(order is not None and order.sd_days < SPREAD.variety_days for order in orders)


@pytest.mark.parametrize("today", [MARCH, JULY])
def test_a_variety_of_which_nothing_is_published_has_the_days_of_its_species(today: date) -> None:
    made = almanac(today)
    assert made.stages("apple", SEASON, "Late Lamp") == made.stages("apple", SEASON)


def test_the_reason_says_whether_it_is_published_or_learned() -> None:
    (published,) = [word for word in row().because if "than its species" in word]
    assert published.startswith("this variety is usually in full bloom 8 days later than its species (bloom group 5, ")
    learned = row(*springs(YEARS[:3], 3)).because
    assert any(word.endswith("than its species, learned from 3 springs of sightings of it here") for word in learned)
    assert any(word.startswith("published: usually in full bloom 8 days later") for word in learned)


def test_varieties_of_which_the_same_is_published_share_one_computation() -> None:
    made = almanac(JULY, seen(BLOOM, variety="Red Lamp"))
    one, other = (made.stages("apple", SEASON, name) for name in ("Egremont Russet", "lord lambourne"))
    assert one is other
    assert made.stages("apple", SEASON, "Blue Lamp") is made.stages("apple", SEASON, "Green Lamp") is not one


def test_a_hundred_and_fifty_varieties_cost_few_computations() -> None:
    made = almanac()
    apples = [held.variety for held in PUBLISHED if held.species == "apple"]
    names = {made.standing_for("apple", name) for name in (*apples, *(f"Lamp {number}" for number in range(150)))}
    assert len(names) <= 16


def test_a_variety_that_a_sighting_names_no_longer_shares_with_those_of_its_group() -> None:
    made = almanac(JULY, *springs(YEARS[:4], 15))
    assert made.standing_for("apple", LATE) == LATE
    assert made.standing_for("apple", "Mother") != LATE
    assert middle(made.stage("apple", "full bloom", SEASON, LATE)) > middle(
        made.stage("apple", "full bloom", SEASON, "Mother")
    )


def test_a_stage_seen_of_the_species_is_no_fact_of_a_variety_that_blooms_later() -> None:
    late = row(seen(BLOOM))
    assert late.state == "past"
    assert 4 <= (middle(late) - BLOOM).days <= 8
    assert f"the species was seen so on {BLOOM.isoformat()}" in late.because
    assert row(seen(BLOOM), variety="Late Lamp").state == "seen"


def test_what_was_seen_of_the_variety_itself_stays_a_fact() -> None:
    own = BLOOM + timedelta(days=3)
    found = row(seen(BLOOM), seen(own, variety=LATE))
    assert (found.state, found.date) == ("seen", own)


def test_later_stages_of_a_late_variety_are_counted_on_from_its_own_day() -> None:
    sighting = seen(BLOOM)
    whole, late = (row(sighting, variety=variety, stage="petal fall") for variety in ("", LATE))
    assert 3 <= (middle(late) - middle(whole)).days <= 10
    assert f"counted on from what was seen on {BLOOM.isoformat()}" in late.because
    assert late.low is not None
    assert late.high is not None
    assert whole.low is not None
    assert whole.high is not None
    assert late.high - late.low > whole.high - whole.low


def test_a_late_variety_alone_does_not_teach_that_its_species_is_late() -> None:
    as_usual = [seen(species_bloom(year) + timedelta(days=6), variety=LATE) for year in YEARS[:4]]
    assert abs((middle(row(*as_usual, variety="")) - BLOOM).days) <= 2
    unknown = [seen(sighting.day, variety="Late Lamp") for sighting in as_usual]
    assert (middle(row(*unknown, variety="")) - BLOOM).days >= 4


def test_a_sighting_of_a_variety_is_foreseen_without_itself() -> None:
    """Else a wrong one would stand inside the range that it is doubted by."""
    wrong = seen(BLOOM + timedelta(days=40), variety="Late Lamp")
    whole = seen(species_bloom(2020))
    with_it = almanac(JULY, whole, wrong).unseen("apple", "full bloom", SEASON, "Late Lamp")
    without = almanac(JULY, whole).unseen("apple", "full bloom", SEASON)
    assert with_it is not None
    assert without is not None
    assert with_it.date == without.date


def test_in_the_south_it_is_the_same() -> None:
    north = series()
    south = DailySeries(north.first_day + timedelta(days=181), north.tmin_c, north.tmax_c, north.marks)
    today = JULY + timedelta(days=181)
    made = Almanac(Place(latitude=-49.0, elevation_m=200.0), south, (), today)
    season = season_of(today, south=True)
    whole, late = (middle(made.stage("apple", "full bloom", season, variety)) for variety in ("", LATE))
    assert abs((late - whole).days - days_late()) <= 1


@pytest.mark.parametrize("stage", ["green tip", "tight cluster", "pink"])
def test_an_early_stage_of_the_species_leaves_a_late_variety_as_late_as_it_was(stage: str) -> None:
    sighting = seen(middle(row(variety="", stage=stage)), stage)
    assert abs(days_late(sighting) - days_late()) <= 2


def test_a_late_variety_goes_on_from_its_own_bloom_as_its_species_does() -> None:
    own = seen(BLOOM + timedelta(days=days_late()), variety=LATE)
    variety = middle(row(own, stage="petal fall")) - own.day
    species = middle(row(seen(BLOOM), variety="", stage="petal fall")) - BLOOM
    assert abs((variety - species).days) <= 2
