"""A place in a crown and the lives in it: what ends one, what is kept of it, which acts speak of the present one."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from orchard_records import graft, orchard, planned, tasting, tick

from tendwork.orchard.edits import applied
from tendwork.orchard.faults import faults
from tendwork.orchard.history import history
from tendwork.orchard.lives import passed_on, present
from tendwork.orchard.record_edits import change_grafts
from tendwork.orchard.records import Graft, Life, Records, Tick
from tendwork.orchard.rough_dates import Noted, RoughDate
from tendwork.orchard.take_rates import trials
from tendwork.orchard.verdicts import suggestions

TODAY = date(2026, 11, 28)
FAILED = graft(
    state="failed",
    method="cleft",
    wrap="PVC tape",
    set_on=date(2025, 4, 10),
    wood="w1",
    verdict="cut",
    ripens_from=(9, 1),
    note="dried out",
)
FAILING = tick("check-take", "g1", date(2025, 6, 2), "failed", "2025")


def test_a_failed_graft_that_is_planned_again_begins_a_new_life_and_the_old_one_is_kept() -> None:
    records = orchard(FAILED, ticks=(FAILING,))
    edit = change_grafts(records, ["g1"], TODAY, state="planned", variety="Green Lamp")
    assert not edit.refused
    after = applied(records, edit)
    assert after.lives == (
        Life(
            "g1",
            "Red Lamp",
            "cleft",
            "PVC tape",
            state="failed",
            set_on=date(2025, 4, 10),
            ended_on=date(2025, 6, 2),
            wood="w1",
            verdict="cut",
            note="dried out",
        ),
    )
    (now,) = after.grafts
    assert (now.set_on, now.verdict, now.wood, now.ripens_from, now.note) == (None, "on trial", "", None, "")
    assert (now.method, now.wrap) == ("cleft", "PVC tape")  # which may well be used again
    assert edit.words == "Green Lamp (g1) changed; kept in the history of its place: Red Lamp of 2025-04-10"


def test_the_same_variety_again_keeps_what_is_known_of_it() -> None:
    now, life = passed_on(Records(), FAILED, graft(state="planned", ripens_from=(9, 1), note="dried out"), TODAY)
    assert life is not None
    assert (now.ripens_from, now.note) == ((9, 1), "dried out")


def test_a_later_day_of_setting_is_another_graft_where_the_old_one_had_ended_or_the_days_are_far_apart() -> None:
    for before, after in (
        (FAILED, graft(set_on=date(2025, 4, 20))),
        (graft(set_on=date(2025, 4, 10)), graft(set_on=date(2026, 4, 12))),
        (graft(set_on=date(2026, 4, 10)), graft(set_on=date(2026, 4, 20), variety="Green Lamp")),
    ):
        now, life = passed_on(Records(), before, after, TODAY)
        assert now.set_on == after.set_on
        assert life is not None
        assert (life.set_on, life.ended_on) == (before.set_on, after.set_on)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (graft(set_on=date(2026, 4, 10)), graft(set_on=date(2026, 4, 12))),  # the day was mistyped
        (graft(set_on=date(2026, 4, 10)), graft(set_on=date(2026, 4, 2))),
        (graft(state="failed"), graft(state="took")),  # not dead after all
        (graft(state="failed", set_on=date(2026, 4, 6)), graft(state="failed", set_on=date(2026, 4, 8))),
        (
            graft(state="bearing", set_on=date(2020, 4, 6)),
            graft(state="bearing", set_on=date(2021, 4, 8), variety="Red Lampe"),
        ),
        (planned(), graft()),
        (graft(state="took"), graft(state="bearing")),
    ],
)
def test_a_mended_record_is_the_same_graft(before: Graft, after: Graft) -> None:
    assert passed_on(Records(), before, after, TODAY) == (after, None)


def test_a_graft_that_was_ticked_as_set_by_mistake_is_planned_again_without_a_history() -> None:
    before = graft(set_on=date(2026, 11, 20))
    now, life = passed_on(Records(), before, graft(set_on=date(2026, 11, 20), state="planned"), TODAY)
    assert (now.set_on, life) == (None, None)


def test_only_ticks_of_the_present_graft_count() -> None:
    old = (
        tick("whip-apple-pear", "g1", date(2025, 4, 10), "set", "2025"),
        tick("wraps-film", "g1", date(2025, 7, 1), "off", "2025"),
        tick("check-take", "g1", date(2025, 8, 1), "failed", "2025"),
    )
    head_back = tick("head-back-limbs", "g1", date(2026, 3, 10))
    setting = tick("whip-apple-pear", "g1", date(2026, 4, 12), "set")
    records = orchard(graft(set_on=date(2026, 4, 12)), ticks=(*old, head_back, setting))
    assert present(records).ticks == (head_back, setting)
    waiting = orchard(planned(), ticks=(*old, head_back))
    assert present(waiting).ticks == (head_back,)


def test_a_graft_that_failed_and_was_set_again_on_one_day_begins_with_its_setting() -> None:
    day = date(2026, 5, 20)
    failed = tick("check-take", "g1", day, "failed")
    again = tick("bark-apple-pear", "g1", day, "set")
    assert present(orchard(graft(set_on=day), ticks=(failed, again))).ticks == (again,)


def test_a_tick_that_was_undone_does_not_end_a_life() -> None:
    setting = tick("whip-apple-pear", "g1", date(2026, 4, 1), "set")
    failing = tick("check-take", "g1", date(2026, 5, 1), "failed")
    undone = tick("check-take", "g1", date(2026, 5, 2), "failed", undone=True)
    assert present(orchard(graft(), ticks=(setting, failing, undone))).ticks == (setting,)


def test_tastings_of_what_stood_there_before_do_not_speak_for_the_graft_of_now() -> None:
    young = graft(set_on=date(2026, 4, 1), state="took")
    records = orchard(young, tastings=(tasting("g1", date(2024, 9, 1), 1), tasting("g1", date(2026, 9, 1), 5)))
    assert [one.score for one in present(records).tastings] == [5]
    (said,) = suggestions(records, TODAY)
    assert said.score == 5


def test_what_failed_at_a_place_still_counts_among_what_took_and_failed() -> None:
    life = Life("g1", "Red Lamp", "cleft", "PVC tape", state="failed", set_on=date(2025, 4, 10))
    found = trials(orchard(graft(state="took", method="bark"), lives=(life,)))
    assert [(one.method, one.took) for one in found] == [("cleft", False), ("bark", True)]


def test_the_history_of_a_place_shows_all_its_lives_in_order() -> None:
    life = Life("g1", "Red Lamp", "cleft", "film", state="failed", set_on=date(2025, 4, 10), ended_on=date(2025, 6, 2))
    ticks = (
        FAILING,
        tick("whip-apple-pear", "g1", date(2026, 4, 1), "set"),
        tick("wraps-film", "g1", date(2026, 7, 1), "off"),
    )
    now = graft(variety="Green Lamp", method="bark")
    told = history(orchard(now, ticks=ticks, lives=(life,)), now)
    assert [(event.life, event.words, event.day) for event in told] == [
        (1, "Red Lamp: set: cleft, wrapped in film", date(2025, 4, 10)),
        (1, "Red Lamp: failed", date(2025, 6, 2)),
        (2, "set: bark", date(2026, 4, 1)),
        (2, "wrap off", date(2026, 7, 1)),
    ]


def test_acts_on_an_earlier_graft_of_which_nothing_else_is_kept_are_shown_all_the_same() -> None:
    ticks = (tick("wraps-film", "g1", date(2025, 7, 1), "off", "2025"),)
    told = history(orchard(graft(), ticks=ticks), graft())
    assert [event.words for event in told] == ["an earlier graft: wrap off", "set"]


def test_two_lives_that_overlap_are_a_fault_that_names_both() -> None:
    lives = (
        Life("g1", "Old One", set_on=date(2023, 4, 1), ended_on=date(2025, 9, 1)),
        Life("g1", "Red Lamp", set_on=date(2024, 4, 1), ended_on=date(2024, 9, 1)),
    )
    assert faults(orchard(graft(), lives=lives), TODAY) == (
        "Two grafts at g1: Old One stood there until 2025-09-01, but Red Lamp was set there on 2024-04-01."
        " Mend one of the days.",
    )
    late = Life("g1", "Old One", set_on=date(2023, 4, 1), ended_on=date(2026, 5, 1))
    assert faults(orchard(graft(), lives=(late,)), TODAY) == (
        "Two grafts at g1: Old One stood there until 2026-05-01, but Red Lamp was set there on 2026-04-01."
        " Mend one of the days.",
    )
    turned = Life("g1", "Old One", set_on=date(2023, 4, 1), ended_on=date(2022, 5, 1))
    assert "ended on 2022-05-01, before it was set on 2023-04-01" in faults(orchard(graft(), lives=(turned,)), TODAY)[0]


def test_what_is_given_for_the_next_life_stays_though_it_is_the_same() -> None:
    now, _ = passed_on(Records(), FAILED, graft(state="planned", wood="w1", verdict="cut"), TODAY, ("wood",))
    assert (now.wood, now.verdict) == ("w1", "on trial")


def test_lives_that_cannot_be_are_faults() -> None:
    standing = Life("g1", "Old One", ended_on=date(2026, 11, 1))
    assert "Old One stood there until 2026-11-01" in faults(orchard(graft(), lives=(standing,)), TODAY)[0]
    future = Life("g1", "Old One", set_on=date(2150, 4, 1))
    assert "is set on 2150-04-01, in the future" in " ".join(faults(orchard(graft(), lives=(future,)), TODAY))
    twice = (Life("g1", "Old One", set_on=date(2020, 4, 1)), Life("g1", "Old Two", set_on=date(2020, 4, 1)))
    assert "Two grafts at g1" in faults(orchard(graft(), lives=twice), TODAY)[0]


_OUTCOMES = st.sampled_from(("set", "took", "failed", "off", "done", "not yet", "removed", "left on"))
_TICKS = st.lists(
    st.builds(
        Tick,
        st.sampled_from(("a/t1/2025", "b/t1/2026", "c/t1/2026")),
        st.sampled_from(("g1", "t1")),
        st.dates(date(2025, 1, 1), date(2026, 12, 31)),
        _OUTCOMES,
        undone=st.booleans(),
    ),
    max_size=12,
)


@given(_TICKS, st.dates(date(2025, 1, 1), date(2026, 12, 31)), st.booleans())
def test_no_word_that_only_a_set_graft_can_have_counts_from_before_it_was_set(
    ticks: list[Tick], set_on: date, is_planned: bool
) -> None:
    one = planned() if is_planned else graft(set_on=set_on)
    records = orchard(one, ticks=tuple(ticks))
    kept = present(records).ticks
    assert all(not tick.undone for tick in kept)
    words = [tick for tick in kept if tick.unit == "g1" and tick.outcome not in ("done", "not yet")]
    assert not words if is_planned else all(tick.day >= set_on for tick in words)
    assert [tick for tick in kept if tick.unit == "t1"] == [
        tick for tick in present(orchard(ticks=tuple(ticks))).ticks if tick.unit == "t1"
    ]


@pytest.mark.parametrize(
    ("was", "is_now", "lives"),
    [
        (RoughDate(2019), date(2019, 9, 14), 0),
        (RoughDate(2019), RoughDate(2019, 9), 0),
        (date(2019, 4, 14), RoughDate(2019), 0),
        (RoughDate(2019), date(2020, 1, 20), 0),
        (RoughDate(2019), date(2020, 4, 20), 1),
        (RoughDate(2019, 4), RoughDate(2021), 1),
        (date(2019, 4, 14), RoughDate(2018), 0),
    ],
)
def test_a_date_that_is_known_better_or_worse_is_the_same_graft(was: Noted, is_now: Noted, lives: int) -> None:
    records = orchard(graft(state="took", set_on=was))
    after = applied(records, change_grafts(records, ["g1"], TODAY, set_on=is_now))
    assert (len(after.lives), after.grafts[0].set_on) == (lives, is_now)


def test_a_graft_after_one_that_failed_in_the_same_year_is_another_one() -> None:
    records = orchard(graft(state="failed", set_on=RoughDate(2026)))
    after = applied(records, change_grafts(records, ["g1"], TODAY, state="set", set_on=date(2026, 8, 10)))
    assert [life.set_on for life in after.lives] == [RoughDate(2026)]


def test_a_life_keeps_its_species_and_the_next_variety_has_none_of_its_own() -> None:
    records = orchard(graft(state="failed", species="peach", set_on=date(2025, 4, 1)))
    after = applied(records, change_grafts(records, ["g1"], TODAY, state="planned", variety="Victoria"))
    assert (after.lives[0].species, after.grafts[0].species) == ("peach", "")


def test_what_was_ticked_before_the_year_of_a_graft_speaks_of_another_and_what_in_it_of_this_one() -> None:
    ticks = (
        tick("wraps-film", "g1", date(2024, 7, 1), "off", "2024"),
        tick("check-take", "g1", date(2025, 6, 1), "took", "2025"),
    )
    lives = (Life("g1", "Old", state="removed", set_on=RoughDate(2020), ended_on=RoughDate(2025)),)
    now = present(orchard(graft(state="took", set_on=RoughDate(2025)), ticks=ticks, lives=lives))
    assert [one.outcome for one in now.ticks] == ["took"]
    before = present(orchard(graft(state="took", set_on=date(2025, 7, 4)), ticks=ticks, lives=lives))
    assert before.ticks == ()


def test_the_year_of_a_graft_is_told_and_no_day_of_it() -> None:
    records = orchard(graft(state="took", method="cleft", set_on=RoughDate(2025)))
    (told, *_) = history(records, records.grafts[0])
    assert (told.words, told.day) == ("set in 2025: cleft", None)


def test_a_graft_of_this_year_is_not_in_the_future_and_one_of_the_next_is() -> None:
    assert faults(orchard(graft(state="took", set_on=RoughDate(2026))), TODAY) == ()
    (words,) = faults(orchard(graft(state="took", set_on=RoughDate(2027))), TODAY)
    assert words.startswith('Graft g1 "Red Lamp" is set in 2027, in the future.')
