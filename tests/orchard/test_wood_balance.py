"""The balance of scion wood, figure by figure."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from orchard_records import bundle, graft, orchard, planned

from tendwork.orchard.edits import applied
from tendwork.orchard.record_edits import split_bundle
from tendwork.orchard.records import Graft, Records, Wood
from tendwork.orchard.wood_balance import GRAFTS_A_STICK, Balance, barred_words, sticks_needed, warnings, wood_balance

TODAY = date(2026, 2, 15)


def only(records: Records, today: date = TODAY) -> Balance:
    (balance,) = wood_balance(records, today, ())
    return balance


@pytest.mark.parametrize(("grafts", "sticks"), [(0, 0), (1, 1), (3, 1), (4, 2), (6, 2), (7, 3)])
def test_three_grafts_are_calculated_to_a_stick(grafts: int, sticks: int) -> None:
    assert sticks_needed(["cleft"] * grafts) == sticks


def test_a_bridge_takes_a_whole_stick() -> None:
    # two bridges 2, four grafts from parts 2
    assert sticks_needed(["bridge", "cleft", "bark", "bridge", "side", "cleft"]) == 4
    assert sticks_needed(["Bridge", "bridge graft", "bark graft"]) == 3


@pytest.mark.parametrize("method", ["chip bud", "T-bud", "t-bud", "Chip  Bud", " t bud", "T-budding", "Shield bud"])
def test_a_bud_takes_winter_wood_only_where_it_names_the_bundle(method: str) -> None:
    # RHS and W. Seabrook: chips in late summer, of fresh bud sticks; a Californian nursery: in spring, of dormant wood
    assert only(orchard(planned(method=method))) == Balance("apple", "Red Lamp", 0, 1)
    stored = only(orchard(planned(method=method, wood="w1"), wood=(bundle(sticks=0),)))
    assert (stored.grafts, stored.summer_buds, stored.needed, stored.missing) == (1, 0, 1, 1)


def test_a_hand_worked_variety() -> None:
    # 7 planned grafts need 3 sticks. 2 held, 1 of them promised; 1 to cut from t1; 1 to come from P. Hill.
    # Owed and needed 3 + 1 = 4; there are 2 + 1 + 1 = 4: nothing missing, nothing free.
    grafts = [planned(f"g{number}") for number in range(7)]
    wood = (
        bundle("w1", 2, promised_to="R. Dale", promised_sticks=1),
        bundle("w2", 1, cut_on=None, came_from="t1"),
        bundle("w3", 1, cut_on=None, came_from="P. Hill"),
    )
    assert only(orchard(*grafts, wood=wood)) == Balance(
        "apple", "Red Lamp", 7, 0, 3, 2, 1, 1, 1, 0, 0, cut_from=("t1",), comes_from=("P. Hill",)
    )


def test_one_more_graft_than_the_sticks_make_leaves_one_missing() -> None:
    grafts = [planned(f"g{number}") for number in range(7)]
    assert only(orchard(*grafts, wood=(bundle(sticks=2),))).missing == 1


def test_what_is_held_beyond_need_and_promises_is_free() -> None:
    # 5 held, 1 needed, 2 promised
    wood = (bundle(sticks=5, promised_to="R. Dale", promised_sticks=2),)
    assert only(orchard(planned(), wood=wood)).free == 2


def test_a_promise_beyond_what_is_there_is_missing() -> None:
    wood = (bundle(sticks=1, promised_to="R. Dale", promised_sticks=4),)
    assert (only(orchard(wood=wood)).missing, only(orchard(wood=wood)).free) == (3, 0)


def test_wood_to_come_is_never_free_to_give_away() -> None:
    assert only(orchard(wood=(bundle(sticks=5, cut_on=None, came_from="P. Hill"),))).free == 0


def test_uncut_wood_from_nowhere_is_not_expected() -> None:
    assert only(orchard(planned(), wood=(bundle(cut_on=None),))).missing == 1


def test_faded_wood_counts_for_nothing_nor_does_its_promise() -> None:
    # apple wood is counted on for 152 days: cut on 1 September it faded on 31 January
    old = bundle(cut_on=date(2025, 9, 1), promised_to="R. Dale", promised_sticks=2)
    assert only(orchard(planned(), wood=(old,))) == Balance("apple", "Red Lamp", 1, needed=1, missing=1)


def test_the_same_name_on_another_species_is_another_variety() -> None:
    balances = wood_balance(orchard(planned("g1"), planned("g2", tree="t2"), wood=(bundle(),)), TODAY, ())
    assert [(balance.species, balance.missing) for balance in balances] == [("apple", 0), ("pear", 1)]


def test_a_stick_opened_today_still_serves_two_grafts() -> None:
    done = graft("g1", wood="w1", set_on=TODAY)
    left = (planned("g2"), planned("g3"))
    assert only(orchard(done, *left, wood=(bundle(sticks=0),))).missing == 0


def test_the_rest_of_a_stick_opened_yesterday_is_not_counted_on() -> None:
    done = graft("g1", wood="w1", set_on=date(2026, 2, 14))
    assert only(orchard(done, planned("g2"), wood=(bundle(sticks=0),))).missing == 1


def test_the_warning_says_how_many_for_what_and_what_to_do() -> None:
    grafts = [planned(f"g{number}") for number in range(4)]
    wood = (bundle(sticks=1, promised_to="R. Dale", promised_sticks=1),)
    assert warnings(only(orchard(*grafts, wood=wood))) == (
        "Red Lamp (apple): 2 sticks missing for 4 planned grafts and 1 stick promised."
        " Cut more or ask for more while the wood is dormant.",
    )


def test_wood_still_to_come_is_asked_for_only_where_it_is_needed() -> None:
    coming = bundle(sticks=2, cut_on=None, came_from="P. Hill")
    words = "Red Lamp (apple): 2 sticks still to come from P. Hill. Ask soon."
    assert warnings(only(orchard(planned(), wood=(coming,)))) == (words,)
    assert warnings(only(orchard(wood=(coming,)))) == ()


def test_wood_on_a_tree_of_ones_own_is_to_be_cut() -> None:
    uncut = bundle(sticks=2, cut_on=None, came_from="t1")
    assert warnings(only(orchard(planned(), wood=(uncut,)))) == ("Red Lamp (apple): 2 sticks still to cut from t1.",)


METHODS = st.sampled_from(["cleft", "bark", "bridge", "T-bud", "chip bud", ""])
VARIETIES = st.sampled_from(["Red Lamp", "Blue Lamp"])
DAYS = st.none() | st.dates(date(2025, 6, 1), date(2026, 6, 1))
GRAFTS = st.lists(
    st.builds(
        Graft,
        id=st.integers(0, 10**6).map(str),
        tree=st.sampled_from(["t1", "t2", "gone"]),
        variety=VARIETIES,
        method=METHODS,
        state=st.sampled_from(["planned", "set", "failed"]),
        set_on=st.none() | st.just(TODAY),
        wood=st.sampled_from(["", "w0", "w1"]),
    ),
    max_size=12,
)
WOOD = st.lists(
    st.builds(
        Wood,
        id=st.just(""),
        variety=VARIETIES,
        species=st.sampled_from(["apple", "pear"]),
        sticks=st.integers(0, 9),
        cut_on=DAYS,
        came_from=st.sampled_from(["", "t1", "P. Hill"]),
        promised_to=st.sampled_from(["", "R. Dale"]),
        promised_sticks=st.integers(0, 9),
    ),
    max_size=6,
).map(lambda held: tuple(numbered(place, one) for place, one in enumerate(held)))


def numbered(place: int, one: Wood) -> Wood:
    return Wood(
        f"w{place}",
        one.variety,
        one.species,
        one.sticks,
        one.cut_on,
        one.came_from,
        promised_to=one.promised_to,
        promised_sticks=one.promised_sticks,
    )


@given(GRAFTS, WOOD)
def test_no_figure_is_ever_negative(grafts: list[Graft], wood: tuple[Wood, ...]) -> None:
    for balance in wood_balance(orchard(*grafts, wood=wood), TODAY, ()):
        figures = (balance.needed, balance.held, balance.to_cut, balance.expected, balance.promised)
        assert min(*figures, balance.free, balance.missing) >= 0


@given(GRAFTS, WOOD)
def test_every_stick_is_needed_promised_or_free_and_counted_once(grafts: list[Graft], wood: tuple[Wood, ...]) -> None:
    for balance in wood_balance(orchard(*grafts, wood=wood), TODAY, ()):
        there = balance.held + balance.to_cut + balance.expected
        owed = balance.needed + balance.promised
        assert there + balance.missing >= owed
        assert balance.missing == 0 or there + balance.missing == owed
        assert balance.free == 0 or balance.free == balance.held - owed


@given(GRAFTS, WOOD)
def test_what_is_promised_is_the_sum_over_live_bundles(grafts: list[Graft], wood: tuple[Wood, ...]) -> None:
    live = [one for one in wood if one.cut_on is None or one.cut_on > TODAY or (TODAY - one.cut_on).days <= 152]
    balances = wood_balance(orchard(*grafts, wood=wood), TODAY, ())
    assert sum(balance.promised for balance in balances) == sum(one.promised_sticks for one in live)


@given(WOOD, st.integers(1, 9))
def test_a_bundle_put_into_two_leaves_the_balance_as_it_was(wood: tuple[Wood, ...], sticks: int) -> None:
    records = orchard(planned(), wood=wood)
    for one in wood:
        edit = split_bundle(records, one.id, sticks, TODAY)
        if not edit.refused:
            assert wood_balance(applied(records, edit), TODAY, ()) == wood_balance(records, TODAY, ())


@given(st.lists(METHODS, max_size=20), METHODS)
def test_another_graft_never_needs_fewer_sticks_nor_more_than_one_more(methods: list[str], method: str) -> None:
    assert 0 <= sticks_needed([*methods, method]) - sticks_needed(methods) <= 1
    assert sticks_needed(["cleft"] * GRAFTS_A_STICK) == 1


def test_barred_sticks_are_neither_held_nor_free_and_are_counted_and_what_was_promised_of_them_is_owed() -> None:
    wood = (bundle("w1", 5, promised_to="R. Dale", promised_sticks=1), bundle("w2", 2))
    balance = wood_balance(orchard(planned(), wood=wood), TODAY, {"w1"})[0]
    assert (balance.held, balance.free, balance.missing, balance.barred) == (2, 0, 0, 5)
    assert barred_words(balance) == (
        "Red Lamp (apple): 5 sticks are barred and not counted, for disease on their tree."
    )
    assert wood_balance(orchard(planned(), wood=wood[:1]), TODAY, {"w1"})[0].missing == 2
