"""What wood is to be asked of others: worked out of the planned grafts, or noted in a bundle that is not here yet."""

from __future__ import annotations

from datetime import date
from functools import partial

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from orchard_records import TREES, bundle, graft, orchard, planned

from tendwork.almanac.seasons import season_of
from tendwork.orchard.edits import Edit, applied
from tendwork.orchard.mother_trees import MotherTrees, mother_words
from tendwork.orchard.records import ANSWERS, FIRE_BLIGHT, Records, Trouble
from tendwork.orchard.wood_balance import warnings, wood_balance
from tendwork.orchard.wood_sources import sources_of
from tendwork.orchard.wood_wishes import Wish, asked, wood_wishes

TODAY = date(2025, 11, 20)


def first_day(day: date) -> date:
    return season_of(day).start


def wishes(records: Records, today: date = TODAY) -> tuple[Wish, ...]:
    return wood_wishes(records, today, first_day)


ask = partial(bundle, cut_on=None, came_from="P. Hill")


def test_what_is_needed_and_stands_nowhere_is_to_be_asked_for_of_whoever_gave_it_before() -> None:
    given = bundle("w1", 0, cut_on=date(2024, 1, 20), came_from="P. Hill")
    later = bundle("w2", 0, cut_on=date(2025, 1, 20), came_from="R. Dale")
    records = orchard(planned("g1"), planned("g2"), wood=(given, later))
    assert wishes(records) == (Wish("to ask for", "apple", "Red Lamp", 1, "R. Dale", grafts=2),)


def test_who_has_it_is_not_known_where_nobody_gave_it() -> None:
    own = bundle("w1", 0, cut_on=date(2025, 1, 20), came_from="t1")
    assert [wish.who for wish in wishes(orchard(planned(), wood=(own,)))] == [""]


def test_what_lives_on_a_tree_here_is_cut_and_not_asked_for() -> None:
    assert wishes(orchard(planned("g1"), graft("g2", state="bearing"))) == ()


def test_winter_wood_is_not_asked_for_where_only_summer_buds_are_planned() -> None:
    assert [wish for wish in wishes(orchard(planned(method="chip bud"))) if wish.state == "to ask for"] == []


def test_what_lives_on_a_sick_tree_alone_is_asked_for() -> None:
    sick = Trouble(date(2025, 7, 1), "t1", FIRE_BLIGHT)
    records = orchard(planned("g1", tree="t1"), graft("g2", state="bearing"), troubles=(sick,))
    assert [wish.state for wish in wishes(records)] == ["to ask for"]


@pytest.mark.parametrize(
    ("held", "states"),
    [
        (ask(), ["to ask for"]),
        (ask(asked_on=TODAY), ["unanswered"]),
        (ask(asked_on=TODAY, came_from=""), ["unanswered"]),
        (ask(asked_on=TODAY, answer="promised"), ["promised"]),
        (ask(asked_on=TODAY, answer="refused"), []),
        (bundle(came_from="P. Hill", asked_on=TODAY, answer="promised", cut_on=TODAY), []),
        (ask(came_from="t1"), []),
    ],
)
def test_a_bundle_that_somebody_is_to_give_says_how_far_the_asking_has_come(held, states: list[str]) -> None:
    assert [wish.state for wish in wishes(orchard(wood=(held,)))] == states


def test_who_refused_is_not_asked_once_more_and_the_wood_is_missing_again() -> None:
    records = orchard(
        planned(), wood=(bundle("w1", 0, came_from="P. Hill"), ask("w2", asked_on=TODAY, answer="refused"))
    )
    assert wishes(records) == (Wish("to ask for", "apple", "Red Lamp", 1, "", grafts=1),)
    (balance,) = wood_balance(records, TODAY, ())
    assert (balance.missing, balance.expected) == (1, 0)


def test_the_balance_says_how_far_the_asking_has_come() -> None:
    wood = (ask("w1", 1), ask("w2", 2, asked_on=TODAY), ask("w3", 3, asked_on=TODAY, answer="promised"))
    (balance,) = wood_balance(orchard(planned(), wood=wood), TODAY, ())
    assert warnings(balance) == (
        "Red Lamp (apple): 6 sticks still to come from P. Hill: 1 to ask for, 2 asked for, no answer yet, 3 promised.",
    )


def test_having_asked_notes_it_in_the_bundles_that_wait_and_makes_one_for_what_stands_nowhere() -> None:
    grafts = [planned(f"g{number}") for number in range(7)]  # 3 sticks
    records = orchard(*grafts, wood=(bundle("w1", 0, came_from="R. Dale"), ask("w2", 1)))
    edit = Edit("", asked(records, "apple", "red lamp", TODAY, first_day))
    after = applied(records, edit)
    assert [(one.id, one.sticks, one.came_from, one.asked_on) for one in after.wood[1:]] == [
        ("w2", 1, "P. Hill", TODAY),
        ("w3", 2, "R. Dale", TODAY),
    ]
    assert [wish.state for wish in wishes(after)] == ["unanswered"] * 2


