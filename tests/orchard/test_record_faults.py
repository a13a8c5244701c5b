"""What cannot be true of records together is named in a sentence that says what to do."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import APPLE, TREES, bundle, graft, orchard, planned, tasting, tick

from tendwork.orchard.faults import faults, faults_found
from tendwork.orchard.records import Life, Records, Sighting, Spray, Tree, Trouble

TODAY = date(2026, 6, 1)
TOMORROW = date(2026, 6, 2)


def only(records: Records) -> str:
    (fault,) = faults(records, TODAY)
    return fault


def test_sound_records_have_no_fault() -> None:
    records = orchard(
        graft(wood="w1"),
        planned("g2"),
        wood=(bundle(),),
        tastings=(tasting("g1", TODAY),),
        ticks=(tick("look", "g1", TODAY),),
        sightings=(Sighting(TODAY, "apple", "fruit set", "t1"), Sighting(TODAY, "apple", "fruit set")),
    )
    assert faults(records, TODAY) == ()


@pytest.mark.parametrize(
    ("records", "words"),
    [
        (orchard(trees=(*TREES, APPLE)), 'There is already a tree "t1". Choose another id.'),
        (orchard(graft(), graft()), 'There is already a graft "g1". Choose another id.'),
        (orchard(wood=(bundle(), bundle())), 'There is already a bundle "w1". Choose another id.'),
        (
            orchard(graft(tree="t9")),
            'Graft g1 "Red Lamp" is on tree "t9", which is not there. Add the tree, or name another.',
        ),
        (
            orchard(sightings=(Sighting(TODAY, "apple", "pink", "t9"),)),
            'The sighting of 2026-06-01 is on tree "t9", which is not there. Add the tree first.',
        ),
        (
            orchard(tastings=(tasting("g9", TODAY),)),
            'The tasting of 2026-06-01 is of graft "g9", which is not there. Add the graft first.',
        ),
        (
            orchard(graft(wood="w1", set_on=date(2026, 1, 19)), wood=(bundle(),)),
            'Graft g1 "Red Lamp" was set on 2026-01-19, before its wood "w1" was cut on 2026-01-20.'
            " Mend one of the two dates, or name other wood.",
        ),
        (
            orchard(graft(wood="w1"), wood=(bundle(cut_on=None),)),
            'Graft g1 "Red Lamp" was set from bundle "w1", which is not cut yet.'
            " Give the day on which the wood was cut, or name other wood.",
        ),
        (
            orchard(graft(state="took", set_on=None)),
            'Graft g1 "Red Lamp" is "took" but was never set. Give the day on which it was set.',
        ),
        (
            orchard(graft(set_on=TOMORROW)),
            'Graft g1 "Red Lamp" is set on 2026-06-02, in the future. Mend the date, or plan it without.',
        ),
        (
            orchard(wood=(bundle(cut_on=TOMORROW),)),
            'Bundle "w1" is cut on 2026-06-02, in the future. Mend the date, or leave it out until the wood is cut.',
        ),
        (
            orchard(trees=(Tree("t1", "Old apple", "apple", planted=2027),)),
            'Tree "t1" is planted in 2027, which is in the future. Mend the year.',
        ),
        (
            orchard(trees=(Tree("t1", "Any", "apple", planted=2012, crown_since=2027),)),
            'Tree "t1" has its crown since 2027, which is in the future. Mend the year.',
        ),
        (
            orchard(troubles=(Trouble(TOMORROW, "t1", "canker"),)),
            "The sign of disease of 2026-06-02 is in the future. Mend the date.",
        ),
        (
            orchard(sprays=(Spray(TOMORROW, "t1", "Invented wash"),)),
            "The spray of 2026-06-02 is in the future. Mend the date.",
        ),
        (
            orchard(troubles=(Trouble(TODAY, "t9", "canker"),)),
            'The sign of disease of 2026-06-01 is on tree "t9", which is not there. Add the tree first.',
        ),
        (
            orchard(sprays=(Spray(TODAY, "t9", "Invented wash"),)),
            'The spray of 2026-06-01 is on tree "t9", which is not there. Add the tree first.',
        ),
        (
            orchard(sightings=(Sighting(TOMORROW, "apple", "pink"),)),
            "The sighting of 2026-06-02 is in the future. Mend the date.",
        ),
        (
            orchard(graft(), tastings=(tasting("g1", TOMORROW),)),
            "The tasting of 2026-06-02 is in the future. Mend the date.",
        ),
        (
            orchard(lives=(Life("g9", "Lost Lamp"),)),
            'The earlier life is of graft "g9", which is not there. Add the graft first.',
        ),
        (
            orchard(planned(), lives=(Life("g1", "Lost Lamp", set_on=date(2025, 4, 1), ended_on=TOMORROW),)),
            "The earlier life of g1 ends on 2026-06-02, in the future. Mend the date.",
        ),
        (
            orchard(planned(), lives=(Life("g1", "Lost Lamp", set_on=TOMORROW),)),
            "The earlier life of g1 is set on 2026-06-02, in the future. Mend the date.",
        ),
        (orchard(ticks=(tick("look", "g1", TOMORROW),)), "The tick of 2026-06-02 is in the future. Mend the date."),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_a_fault_is_one_sentence_that_says_what_to_do(records: Records, words: str) -> None:
    assert only(records) == words


@pytest.mark.parametrize("state", ["set", "took", "failed"])
def test_what_was_set_needs_its_day(state: str) -> None:
    assert len(faults(orchard(graft(state=state, set_on=None)), TODAY)) == 1


@pytest.mark.parametrize("state", ["planned", "bearing", "removed"])
def test_a_planned_or_an_old_graft_may_have_no_day(state: str) -> None:
    assert faults(orchard(graft(state=state, set_on=None)), TODAY) == ()


def test_a_graft_may_be_set_on_the_day_its_wood_was_cut() -> None:
    assert faults(orchard(graft(wood="w1", set_on=date(2026, 1, 20)), wood=(bundle(),)), TODAY) == ()


def test_wood_that_is_no_longer_in_the_records_is_no_fault() -> None:
    assert faults(orchard(graft(wood="w9")), TODAY) == ()


def test_a_fault_names_the_record_and_the_field_for_whoever_must_find_its_line() -> None:
    one = graft(tree="t9")
    (fault,) = faults_found(orchard(one), TODAY)
    assert (fault.kind, fault.record, fault.field) == ("grafts", one, "tree")


def test_every_fault_of_a_bad_file_is_named() -> None:
    records = orchard(graft("g1", tree="t9"), graft("g2", set_on=TOMORROW), graft("g3", state="took", set_on=None))
    assert [fault.record.id for fault in faults_found(records, TODAY)] == ["g1", "g2", "g3"]  # type: ignore[union-attr]
