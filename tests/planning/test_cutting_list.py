"""What is to be cut from which tree, what is offered, and what is packed for whom."""

from __future__ import annotations

from datetime import date

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.records import ANSWERS, FIRE_BLIGHT, Graft, Records, Spray, Tree, Trouble, Wood
from tendwork.orchard.wood_balance import wood_balance
from tendwork.planning.cutting_list import Cutting, cutting_list
from tendwork.planning.wood_offers import wood_offers
from tendwork.planning.wood_parcels import Origins, label_words, wood_parcels
from tendwork.planning.work_bars import barred_on, wishes_on
from tendwork.view.wood_swaps import pack_text

TODAY = date(2026, 1, 10)
TREES = (Tree("t1", "Old apple", "apple", planted=1990), Tree("t2", "Young apple", "apple", planted=2015))
GROWS = (
    Graft("g1", "t1", "Red Lamp", state="bearing", height_m=2.4, facing=135, verdict="keep"),
    Graft("g2", "t2", "Red Lamp", state="took", height_m=1.2, verdict="keep"),
)
WANTED = tuple(Graft(f"g1{number}", "t2", "Red Lamp", "cleft") for number in range(4))  # 2 sticks
SICK = Trouble(date(2025, 7, 1), "t2", FIRE_BLIGHT)


def cut(*wood: Wood, grafts: tuple[Graft, ...] = (*GROWS, *WANTED), **more: object) -> tuple[Cutting, ...]:
    return cutting_list(Records(TREES, grafts, wood, **more), TODAY, False)  # type: ignore[arg-type]


def promised(identity: str = "w1", sticks: int = 3, **more: object) -> Wood:
    values = {"came_from": "t1", "promised_to": "R. Dale", "promised_sticks": 2}
    return Wood(identity, "Red Lamp", "apple", sticks, **{**values, **more})  # type: ignore[arg-type]


def test_what_is_needed_is_cut_from_the_youngest_tree_that_has_it() -> None:
    (line,) = cut()
    assert (line.tree_name, line.here, line.promised, line.sticks) == ("Young apple", 2, (), 2)
    assert [graft.id for graft in line.grafts] == ["g2"]


def test_nothing_is_cut_in_winter_for_buds_that_are_set_in_summer() -> None:
    assert cut(grafts=(*GROWS, replace(WANTED[0], method="chip bud"))) == ()
    waiting = Wood("w1", "Red Lamp", "apple", 1, came_from="t2")
    named = replace(WANTED[0], method="chip bud", wood="w1")
    assert [(line.tree, line.here) for line in cut(waiting, grafts=(*GROWS, named))] == [("t2", 1)]


def test_what_is_promised_of_a_bundle_is_cut_from_the_tree_that_it_names() -> None:
    # 2 sticks for the four grafts, 2 for R. Dale, and the bundle was entered with 3: nothing to spare
    assert [(line.tree, line.here, line.promised, line.spare) for line in cut(promised())] == [
        ("t1", 2, (("R. Dale", 2),), 0)
    ]


def test_sticks_of_a_bundle_beyond_need_and_promises_are_cut_to_spare() -> None:
    assert [(line.owed, line.spare) for line in cut(promised(sticks=6))] == [(4, 2)]


def test_wood_that_lies_here_or_that_somebody_promised_is_not_cut_once_more() -> None:
    held = promised("w1", 3, cut_on=date(2026, 1, 2))  # 2 of it for R. Dale, 1 for here
    assert [(line.here, line.promised) for line in cut(held)] == [(1, ())]
    coming = Wood("w2", "Red Lamp", "apple", 1, came_from="P. Hill", asked_on=TODAY, answer="promised")
    assert cut(held, coming) == ()
    assert [line.here for line in cut(held, replace(coming, answer="refused"))] == [1]


def test_a_sick_tree_gives_nothing_and_is_named() -> None:
    (line,) = cut(troubles=(SICK,))
    assert line.tree == "t1"
    assert "Fire blight was seen on Young apple" in line.barred[0]


def test_a_spray_bars_a_tree_as_long_as_its_label_says() -> None:
    assert cut(sprays=(Spray(TODAY, "t2", "Invented wash", 7),))[0].tree == "t1"


def test_what_no_tree_here_may_give_stands_last_without_a_tree() -> None:
    other = Graft("g5", "t1", "Far Lamp", "cleft")
    lines = cut(grafts=(*GROWS, other), troubles=(SICK, replace(SICK, tree="t1")))
    assert [(line.variety, line.tree, line.here) for line in lines] == [("Far Lamp", "", 1)]


sticks = st.integers(0, 6)
bundles = st.builds(
    Wood,
    st.just("w"),
    st.sampled_from(["Red Lamp", "Far Lamp"]),
    st.just("apple"),
    sticks,
    st.sampled_from([None, date(2026, 1, 2), date(2025, 2, 1)]),
    st.sampled_from(["", "t1", "Young apple", "P. Hill"]),
    promised_to=st.sampled_from(["", "R. Dale", "S. Mill"]),
    promised_sticks=sticks,
    asked_on=st.sampled_from([None, date(2025, 11, 3)]),
    answer=st.sampled_from(["", *ANSWERS]),
)