def test_a_bundle_that_was_entered_without_a_word_on_its_source_is_the_one_that_is_asked_for() -> None:
    records = orchard(planned(), wood=(bundle("w1", 2, cut_on=None),))
    after = applied(records, Edit("", asked(records, "apple", "Red Lamp", TODAY, first_day)))
    assert [(one.id, one.sticks, one.asked_on) for one in after.wood] == [("w1", 2, TODAY)]


sticks = st.integers(0, 5)
days = st.sampled_from([None, date(2025, 11, 3)])
bundles = st.builds(
    bundle,
    st.just("w"),
    sticks,
    cut_on=days,
    asked_on=days,
    came_from=st.sampled_from(["", "P. Hill", "t1"]),
    answer=st.sampled_from(["", *ANSWERS]),
    promised_sticks=sticks,
)


@examples(100)
@given(st.lists(bundles, max_size=5), st.integers(0, 9))
def test_after_asking_nothing_is_left_to_ask_for_and_nothing_is_missing_that_can_be_asked_for(held, count: int) -> None:
    wood = tuple(replace(one, id=f"w{place}") for place, one in enumerate(held))
    records = orchard(*(planned(f"g{number}") for number in range(count)), wood=wood)
    after = applied(records, Edit("", asked(records, "apple", "Red Lamp", TODAY, first_day)))
    assert all(wish.state != "to ask for" for wish in wishes(after))
    assert all(not one.missing or not one.needed for one in wood_balance(after, TODAY, ()))


def test_of_several_trees_that_have_a_variety_the_youngest_is_first_and_one_of_another_species_is_none() -> None:
    old, pear = replace(TREES[0], planted=1960), replace(TREES[1], planted=2020)
    young = replace(TREES[0], id="t9", planted=2015)
    records = orchard(
        graft("g1"),
        graft("g2", tree="t2"),
        graft("g3", tree="t9"),
        graft("g4", state="failed"),
        trees=(old, pear, young),
    )
    assert [source.tree.id for source in sources_of(records, "apple", "red  lamp")] == ["t9", "t1"]


OLD = "over 10 years old"
UNTESTED = "Untested stone fruit"


@pytest.mark.parametrize(
    ("held", "said"),
    [
        (ask(mother_years=10), []),
        (ask(mother_years=11), [OLD]),
        (ask(mother_years=30, mother_health="certified"), []),
        (ask(mother_years=30, mother_health="said healthy"), [OLD]),
        (ask(), []),
        (ask(species="plum"), [UNTESTED]),
        (ask(species="plum", mother_health="said healthy"), [UNTESTED]),
        (ask(species="plum", mother_health="tested"), []),
        (ask(species="plum", came_from="t1"), []),
        (ask(species="peach", mother_years=20), [OLD, UNTESTED]),
    ],
)
def test_an_old_mother_tree_and_untested_stone_fruit_are_softly_spoken_of(held, said: list[str]) -> None:
    # Perry (MSU, 2014): mother trees under eight to ten years.
    notes = MotherTrees(orchard()).notes(held, TODAY)
    assert [word for word in (OLD, UNTESTED) if any(word in note for note in notes)] == said
    assert len(notes) == len(said)


def test_a_tree_here_is_as_old_as_its_year_of_planting_says() -> None:
    records = orchard(trees=(replace(TREES[0], planted=1990),))
    assert OLD in MotherTrees(records).notes(ask(came_from="t1"), TODAY)[0]


def test_a_tree_says_from_how_many_sources_it_carries_wood() -> None:
    wood = (bundle("w1", 0, came_from="P. Hill"), bundle("w2", 0, came_from="R. Dale"))
    records = orchard(graft("g1", wood="w1"), graft("g2", variety="B", wood="w2"), graft("g3", variety="C"), wood=wood)
    assert MotherTrees(records).carries(TREES[0]) == (
        "Old apple carries wood from 2 sources and 1 graft of which no source is noted;"
        " what you give away may carry what all of them had."
    )
    named = [bundle(f"w{n}", came_from=word) for n, word in enumerate(("t2", TREES[1].name, TREES[1].name.upper()))]
    on = [graft(f"g{n}", variety=f"Lamp {n}", wood=f"w{n}", set_on=date(2024, 4, 1)) for n in range(3)]
    assert "wood from 1 source;" in MotherTrees(orchard(*on, wood=tuple(named))).carries(TREES[0])
    assert MotherTrees(orchard(graft("g1"))).carries(TREES[0]) == ""


def test_what_is_said_of_a_mother_tree_is_one_phrase() -> None:
    held = ask(mother_years=12, mother_health="tested", health_by="invented institute, 2024")
    assert mother_words(held) == "mother tree 12 years old, tested (invented institute, 2024)"
    assert mother_words(ask()) == ""
