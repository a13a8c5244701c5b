"""Signs of disease and sprays: noted once, completed when noted again, unknown never turned into none."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tendwork.orchard.edits import applied
from tendwork.orchard.records import FIRE_BLIGHT, Records, Sighting, Spray, Tree, Trouble
from tendwork.orchard.tree_history import tree_history
from tendwork.orchard.tree_notes import note, trees_named, withdraw

DAY = date(2026, 6, 1)
APPLE, PEAR, OTHER_PEAR = Tree("t1", "Old apple", "apple"), Tree("t2", "Wall pear", "pear"), Tree("t3", "T2", "pear")
ORCHARD = Records(trees=(APPLE, PEAR))
BLIGHT, WASH = Trouble(DAY, "", FIRE_BLIGHT), Spray(DAY, "", "Invented wash")


def noted(*told: Trouble | Spray, records: Records = ORCHARD) -> Records:
    """The orchard after these were noted on both trees, one after the other."""
    for one in told:
        records = applied(records, note(records, records.trees, one))
    return records


@pytest.mark.parametrize("name", ["t2", "T2", "Wall pear", "wall  PEAR", " t2 "])
def test_a_tree_is_named_by_its_id_or_its_name(name: str) -> None:
    assert trees_named(ORCHARD, (name,)) == ((PEAR,), ())


def test_an_id_goes_before_a_name_and_a_name_of_two_trees_asks_for_an_id() -> None:
    records = Records(trees=(APPLE, PEAR, OTHER_PEAR, replace(OTHER_PEAR, id="t4", name="wall pear")))
    assert trees_named(records, ("t2",)) == ((PEAR,), ())
    assert trees_named(records, ("Wall pear",))[1] == (
        '"Wall pear" may be Wall pear (t2) and wall pear (t4). Name one by its id.',
    )


def test_a_tree_named_twice_is_meant_once() -> None:
    assert trees_named(ORCHARD, ("t1", "Old apple"))[0] == (APPLE,)


def test_a_spray_on_two_trees_is_two_records_with_days_that_are_not_known() -> None:
    assert noted(WASH).sprays == (replace(WASH, tree="t1"), replace(WASH, tree="t2"))
    assert note(ORCHARD, ORCHARD.trees, WASH).words == (
        "Old apple (t1) and Wall pear (t2): Invented wash sprayed on 2026-06-01"
    )


def test_the_same_spray_again_takes_the_place_of_the_first_and_says_what_stood_there() -> None:
    records = noted(WASH)
    edit = note(records, (PEAR,), replace(WASH, product="INVENTED  wash", days_to_return=0, note="at dusk"))
    assert edit.words == (
        "Wall pear (t2): Invented wash sprayed on 2026-06-01 amended, 0 days to return"
        " (before: days to return not known)"
    )
    amended = replace(WASH, tree="t2", days_to_return=0, note="at dusk")
    assert applied(records, edit).sprays == (replace(WASH, tree="t1"), amended)


def test_what_is_not_told_again_is_not_forgotten() -> None:
    first = replace(WASH, days_to_return=2, days_to_harvest=14, note="at dusk")
    assert noted(first, WASH) == noted(first)
    assert noted(first, replace(WASH, days_to_harvest=21)) == noted(replace(first, days_to_harvest=21))


def test_the_same_again_is_said_and_changes_nothing() -> None:
    edit = note(noted(BLIGHT), (PEAR,), BLIGHT)
    assert (edit.words, edit.changes) == ("Wall pear (t2): fire blight seen on 2026-06-01 is already noted", ())


def test_a_second_record_of_the_same_spray_goes_with_the_first_when_its_days_are_told() -> None:
    twice = replace(ORCHARD, sprays=(replace(WASH, tree="t1"), replace(WASH, tree="t1", note="from a file")))
    told = note(twice, (APPLE,), replace(WASH, days_to_return=3, days_to_harvest=7))
    assert applied(twice, told).sprays == (Spray(DAY, "t1", "Invented wash", 3, 7, "from a file"),)


@pytest.mark.parametrize("other", [replace(WASH, day=date(2026, 6, 2)), replace(WASH, product="Another wash")])
def test_another_day_or_product_is_another_spray(other: Spray) -> None:
    assert len(noted(WASH, other).sprays) == 4


def test_what_was_noted_by_mistake_is_taken_away_and_nothing_else() -> None:
    records = noted(BLIGHT, WASH)
    edit = withdraw(records, (PEAR,), BLIGHT)
    assert edit.words == "Wall pear (t2): fire blight seen on 2026-06-01 taken away, noted by mistake"
    assert applied(records, edit) == replace(records, troubles=(replace(BLIGHT, tree="t1"),))


def test_what_was_not_noted_cannot_be_taken_away_and_what_is_there_is_named() -> None:
    edit = withdraw(noted(BLIGHT), ORCHARD.trees[:1], replace(BLIGHT, what="canker"))
    assert edit.refused == (
        "Old apple (t1): canker seen on 2026-06-01 is not noted. Noted there: fire blight on 2026-06-01.",
    )


def test_the_history_of_a_tree_is_told_from_the_newest_on() -> None:
    records = replace(
        noted(BLIGHT, replace(WASH, day=date(2026, 6, 3), days_to_return=1, note="at dusk")),
        sightings=(Sighting(date(2026, 4, 20), "pear", "white bud", "t2"), Sighting(DAY, "apple", "pink", "t1")),
    )
    assert [event.words for event in tree_history(records, PEAR)] == [
        "sprayed with Invented wash: 1 day to return, days to harvest not known (at dusk)",
        "fire blight seen",
        "white bud seen",
    ]


_DAYS = st.none() | st.integers(0, 365)
_SPRAYS = st.builds(Spray, st.just(DAY), st.just(""), st.sampled_from(("Wash", "WASH", "Oil")), _DAYS, _DAYS)


@given(st.lists(_SPRAYS, min_size=1, max_size=6))
def test_there_is_one_record_of_a_spray_however_often_it_is_told_and_it_knows_the_last_that_was_told(
    told: list[Spray],
) -> None:
    held = {spray.product.casefold(): spray for spray in noted(*told, records=Records(trees=(APPLE,))).sprays}
    assert held.keys() == {spray.product.casefold() for spray in told}
    for product, spray in held.items():
        for name in ("days_to_return", "days_to_harvest"):
            said = [getattr(one, name) for one in told if one.product.casefold() == product]
            assert getattr(spray, name) == next((days for days in reversed(said) if days is not None), None)