@examples(300)
@given(
    st.lists(bundles, max_size=6),
    st.lists(st.sampled_from(["Red Lamp", "Far Lamp"]), max_size=9),
    st.lists(st.sampled_from(["t1", "t2"]), max_size=2),
)
def test_the_list_adds_up_to_what_is_needed_and_promised_less_what_is_here_or_to_come(held, wanted, sick) -> None:
    wood = tuple(replace(bundle, id=f"w{place}") for place, bundle in enumerate(held))
    grafts = (*GROWS, *(Graft(f"p{place}", "t1", name, "cleft") for place, name in enumerate(wanted)))
    records = Records(TREES, grafts, wood, troubles=tuple(replace(SICK, tree=tree) for tree in sick))
    lines = cutting_list(records, TODAY, False)
    for balance in wood_balance(records, TODAY, barred_on(records, TODAY, False)):
        mine = [line for line in lines if line.variety == balance.variety]
        owed = max(0, balance.needed + balance.promised - balance.held - balance.expected)
        assert sum(line.owed for line in mine) == owed
        assert sum(line.sticks for line in mine) == max(owed, balance.to_cut)
        assert max(0, owed - balance.to_cut) == balance.missing
    assert all(line.tree not in sick for line in lines)
    assert all(line.sticks and line.here >= 0 and all(count > 0 for _, count in line.promised) for line in lines)


def test_what_is_kept_is_offered_and_what_is_promised_stands_beside_it() -> None:
    (offer,) = wood_offers(Records(TREES, GROWS, (promised(),)), TODAY, False)
    assert (offer.trees, offer.promised) == ((("Young apple", 2015), ("Old apple", 1990)), (("R. Dale", 2),))


def test_of_a_sick_tree_nothing_is_offered_and_the_reason_is_said() -> None:
    records = Records(TREES, GROWS, troubles=(SICK, replace(SICK, tree="t1")))
    (offer,) = wood_offers(records, TODAY, False)
    assert offer.trees == ()
    assert "Fire blight was seen on" in offer.barred[0]


def test_what_is_on_trial_is_not_offered() -> None:
    grafts = tuple(replace(graft, verdict="on trial") for graft in GROWS)
    assert wood_offers(Records(TREES, grafts), TODAY, False) == ()


def test_a_parcel_holds_all_bundles_of_one_person_and_names_those_that_must_not_be_given() -> None:
    wood = (promised("w1"), promised("w2", promised_to="S. Mill"), promised("w3", came_from="t2"))
    parcels = wood_parcels(Records(TREES, GROWS, wood, troubles=(SICK,)), TODAY, False)
    assert [(one.who, [bundle.id for bundle in one.bundles], one.barred) for one in parcels] == [
        ("R. Dale", ["w1", "w3"], ("w3",)),
        ("S. Mill", ["w2"], ()),
    ]


def test_of_faded_wood_nothing_is_packed() -> None:
    assert wood_parcels(Records(TREES, GROWS, (promised(cut_on=date(2025, 2, 1)),)), TODAY, False) == ()


@pytest.mark.parametrize(
    ("held", "words"),
    [
        (promised(), "Red Lamp, apple; from Old apple; cut ____; 2 sticks"),
        (promised(cut_on=TODAY, came_from="P. Hill"), "Red Lamp, apple; from P. Hill; cut 2026-01-10; 2 sticks"),
        (promised(came_from="", promised_sticks=0), "Red Lamp, apple; from ____; cut ____; 3 sticks"),
    ],
)
def test_a_label_leaves_a_line_for_what_is_not_known(held: Wood, words: str) -> None:
    assert label_words(held, Origins(TREES)) == words


def test_of_two_trees_of_one_name_each_is_told_apart_in_offers_labels_and_parcels() -> None:
    twins = tuple(replace(tree, name="Barn apple") for tree in TREES)
    more = (replace(GROWS[1], id="g3", variety="Blue Lamp"),)
    grafts = tuple(replace(graft, set_on=date(2020, 4, 1)) for graft in (*GROWS, *more))
    held = promised(cut_on=TODAY, came_from="t2")
    records = Records(twins, grafts, (held,))
    assert label_words(held, Origins(twins)).split("; ")[1] == "from Barn apple (t2)"
    assert all(
        "Barn apple (t2) carries" in words for one in wood_offers(records, TODAY, False) for words in one.carries
    )
    assert "Barn apple (t2) carries" in pack_text(wood_parcels(records, TODAY, False), records, None, TODAY, 200)


def test_a_parcel_says_where_fewer_sticks_are_there_than_were_promised() -> None:
    held = promised(cut_on=TODAY, promised_sticks=9)
    records = Records(TREES, GROWS, (held,))
    text = pack_text(wood_parcels(records, TODAY, False), records, None, TODAY, 200)
    assert "9 sticks of Red Lamp (w1), only 3 sticks in it, 6 missing" in text
    assert "cut 2026-01-10; 3 sticks" in text


def test_the_grafts_are_looked_through_once_and_not_for_every_variety(monkeypatch: pytest.MonkeyPatch) -> None:
    looked = []
    monkeypatch.setattr(
        "tendwork.orchard.wood_sources.species_by_graft", lambda held: looked.append(1) or species_by_graft(held)
    )
    wanted = tuple(Graft(f"p{number}", "t1", f"Lamp {number}", "cleft") for number in range(30))
    records = Records(TREES, (*GROWS, *wanted))
    assert len(cutting_list(records, TODAY, False)) == 30
    assert len(wishes_on(records, TODAY, False)) == 30
    assert len(looked) == 2
