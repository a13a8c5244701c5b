"""The life of one graft, in order and in words."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import bundle, graft, orchard, planned, tasting, tick

from tendwork.orchard.history import Event, history
from tendwork.orchard.records import Graft, Records


def words(records: Records, one: Graft) -> list[str]:
    return [event.words for event in history(records, one)]


def test_a_whole_life_by_hand() -> None:
    one = graft(state="removed", verdict="cut", method="cleft", wrap="PVC tape", wood="w1", set_on=date(2022, 4, 2))
    records = orchard(
        one,
        wood=(bundle(cut_on=date(2022, 1, 20), came_from="P. Hill"),),
        ticks=(
            tick("remove-cut-verdicts-pome", "g1", date(2026, 2, 7), "removed"),
            tick("whip-apple-pear", "g1", date(2022, 4, 2), "set", "2022"),
            tick("check-take", "g1", date(2022, 5, 20), "took", "2022"),
            tick("wraps-tape-pome", "g1", date(2022, 7, 1), "off", "2022", note="a waist already"),
            tick("note-growth", "g1", date(2023, 7, 10), "strong", "2023"),
            tick("taste-apples", "g1", date(2023, 10, 1), "no fruit", "2023"),
            tick("judge-varieties", "g1", date(2025, 10, 10), "cut", "2025"),
            tick("stake", "g1", date(2022, 6, 1), "done", "2022"),
        ),
        tastings=(tasting("g1", date(2025, 9, 20), 2), tasting("g1", date(2024, 9, 25), 1)),
    )
    assert history(records, one) == (
        Event("wood", "wood w1 from P. Hill cut", date(2022, 1, 20)),
        Event("set", "set: cleft, wrapped in PVC tape", date(2022, 4, 2)),
        Event("took", "took", date(2022, 5, 20)),
        Event("wraps", "wrap off (a waist already)", date(2022, 7, 1)),
        Event("growth", "strong growth", date(2023, 7, 10)),
        Event("no fruit", "no fruit", date(2023, 10, 1)),
        Event("first crop", "first tasted: ripe, 1 point of 5", date(2024, 9, 25)),
        Event("tasted", "tasted: ripe, 2 points of 5", date(2025, 9, 20)),
        Event("verdict", "judged: cut", date(2025, 10, 10)),
        Event("removed", "taken off", date(2026, 2, 7)),
    )


def test_a_planned_graft_is_planned_with_the_wood_that_waits_for_it() -> None:
    one = planned(method="bark", wood="w1")
    assert words(orchard(one, wood=(bundle(cut_on=None, came_from="P. Hill"),)), one) == [
        "planned: bark",
        "wood w1 from P. Hill",
    ]


def test_wood_that_is_gone_is_named_all_the_same() -> None:
    one = graft(wood="w9")
    assert words(orchard(one), one) == ["wood w9, which is no longer in the records", "set"]


@pytest.mark.parametrize(
    ("state", "told"),
    [("took", "took"), ("failed", "failed"), ("bearing", "bears"), ("removed", "taken off")],
)
def test_a_state_without_a_tick_stands_without_a_day(state: str, told: str) -> None:
    one = graft(state=state)
    assert words(orchard(one), one) == ["set", f"{told} (day not noted)"]


def test_what_has_no_day_stands_where_it_belongs() -> None:
    one = graft(state="took", verdict="keep")
    records = orchard(one, tastings=(tasting("g1", date(2026, 9, 1), 4),))
    assert words(records, one) == [
        "set",
        "took (day not noted)",
        "first tasted: ripe, 4 points of 5",
        "judged: keep (day not noted)",
    ]


def test_a_tasting_says_by_itself_that_it_bears() -> None:
    one = graft(state="bearing")
    records = orchard(one, tastings=(tasting("g1", date(2026, 9, 1), 4),))
    assert words(records, one) == ["set", "first tasted: ripe, 4 points of 5"]


def test_a_tick_that_was_taken_back_is_no_history() -> None:
    one = graft()
    day = date(2026, 5, 1)
    ticks = (tick("check-take", "g1", day, "took"), tick("check-take", "g1", day, "took", undone=True))
    assert words(orchard(one, ticks=ticks), one) == ["set"]


def test_growth_is_told_of_from_its_own_job_only() -> None:
    one = graft()
    ticks = (tick("look", "g1", date(2026, 7, 1), "strong"), tick("note-growth", "g1", date(2026, 7, 9), "not yet"))
    assert words(orchard(one, ticks=ticks), one) == ["set"]


def test_only_this_graft_is_told_of() -> None:
    one = graft()
    records = orchard(
        one,
        graft("g2"),
        ticks=(tick("check-take", "g2", date(2026, 5, 1), "took"),),
        tastings=(tasting("g2", date(2026, 9, 1)),),
    )
    assert words(records, one) == ["set"]
