"""Bloom seen, bloom groups, and the cases in which nothing is known."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import graft, orchard

from tendwork.orchard.bloom_overlap import Bloom, Overlap, bloom_overlaps, blooms
from tendwork.orchard.records import Records, Sighting, Variety
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import BloomPlace, ListedVariety, Said, VarietyReference

RED, BLUE = graft("g1", variety="Red Lamp"), graft("g2", variety="Blue Lamp")


def seen(variety: str, *stages: tuple[str, int, int], year: int = 2026) -> tuple[Sighting, ...]:
    return tuple(Sighting(date(year, month, day), "apple", stage, "t1", variety) for stage, month, day in stages)


def bloom(variety: str, first: int, last: int, year: int = 2026) -> tuple[Sighting, ...]:
    """First bloom and petal fall, both in May."""
    return seen(variety, ("first bloom", 5, first), ("petal fall", 5, last), year=year)


def pair(*sightings: Sighting) -> Overlap:
    (overlap,) = bloom_overlaps(orchard(RED, BLUE, sightings=sightings))
    return overlap


def test_days_in_common_by_hand() -> None:
    # 1 to 10 May and 6 to 15 May: 6, 7, 8, 9, 10
    found = pair(*bloom("Red Lamp", 1, 10), *bloom("Blue Lamp", 6, 15))
    assert found == Overlap(
        "apple",
        "Blue Lamp",
        "Red Lamp",
        "together",
        "in bloom together in 1 of 1 year seen (2026), at least 5 days",
        5,
    )


def test_two_whole_blooms_without_a_common_day_are_apart() -> None:
    found = pair(*bloom("Red Lamp", 1, 10), *bloom("Blue Lamp", 11, 20))
    assert (found.verdict, found.days) == ("apart", 0)


def test_one_day_seen_of_each_is_enough_for_together_but_never_for_apart() -> None:
    same = pair(*seen("Red Lamp", ("full bloom", 5, 8)), *bloom("Blue Lamp", 8, 20))
    other = pair(*seen("Red Lamp", ("full bloom", 5, 7)), *bloom("Blue Lamp", 8, 20))
    assert (same.verdict, same.days, other.verdict, other.days) == ("together", 1, "not known", None)


def test_the_least_days_of_the_years_in_which_they_met_count() -> None:
    sightings = (
        *bloom("Red Lamp", 1, 10),
        *bloom("Blue Lamp", 6, 15),
        *bloom("Red Lamp", 3, 12, 2025),
        *bloom("Blue Lamp", 11, 19, 2025),
        *bloom("Red Lamp", 1, 5, 2024),
        *bloom("Blue Lamp", 9, 12, 2024),
    )
    found = pair(*sightings)
    assert (found.verdict, found.days) == ("together", 2)
    assert found.because == "in bloom together in 2 of 3 years seen (2024, 2025 and 2026), at least 2 days"


def test_blooms_of_different_years_say_nothing_of_each_other() -> None:
    assert pair(*bloom("Red Lamp", 1, 10, 2025), *bloom("Blue Lamp", 1, 10, 2026)).verdict == "not known"


def test_nothing_known_is_said() -> None:
    found = pair()
    assert (found.verdict, found.because) == (
        "not known",
        "no year in which the bloom of both was seen, and no groups known",
    )


def blooming(one: str, other: str) -> tuple[Variety, Variety]:
    return Variety("apple", "Red Lamp", bloom=one), Variety("apple", "Blue Lamp", bloom=other)


@pytest.mark.parametrize(
    ("one", "other", "verdict"),
    [("3", "group 3", "together"), ("3", "D", "together"), ("3", "5", "apart"), ("-4 days", "+4 days", "apart")],
)
def test_groups_decide_where_nothing_was_seen(one: str, other: str, verdict: str) -> None:
    (found,) = bloom_overlaps(orchard(RED, BLUE, varieties=blooming(one, other)))
    assert (found.verdict, found.days) == (verdict, None)


def test_groups_that_the_person_noted_are_named() -> None:
    (found,) = bloom_overlaps(orchard(RED, BLUE, varieties=blooming("3", "bloom group 4")))
    assert found.because == "bloom groups 4 and 3, same or adjacent"


def test_what_was_seen_goes_before_groups() -> None:
    sightings = (*bloom("Red Lamp", 1, 10), *bloom("Blue Lamp", 6, 15))
    (found,) = bloom_overlaps(orchard(RED, BLUE, sightings=sightings, varieties=blooming("1", "5")))
    assert found.verdict == "together"


HOBBY = VarietyReference(
    (
        ListedVariety("apple", "Red Lamp", said={"bloom": (Said("group 2", "a page", hobby=True),)}),
        ListedVariety("apple", "Blue Lamp", bloom=BloomPlace(3.0, "group 3 [a nursery]")),
    )
)


def test_lists_speak_where_nothing_is_noted_and_a_hobby_list_is_called_so() -> None:
    records = orchard(RED, BLUE)
    (found,) = bloom_overlaps(records, VarietyBook(records, HOBBY))
    assert found.verdict == "together"
    assert found.because == "bloom group 3 [a nursery] and group 2 [hobby list: a page]: at most one group apart"


def test_the_person_s_group_goes_before_the_lists() -> None:
    records = orchard(RED, BLUE, varieties=(Variety("apple", "Blue Lamp", bloom="6"),))
    (found,) = bloom_overlaps(records, VarietyBook(records, HOBBY))
    assert found.verdict == "apart"
    assert found.because == "bloom group 6 [you] and group 2 [hobby list: a page]: more than a group apart"


def test_the_note_of_a_graft_gives_no_group_any_more() -> None:
    grafts = (graft("g1", note="bloom group 4"), graft("g2", variety="Blue Lamp", note="bloom group 4"))
    (found,) = bloom_overlaps(orchard(*grafts))
    assert found.verdict == "not known"


def test_a_tree_with_one_variety_needs_no_note() -> None:
    sighting = Sighting(date(2026, 5, 3), "pear", "full bloom", "t2")
    records = orchard(graft("g1", tree="t2"), sightings=(sighting,))
    assert blooms(records) == {("pear", "Red Lamp"): (Bloom(2026, date(2026, 5, 3), date(2026, 5, 3), False),)}


@pytest.mark.parametrize("note", ["", "Red Lamps everywhere", "the west side"])
def test_a_sighting_on_a_tree_of_many_varieties_is_about_none_unless_it_names_one(note: str) -> None:
    sighting = Sighting(date(2026, 5, 3), "apple", "full bloom", "t1", note)
    assert blooms(orchard(RED, BLUE, sightings=(sighting,))) == {}


def test_a_stage_outside_bloom_says_nothing_of_it() -> None:
    assert blooms(orchard(RED, BLUE, sightings=seen("Red Lamp", ("pink", 4, 25), ("fruit set", 5, 25)))) == {}


def test_only_varieties_of_one_species_are_paired() -> None:
    assert bloom_overlaps(orchard(RED, graft("g2", tree="t2", variety="Long Lamp"))) == ()


def test_an_empty_orchard_has_no_pairs() -> None:
    assert bloom_overlaps(Records()) == ()
