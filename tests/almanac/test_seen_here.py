"""Bloom seen on one variety alone: no fact of its species or of another variety, but counted from.

Lodi and Rome Beauty are NC State HIL-302's early and late apples; a word of that list in days is our own reading.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from test_almanac import BLOOM, JULY, SEASON, almanac, middle, seen
from test_lateness import species_bloom, springs

from tendwork.almanac.bloom_order import bloom_order
from tendwork.almanac.results import SeenStage, StageDate
from tendwork.almanac.seasons import Season

EARLY, LATE = "Lodi", "Rome Beauty"


def bloom(*sightings: SeenStage, variety: str = "", today: date = JULY) -> StageDate:
    return almanac(today, *sightings).stage("apple", "full bloom", SEASON, variety)


@pytest.mark.parametrize(("name", "side"), [(EARLY, 1), (LATE, -1)])
def test_the_bloom_of_an_early_or_late_variety_is_no_fact_of_its_species(name: str, side: int) -> None:
    found = bloom(seen(BLOOM, variety=name))
    assert found.state == "past"
    assert 1 <= side * (middle(found) - BLOOM).days <= 8
    assert found.low is not None
    assert found.high is not None
    assert found.low < middle(found) < found.high
    assert found.because[0] == f"{name} was seen so on {BLOOM.isoformat()}"
    assert found.because[1].startswith(f"{name} is usually in full bloom ")


def test_one_of_which_nothing_is_known_speaks_for_its_species_and_the_reason_says_whose_bloom_was_seen() -> None:
    found = bloom(seen(BLOOM, variety="Red Lamp"))
    assert (found.state, found.date, found.because) == ("seen", BLOOM, (f"seen of Red Lamp on {BLOOM.isoformat()}",))


def test_what_was_seen_of_the_whole_species_goes_before_what_was_seen_of_a_variety() -> None:
    found = bloom(seen(BLOOM), seen(BLOOM - timedelta(days=5), variety=EARLY))
    assert (found.state, found.date) == ("seen", BLOOM)


def test_one_of_which_something_is_known_goes_before_one_of_which_nothing_is() -> None:
    known, other = seen(BLOOM, variety=LATE), seen(BLOOM + timedelta(days=9), variety="Red Lamp")
    assert bloom(known, other).date == bloom(known).date


def test_an_early_and_a_late_variety_that_bloom_as_far_apart_as_published_agree_about_their_species() -> None:
    early, late = (bloom_order("apple", name) for name in (EARLY, LATE))
    assert early is not None
    assert late is not None
    apart = timedelta(days=round(late.days - early.days))
    one = bloom(seen(BLOOM, variety=EARLY))
    both = bloom(seen(BLOOM, variety=EARLY), seen(BLOOM + apart, variety=LATE))
    assert abs((middle(both) - middle(one)).days) <= 2


def test_another_variety_is_counted_from_it_and_keeps_its_place_in_the_order() -> None:
    sighting = seen(BLOOM, variety=EARLY)
    late = bloom(sighting, variety=LATE)
    assert late.state == "past"
    assert BLOOM < middle(bloom(sighting)) < middle(late) <= BLOOM + timedelta(days=12)
    assert f"{EARLY} was seen so on {BLOOM.isoformat()}" in late.because
    assert any(word.startswith("this variety is usually in full bloom 6 days later") for word in late.because)


def test_of_two_varieties_of_which_nothing_is_known_one_is_no_fact_of_the_other() -> None:
    other = bloom(seen(BLOOM, variety="Red Lamp"), variety="Blue Lamp")
    assert (other.state, other.date) == ("past", BLOOM)
    assert other.low is not None
    assert (BLOOM - other.low).days >= 6
    assert f"Red Lamp was seen so on {BLOOM.isoformat()}" in other.because


def test_later_stages_of_the_species_are_counted_on_from_its_own_day() -> None:
    sighting = seen(BLOOM, variety=LATE)
    fall = almanac(JULY, sighting).stage("apple", "petal fall", SEASON)
    plain = almanac(JULY, seen(middle(bloom(sighting)))).stage("apple", "petal fall", SEASON)
    assert abs((middle(fall) - middle(plain)).days) <= 1
    assert f"counted on from what was seen of {LATE} on {BLOOM.isoformat()}" in fall.because


def test_how_late_a_variety_was_in_other_springs_is_how_far_its_bloom_is_from_its_species() -> None:
    later, earlier = (
        bloom(*springs(range(2015, 2023), days), seen(BLOOM, variety="Newton Wonder")) for days in (2, 12)
    )
    assert middle(earlier) < middle(later)
    assert any(word.endswith("learned from 8 springs of sightings of it here") for word in earlier.because)


def test_stages_before_it_that_nobody_saw_do_not_hold_it_back() -> None:
    found = bloom(seen(BLOOM, variety=LATE))
    assert found.low is not None
    assert found.high is not None
    assert abs((middle(found) - found.low).days - (found.high - middle(found)).days) <= 1


def test_sightings_of_another_variety_that_contradict_each_other_move_nothing() -> None:
    broken = (seen(BLOOM, variety=EARLY), seen(BLOOM - timedelta(days=30), "petal fall", variety=EARLY))
    own = seen(species_bloom(2024) + timedelta(days=6), variety=LATE)
    found = bloom(*broken, own, variety=LATE)
    assert (found.state, found.date) == ("seen", own.day)
    assert found.because == (f"seen on {own.day.isoformat()}",)


def test_a_shoot_stop_seen_of_one_variety_says_of_which() -> None:
    day = date(2024, 7, 8)
    found = almanac(JULY, seen(day, "shoot stop", variety=EARLY)).stage("apple", "shoot stop", SEASON)
    assert found.because == (f"seen of {EARLY} on {day.isoformat()}",)
    assert almanac().stage("apple", "shoot stop", Season(2024), LATE).state != "seen"
