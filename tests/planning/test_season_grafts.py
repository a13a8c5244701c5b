"""What was set and took in a season and what was lost, on an orchard of which each number is counted by hand."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from season_orchard import RECORDS

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.planning.season_grafts import NOT_NOTED, OWN_WOOD, Tally, season_grafts

FOUND = season_grafts(RECORDS, Season(2026))


def test_what_was_set_took_failed_and_is_not_known_yet_an_earlier_life_of_a_place_too() -> None:
    # g1 took, g2 failed, g3 only set, g4 bears, g7 took, and the life before g8 failed
    assert FOUND.total == Tally("all", 6, 3, 2)
    assert FOUND.total.unknown == 1


def test_by_method_under_one_name_for_each() -> None:
    assert FOUND.by_method == (Tally("cleft", 4, 2, 2), Tally(NOT_NOTED, 1, 1, 0), Tally("whip and tongue", 1, 0, 0))


def test_by_wood_own_trees_first_then_people_then_what_is_not_noted() -> None:
    assert FOUND.by_giver == (Tally(OWN_WOOD, 1, 0, 0), Tally("P. Hill", 2, 1, 1), Tally(NOT_NOTED, 3, 2, 1))


def test_by_age_of_the_wood_in_bands_of_four_weeks() -> None:
    # 3 January to 10 April are 97 days, 1 February to 12 April 70
    assert FOUND.by_wood_age == (
        Tally("8 to 11 weeks", 1, 0, 0),
        Tally("12 to 15 weeks", 2, 1, 1),
        Tally(NOT_NOTED, 3, 2, 1),
    )


def test_a_graft_of_which_the_year_alone_is_known_counts_and_is_said() -> None:
    assert FOUND.by_year_alone == 1


def test_losses_by_day_with_how_and_what_was_seen_on_the_tree_before() -> None:
    assert [(one.graft, one.variety, one.kind, one.day, one.signs) for one in FOUND.losses] == [
        ("g7", "Gone Lamp", "taken off", date(2025, 12, 24), ()),
        ("g5", "Old Lamp", "judged cut", date(2026, 2, 8), ()),
        ("g2", "Red Lamp", "failed", date(2026, 5, 30), (("storm", date(2026, 5, 20)),)),
        ("g8", "Dry Lamp", "failed", date(2026, 6, 3), (("storm", date(2026, 5, 20)),)),
    ]
    assert [one.note for one in FOUND.losses if one.note] == ["snow", "dried out"]


def test_what_is_gone_on_a_day_that_nobody_noted_is_named_and_counts_to_no_season() -> None:
    assert [one.graft for one in FOUND.undated] == ["g6"]
    assert [one.graft for one in season_grafts(RECORDS, Season(2025)).undated] == ["g6"]
    assert season_grafts(RECORDS, Season(2013)).undated == ()


def test_signs_of_the_season_alone() -> None:
    assert [(sign.what, sign.seen) for sign in FOUND.signs] == [
        ("canker", (("Barn apple", date(2026, 6, 20)),)),
        ("storm", (("Barn apple", date(2026, 5, 20)),)),
    ]


def test_a_failure_without_a_day_counts_to_the_season_in_which_it_was_set() -> None:
    bare = replace(RECORDS, ticks=())
    assert [(one.graft, one.day) for one in season_grafts(bare, Season(2026)).losses if one.day is None] == [
        ("g2", None)
    ]
    assert "g2" not in [one.graft for one in season_grafts(bare, Season(2025)).undated]


@pytest.mark.parametrize(("outcome", "kind"), [("bud dead", "failed"), ("broken off", "broken off")])
def test_findings_that_say_that_a_graft_is_gone(outcome: str, kind: str) -> None:
    ticked = replace(RECORDS, ticks=(Tick("look/t1/2026", "g1", date(2026, 7, 1), outcome),))
    assert ("g1", kind) in [(one.graft, one.kind) for one in season_grafts(ticked, Season(2026)).losses]


def test_a_tick_that_was_undone_is_no_loss() -> None:
    tick = Tick("look/t1/2026", "g1", date(2026, 7, 1), "broken off")
    undone = replace(RECORDS, ticks=(tick, replace(tick, undone=True)))
    assert "g1" not in [one.graft for one in season_grafts(undone, Season(2026)).losses]


def test_a_graft_that_was_ticked_as_failed_and_put_right_by_hand_is_no_loss() -> None:
    tick = Tick("check-take/t1/2026", "g1", date(2026, 5, 30), "failed")
    mended = replace(RECORDS, ticks=(*RECORDS.ticks, tick))  # g1 has the state "took"
    assert "g1" not in [one.graft for one in season_grafts(mended, Season(2026)).losses]


def test_a_whole_tree_that_broke_off_is_a_loss() -> None:
    ticked = replace(RECORDS, ticks=(*RECORDS.ticks, Tick("unions/t2/2026", "t2", date(2026, 2, 20), "broken off")))
    assert ("", "Path pear", "broken off") in [
        (one.graft, one.tree, one.kind) for one in season_grafts(ticked, Season(2026)).losses
    ]


def test_nothing_noted_is_nothing_found() -> None:
    found = season_grafts(Records(), Season(2026))
    assert (found.total, found.by_method, found.losses, found.signs) == (Tally("all", 0, 0, 0), (), (), ())


def test_in_the_south_a_season_begins_in_may() -> None:
    records = Records(
        (Tree("t1", "South apple", "apple"),),
        (
            Graft("g1", "t1", "Spring One", state="took", set_on=date(2026, 9, 20)),
            Graft("g2", "t1", "Summer One", state="took", set_on=date(2027, 2, 20)),
            Graft("g3", "t1", "Next One", state="took", set_on=date(2027, 9, 20)),
        ),
    )
    assert season_grafts(records, Season(2026, south=True)).total.set == 2
    assert season_grafts(records, Season(2026)).total.set == 1


DAYS = st.integers(0, 1500).map(lambda number: date(2023, 1, 1) + timedelta(days=number))
STATES = st.sampled_from(["set", "took", "failed", "bearing", "removed"])
ORCHARDS = st.lists(
    st.tuples(STATES, DAYS, st.sampled_from(["cleft", "bark", ""]), st.sampled_from(["w1", "w2", ""])), max_size=12
).map(
    lambda rows: Records(
        (Tree("t1", "Any", "apple"),),
        tuple(
            Graft(f"g{number}", "t1", "Any", method, state=state, set_on=day, wood=wood)  # type: ignore[arg-type]
            for number, (state, day, method, wood) in enumerate(rows)
        ),
        (Wood("w1", "Any", "apple", 1, date(2023, 1, 5), "t1"), Wood("w2", "Any", "apple", 1, None, "P. Hill")),
    )
)


@given(ORCHARDS)
@examples(100)
def test_each_way_of_counting_adds_up_to_the_total_and_every_graft_is_of_one_season(records: Records) -> None:
    seasons = {season_of(graft.set_on).name for graft in records.grafts if isinstance(graft.set_on, date)}
    counted = 0
    for name in seasons:
        found = season_grafts(records, Season(name))
        counted += found.total.set
        for tallies in (found.by_method, found.by_giver, found.by_wood_age):
            for number in ("set", "took", "failed", "unknown"):
                assert sum(getattr(one, number) for one in tallies) == getattr(found.total, number)
    assert counted == len(records.grafts)
