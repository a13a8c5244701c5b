"""Grafting day: a series on one tree, planned grafts used up, wood counted down."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from orchard_records import bundle, graft, orchard, planned

from tendwork.orchard.edits import applied
from tendwork.orchard.records import Records
from tendwork.orchard.series import Draft, bundle_for, set_grafts, sticks_after

TODAY = date(2026, 4, 11)
DRAFT = Draft("t1", "Red Lamp", "cleft", "PVC tape", "wax")


def sticks(records: Records) -> dict[str, int]:
    return {one.id: one.sticks for one in records.wood}


def test_a_graft_that_nobody_planned_is_added_as_set_today() -> None:
    edit = set_grafts(orchard(graft("g07")), (DRAFT,), TODAY)
    assert edit.added == (graft("g08", method="cleft", wrap="PVC tape", seal="wax", set_on=TODAY),)
    assert edit.words == "Red Lamp (g08) set; no wood of it is held"


def test_a_planned_graft_is_used_up_and_keeps_what_was_not_typed() -> None:
    waiting = planned("g1", method="bark", facing=90, note="low limb", chill=45.0)
    edit = set_grafts(orchard(waiting), (Draft("t1", "Red Lamp", wrap="film", height_m=1.5),), TODAY)
    assert edit.added == ()
    assert edit.replaced == (
        graft("g1", method="bark", wrap="film", facing=90, height_m=1.5, note="low limb", chill=45.0, set_on=TODAY),
    )


def test_a_planned_graft_of_another_variety_or_tree_is_not_used_up() -> None:
    others = (planned("g1", variety="Blue Lamp"), planned("g2", tree="t2"))
    edit = set_grafts(orchard(*others), (DRAFT,), TODAY)
    assert (edit.replaced, [one.id for one in edit.added]) == ((), ["g3"])


def test_four_grafts_take_two_sticks_by_hand() -> None:
    # the first opens one stick, which serves three; the fourth opens another: 3 - 2 = 1
    records = orchard(wood=(bundle(sticks=3),))
    edit = set_grafts(records, [DRAFT] * 4, TODAY)
    assert [one.id for one in edit.added] == ["g1", "g2", "g3", "g4"]
    assert {one.wood for one in edit.added} == {"w1"}
    assert sticks(applied(records, edit)) == {"w1": 1}


def test_the_words_count_the_sticks_down_and_name_the_promised() -> None:
    records = orchard(wood=(bundle(sticks=3, promised_to="R. Dale", promised_sticks=1),))
    assert set_grafts(records, [DRAFT] * 2, TODAY).words == (
        "Red Lamp (g1) set, 2 sticks left in w1, 1 promised; Red Lamp (g2) set, 2 sticks left in w1, 1 promised"
    )


def test_a_stick_opened_on_another_day_serves_no_more() -> None:
    yesterday = graft("g1", wood="w1", set_on=date(2026, 4, 10))
    assert sticks_after(orchard(yesterday), bundle(sticks=2), "cleft", TODAY) == 1


def test_the_last_opened_stick_serves_though_no_whole_one_is_left() -> None:
    records = orchard(wood=(bundle(sticks=1),))
    edit = set_grafts(records, [DRAFT] * 3, TODAY)
    assert [one.wood for one in edit.added] == ["w1"] * 3
    assert sticks(applied(records, edit)) == {"w1": 0}


def test_once_the_last_stick_is_used_up_the_wood_is_not_named_any_more() -> None:
    edit = set_grafts(orchard(wood=(bundle(sticks=1),)), [DRAFT] * 4, TODAY)
    assert [one.wood for one in edit.added] == ["w1", "w1", "w1", ""]


@pytest.mark.parametrize("method", ["chip bud", "T-bud"])
def test_a_bridge_takes_a_whole_stick_and_a_bud_none_unless_the_bundle_is_named(method: str) -> None:
    records = orchard(wood=(bundle(sticks=3),))
    bridged = set_grafts(records, [Draft("t1", "Red Lamp", "bridge")] * 2, TODAY)
    budded = set_grafts(records, [Draft("t1", "Red Lamp", method)], TODAY)
    stored = set_grafts(records, [Draft("t1", "Red Lamp", method, wood="w1")], TODAY)
    assert "no wood" not in budded.words
    assert sticks(applied(records, stored)) == {"w1": 2}
    assert sticks(applied(records, bridged)) == {"w1": 1}
    assert (sticks(applied(records, budded)), budded.added[0].wood) == ({"w1": 3}, "")  # type: ignore[union-attr]


def test_the_oldest_good_bundle_that_is_not_all_promised_is_used_first() -> None:
    wood = (
        bundle("w1", 2, cut_on=date(2026, 2, 1)),
        bundle("w2", 2, cut_on=date(2026, 1, 5)),
        bundle("w3", 2, cut_on=date(2026, 1, 2), promised_to="R. Dale", promised_sticks=2),
        bundle("w4", 2, cut_on=date(2025, 1, 2)),
        bundle("w5", 2, cut_on=None),
        bundle("w6", 2, cut_on=date(2026, 1, 1), variety="Blue Lamp"),
    )
    chosen = bundle_for(orchard(wood=wood), "Red Lamp", "apple", TODAY)
    assert chosen is not None
    assert chosen.id == "w2"


def test_promised_wood_is_used_where_there_is_no_other() -> None:
    wood = (bundle("w3", 2, promised_to="R. Dale", promised_sticks=2),)
    assert bundle_for(orchard(wood=wood), "Red Lamp", "apple", TODAY) == wood[0]


def test_the_bundle_that_is_typed_goes_before_any_other() -> None:
    wood = (bundle("w1", 2), bundle("w2", 2, cut_on=date(2026, 1, 1)))
    edit = set_grafts(orchard(wood=wood), (Draft("t1", "Red Lamp", "cleft", wood="w1"),), TODAY)
    assert edit.replaced == (bundle("w1", 1),)


@pytest.mark.parametrize(
    ("draft", "words"),
    [
        (Draft("t1"), "The variety is missing. Type its name, or choose a planned graft."),
        (Draft("t9", "Red Lamp"), 'There is no tree "t9". Choose one that is there.'),
        (
            Draft("t1", "Red Lamp", wood="w9"),
            'There is no bundle of wood "w9". Choose one that is there, or leave it empty.',
        ),
        (
            Draft("t1", "Red Lamp", wood="w1"),
            'Graft g1 "Red Lamp" was set from bundle "w1", which is not cut yet.'
            " Give the day on which the wood was cut, or name other wood.",
        ),
    ],
)
def test_a_graft_that_cannot_be_set_is_refused(draft: Draft, words: str) -> None:
    assert set_grafts(orchard(wood=(bundle(cut_on=None),)), (draft,), TODAY).refused == (words,)


def test_in_a_series_the_refused_graft_is_named_by_its_number() -> None:
    edit = set_grafts(orchard(), (DRAFT, Draft("t1")), TODAY)
    assert edit.refused == ("Graft 2 of 2: The variety is missing. Type its name, or choose a planned graft.",)


@given(st.lists(st.sampled_from(["cleft", "bridge", "T-bud", "bark"]), max_size=9), st.integers(0, 6))
def test_one_by_one_or_all_at_once_leaves_the_same_records(methods: list[str], held: int) -> None:
    records = orchard(planned("g1"), wood=(bundle(sticks=held), bundle("w2", 1)))
    drafts = [Draft("t1", "Red Lamp", method) for method in methods]
    stepwise = records
    for draft in drafts:
        stepwise = applied(stepwise, set_grafts(stepwise, (draft,), TODAY))
    assert applied(records, set_grafts(records, drafts, TODAY)) == stepwise
    assert min(sticks(stepwise).values()) >= 0
