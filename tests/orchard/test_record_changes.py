"""Edits as values: what they would add, replace and remove, and why they cannot be made."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from orchard_records import APPLE, CHERRY, PEAR, bundle, graft, orchard, planned, tasting

from tendwork.orchard.crown import CrownPlace
from tendwork.orchard.edits import Edit, applied, changes_of
from tendwork.orchard.ids import next_id
from tendwork.orchard.record_edits import (
    add,
    change,
    change_grafts,
    move_graft,
    move_grafts,
    remove,
    split_bundle,
    split_graft,
    taste,
)
from tendwork.orchard.records import Graft, Life, Sighting, Spray, Tree, Trouble

TODAY = date(2026, 6, 1)


@pytest.mark.parametrize(
    ("ids", "free"),
    [
        ((), "g1"),
        (("g1", "g2"), "g3"),
        (("g01", "g60"), "g61"),
        (("g009",), "g010"),
        (("g99",), "g100"),
        (("g3", "g1"), "g4"),
        (("old", "gx7", "t9"), "g1"),
    ],
)
def test_the_next_id_follows_the_largest_in_the_same_width(ids: tuple[str, ...], free: str) -> None:
    assert next_id([graft(identity) for identity in ids], "g") == free


def test_what_a_change_of_grafts_is_called_is_given_and_not_read_out_of_a_sentence() -> None:
    assert change_grafts(orchard(graft("g1")), ("g1",), TODAY, "judged: cut", verdict="cut").words.endswith(
        " (g1) judged: cut"
    )


@given(st.sets(st.integers(1, 2000), max_size=30))
def test_the_next_id_is_never_in_use(numbers: set[int]) -> None:
    ids = {f"g{number:02d}" for number in numbers}
    assert next_id([graft(identity) for identity in sorted(ids)], "g") not in ids


def test_an_addition_adds() -> None:
    edit = add(orchard(), graft(), TODAY)
    known = replace(graft(), known_since=TODAY)
    assert (edit.added, edit.refused, edit.words) == ((known,), (), "Red Lamp (g1) added")
    assert applied(orchard(), edit) == orchard(known)
    again = replace(graft(), known_since=date(2026, 2, 1))
    assert add(orchard(), again, TODAY).added == (again,)


@pytest.mark.parametrize(
    ("record", "part"),
    [
        (graft("g1"), 'already a graft "g1"'),
        (graft("g2", tree="t9"), 'tree "t9", which is not there'),
        (graft("g2", set_on=date(2026, 6, 2)), "in the future"),
        (graft("g2", state="took", set_on=None), "was never set"),
        (graft("g2", wood="w1", set_on=date(2026, 1, 1)), "before its wood"),
        (bundle("w1"), 'already a bundle "w1"'),
        (Tree("t1", "Another", "pear"), 'already a tree "t1"'),
    ],
)
def test_an_addition_that_cannot_be_is_refused_with_the_reason(record: object, part: str) -> None:
    edit = add(orchard(graft("g1"), wood=(bundle("w1"),)), record, TODAY)  # type: ignore[arg-type]
    assert len(edit.refused) == 1
    assert part in edit.refused[0]


def test_a_fault_that_was_there_before_does_not_hinder_another_edit() -> None:
    assert add(orchard(graft("g1", tree="t9")), graft("g2"), TODAY).refused == ()


def test_a_change_takes_the_place_of_the_record_with_its_id() -> None:
    records = orchard(graft("g1"), graft("g2"), graft("g3"))
    after = applied(records, change(records, graft("g2", note="high up"), TODAY))
    assert [(one.id, one.note) for one in after.grafts] == [("g1", ""), ("g2", "high up"), ("g3", "")]


def test_what_is_not_there_cannot_be_changed() -> None:
    assert change(orchard(), graft("g9"), TODAY).refused == ('There is no graft "g9". Choose one that is there.',)


def test_a_marked_selection_changes_at_once() -> None:
    records = orchard(graft("g1"), graft("g2"), graft("g3"))
    edit = change_grafts(records, ("g1", "g3", "g1"), TODAY, verdict="cut")
    assert edit.replaced == (graft("g1", verdict="cut"), graft("g3", verdict="cut"))
    assert edit.words == "2 grafts changed"


def test_one_unknown_id_refuses_the_whole_selection() -> None:
    edit = change_grafts(orchard(graft("g1")), ("g1", "g9"), TODAY, verdict="cut")
    assert (edit.replaced, edit.refused) == ((), ('There is no graft "g9". Choose one that is there.',))


def test_a_selection_that_would_take_without_being_set_is_refused() -> None:
    edit = change_grafts(orchard(planned("g1")), ("g1",), TODAY, state="took")
    assert edit.refused == ('Graft g1 "Red Lamp" is "took" but was never set. Give the day on which it was set.',)


def test_a_graft_moves_to_another_place_and_another_tree() -> None:
    records = orchard(graft(facing=10, height_m=1.0, out_m=1.0))
    (moved,) = move_graft(records, "g1", CrownPlace(200, 2.5, 1.5), TODAY, tree="t2").replaced
    assert moved == graft(tree="t2", facing=200, height_m=2.5, out_m=1.5)


def test_grafts_that_move_to_another_tree_lose_their_place_in_the_old_crown() -> None:
    records = orchard(graft(facing=10, height_m=1.0, out_m=1.0))
    assert move_grafts(records, ("g1",), "t2", TODAY).replaced == (graft(tree="t2"),)


def test_a_planned_graft_that_moves_to_a_tree_of_another_species_stays_what_it_is() -> None:
    records = replace(orchard(planned("g1")), trees=(*orchard().trees, Tree("t8", "Pear", "pear")))
    (moved,) = move_grafts(records, ("g1",), "t8", TODAY).replaced
    assert moved == replace(planned("g1"), tree="t8", species="apple")
    assert move_grafts(replace(records, grafts=(moved,)), ("g1",), "t1", TODAY).replaced == (planned("g1"),)


def test_a_move_to_a_tree_that_is_not_there_is_refused() -> None:
    assert "t9" in move_grafts(orchard(graft()), ("g1",), "t9", TODAY).refused[0]


def test_a_split_graft_has_a_second_place_under_a_new_id() -> None:
    records = orchard(graft("g07", facing=10, note="two limbs"))
    (second,) = split_graft(records, "g07", CrownPlace(40, 1.2, 0.8), TODAY).added
    assert second == graft("g08", facing=40, height_m=1.2, out_m=0.8, note="two limbs")


def test_a_split_bundle_keeps_its_promise_as_far_as_its_sticks_go() -> None:
    # 5 sticks, 3 promised; 3 go into a new bundle: 2 stay with 2 promised, the third promise goes along
    records = orchard(wood=(bundle(sticks=5, promised_to="R. Dale", promised_sticks=3),))
    edit = split_bundle(records, "w1", 3, TODAY)
    assert edit.replaced == (bundle("w1", 2, promised_to="R. Dale", promised_sticks=2),)
    assert edit.added == (bundle("w2", 3, promised_to="R. Dale", promised_sticks=1),)


def test_a_new_bundle_without_a_promise_is_promised_to_nobody() -> None:
    records = orchard(wood=(bundle(sticks=5, promised_to="R. Dale", promised_sticks=2),))
    assert split_bundle(records, "w1", 2, TODAY).added == (bundle("w2", 2),)


def test_a_single_stick_can_be_split_off() -> None:
    assert split_bundle(orchard(wood=(bundle(sticks=2),)), "w1", 1, TODAY).refused == ()


@pytest.mark.parametrize("sticks", [0, 5, 6])
def test_a_bundle_splits_into_two_that_both_hold_something(sticks: int) -> None:
    edit = split_bundle(orchard(wood=(bundle(sticks=5),)), "w1", sticks, TODAY)
    assert edit.refused == ('Bundle "w1" has 5 sticks: split off at least one, and leave at least one.',)


@pytest.mark.parametrize(
    "make",
    [
        lambda records: split_bundle(records, "x", 1, TODAY),
        lambda records: split_graft(records, "x", CrownPlace(), TODAY),
    ],
)
def test_what_is_not_there_cannot_be_split(make: object) -> None:
    assert "Choose one that is there." in make(orchard()).refused[0]  # type: ignore[operator]


def test_a_tree_that_carries_grafts_is_not_removed() -> None:
    edit = remove(orchard(*(graft(f"g{number}") for number in range(1, 6))), APPLE)
    assert edit.refused == (
        "Old apple carries Red Lamp (g1), Red Lamp (g2), Red Lamp (g3) and 2 more. Move or remove its grafts first.",
    )


def test_three_grafts_are_all_named() -> None:
    edit = remove(orchard(graft("g1"), graft("g2"), graft("g3")), APPLE)
    assert edit.refused == (
        "Old apple carries Red Lamp (g1), Red Lamp (g2) and Red Lamp (g3). Move or remove its grafts first.",
    )


def test_a_tree_with_sightings_is_not_removed() -> None:
    records = orchard(sightings=(Sighting(date(2026, 4, 1), "pear", "white bud", "t2"),))
    assert remove(records, PEAR).refused == ("Wall pear has 1 sighting of its buds. Remove them first.",)


def test_a_tree_with_signs_of_disease_and_sprays_is_not_removed() -> None:
    seen = Trouble(date(2026, 4, 1), "t2", "canker")
    sprayed = Spray(date(2026, 4, 2), "t2", "Invented wash")
    records = orchard(troubles=(seen,), sprays=(sprayed, replace(sprayed, day=TODAY)))
    assert remove(records, PEAR).refused == (
        "Wall pear has 1 sign of disease and 2 sprays noted. If that was a mistake, take it away first:"
        " `tendwork trouble` and `tendwork spray` do so with --wrong.",
    )


def test_a_bare_tree_is_removed() -> None:
    edit = remove(orchard(), CHERRY)
    assert (edit.refused, applied(orchard(), edit).trees) == ((), (APPLE, PEAR))


def test_a_tasted_graft_is_not_removed_but_given_its_state() -> None:
    edit = remove(orchard(graft(), tastings=(tasting("g1", TODAY),)), graft())
    assert edit.refused == (
        'Red Lamp (g1) has 1 tasting. Give it the state "removed" instead, so that its history is kept.',
    )


def test_a_graft_with_a_history_is_not_removed_but_given_its_state() -> None:
    edit = remove(orchard(graft(), lives=(Life("g1", "Lost Lamp"), Life("g2", "Other Lamp"))), graft())
    assert edit.refused == (
        'Red Lamp (g1) has 1 earlier graft in its history. Give it the state "removed" instead, so that the history'
        " is kept.",
    )


def test_a_tasting_of_what_is_not_there_is_refused() -> None:
    assert taste(orchard(), tasting("g9", TODAY), TODAY).refused == (
        'There is no graft "g9". Choose one that is there.',
    )


def test_wood_that_a_graft_names_may_be_removed() -> None:
    records = orchard(graft(wood="w1"), wood=(bundle(),))
    edit = remove(records, bundle())
    assert (edit.refused, applied(records, edit).wood) == ((), ())


def test_what_is_not_there_cannot_be_removed() -> None:
    assert remove(orchard(), graft("g9")).refused == ('There is no graft "g9". Choose one that is there.',)


def test_the_first_tasting_makes_a_graft_bear() -> None:
    edit = taste(orchard(graft(state="took")), tasting("g1", TODAY, 4), TODAY)
    assert edit == Edit(
        "Red Lamp (g1) tasted", changes_of(replace=(graft(state="bearing"),), add=(tasting("g1", TODAY, 4),))
    )


@pytest.mark.parametrize("state", ["bearing", "removed"])
def test_a_tasting_changes_nothing_in_a_graft_that_bears_or_is_gone(state: str) -> None:
    edit = taste(orchard(graft(state=state)), tasting("g1", TODAY, 4), TODAY)
    assert (edit.replaced, edit.refused) == ((), ())


@pytest.mark.parametrize("one", [planned(), graft(state="failed")])
def test_what_has_no_fruit_cannot_be_tasted(one: Graft) -> None:
    edit = taste(orchard(one), tasting("g1", TODAY, 4), TODAY)
    assert (edit.added, len(edit.refused)) == ((), 1)


def test_a_tasting_in_the_future_is_refused() -> None:
    edit = taste(orchard(graft(state="bearing")), tasting("g1", date(2026, 6, 2), 4), TODAY)
    assert edit.refused == ("The tasting of 2026-06-02 is in the future. Mend the date.",)


def test_records_of_other_kinds_are_left_alone() -> None:
    records = orchard(graft(), wood=(bundle("g1"),), sightings=(Sighting(TODAY, "apple", "pink"),))
    after = applied(records, remove(records, graft()))
    assert after == replace(records, grafts=())
