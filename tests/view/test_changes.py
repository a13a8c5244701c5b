"""What changed since an earlier day, and why, in sentences."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from jobs import TODAY, task, unit, window
from msgspec import Struct
from msgspec.structs import replace

from tendwork.almanac.results import StageDate
from tendwork.planning.plan_diff import PlanDiff, plan_diff
from tendwork.planning.results import Plan, Task
from tendwork.view.news import changes_by_heading, changes_line, changes_text

YESTERDAY = TODAY - timedelta(days=1)
SEEN_ON = date(2026, 3, 11)
KINDS = {
    "The buds": "buds",
    "New this week": "entered",
    "Missed": "missed",
    "Moved this week": "moved",
    "No longer this week": "left",
    "Later in the season": "later",
}


class Held(Struct, frozen=True):
    species: str
    stages: tuple[StageDate, ...]


def stage(name: str, day: date, state: str = "predicted", because: tuple[str, ...] = ()) -> StageDate:
    return StageDate(name, 53, state, day, day, day, because)


def apple(*stages: StageDate) -> tuple[Held, ...]:
    return (Held("apple", stages),)


def changed(
    before: Iterable[Task] = (),
    after: Iterable[Task] = (),
    buds_before: tuple[Held, ...] = (),
    buds_after: tuple[Held, ...] = (),
) -> PlanDiff:
    found = plan_diff(Plan(YESTERDAY, 2026, tuple(before)), buds_before, Plan(TODAY, 2026, tuple(after)), buds_after)
    assert found is not None
    return found


def said(found: PlanDiff) -> list[tuple[str, str]]:
    return [(KINDS[heading], words) for heading, those in changes_by_heading(found, TODAY).items() for words in those]


def due(name: str, opens: int, closes: int, state: str = "open", **more: object) -> Task:
    return task(name, state, window=window(opens, closes), **more)


def test_a_stage_that_was_seen_says_how_far_it_moved_and_when_it_was_seen() -> None:
    found = changed(
        buds_before=apple(stage("green tip", SEEN_ON + timedelta(days=3))),
        buds_after=apple(stage("green tip", SEEN_ON, "seen")),
    )
    assert said(found) == [("buds", "Apple green tip moved 3 days earlier: seen 11 Mar.")]


def test_the_line_begins_with_the_buds() -> None:
    found = changed(
        [due("prune", 2, 9, "coming")],
        [due("prune", 4, 9, "coming")],
        buds_before=apple(stage("green tip", SEEN_ON + timedelta(days=3))),
        buds_after=apple(stage("green tip", SEEN_ON, "seen")),
    )
    assert changes_line(found, TODAY) == "Since yesterday: apple green tip 3 days earlier: seen 11 Mar; 1 job moved."


def test_a_stage_seen_on_its_expected_day_is_said_without_a_move() -> None:
    found = changed(
        buds_before=apple(stage("green tip", SEEN_ON)), buds_after=apple(stage("green tip", SEEN_ON, "seen"))
    )
    assert said(found) == [("buds", "Apple green tip seen 11 Mar, as expected.")]


def test_later_stages_that_move_say_what_was_seen() -> None:
    bloom = date(2026, 5, 1)
    found = changed(
        buds_before=apple(stage("green tip", SEEN_ON), stage("pink", bloom), stage("full bloom", bloom)),
        buds_after=apple(
            stage("green tip", SEEN_ON, "seen"),
            stage("pink", bloom - timedelta(days=2)),
            stage("full bloom", bloom - timedelta(days=1)),
        ),
    )
    assert said(found)[1] == (
        "buds",
        "Apple pink moved 2 days earlier, to 29 Apr, and 1 later stage with it: green tip was seen 11 Mar.",
    )


def test_buds_that_move_without_a_sighting_moved_by_the_temperatures() -> None:
    found = changed(
        buds_before=apple(stage("pink", date(2026, 5, 1))), buds_after=apple(stage("pink", date(2026, 5, 2)))
    )
    assert said(found)[0][1].endswith("1 day later, to 2 May: calculated again from the temperatures.")


def test_buds_that_an_adjustment_moves_say_so() -> None:
    found = changed(
        buds_before=apple(stage("pink", date(2026, 5, 1))),
        buds_after=apple(stage("pink", date(2026, 5, 5), because=("moved by 4 days, as the site asks",))),
    )
    assert said(found)[0][1].endswith(": moved by 4 days, as the site asks.")


def test_a_sighting_that_is_taken_back_is_the_reason() -> None:
    found = changed(
        buds_before=apple(stage("green tip", SEEN_ON, "seen"), stage("pink", date(2026, 5, 1))),
        buds_after=apple(stage("green tip", SEEN_ON, "past"), stage("pink", date(2026, 5, 2))),
    )
    assert said(found)[0][1].endswith(": green tip is no longer noted as seen.")


def test_a_job_whose_opening_moved_says_by_how_much_and_why() -> None:
    why = ("Opens 16 Mar: 5 days after apple green tip, seen 11 Mar.",)
    found = changed([due("prune", 1, 9, "coming")], [due("prune", 4, 9, "coming", because=why)])
    assert said(found) == [
        (
            "moved",
            "Do prune, Old Tom: moved 3 days later, now 16-21 Mar. "
            "Opens 16 Mar: 5 days after apple green tip, seen 11 Mar.",
        )
    ]


def test_a_note_of_a_template_is_never_taken_for_the_reason_of_an_end() -> None:
    why = (
        "Round 2 of 3, 7 days after the one before.",
        "Opens the door to canker.",
        "Adjusted for this site, by hand.",
    )
    found = changed([due("prune", 1, 9, "coming")], [due("prune", 4, 9, "coming", because=why)])
    assert said(found) == [
        ("moved", "Do prune, Old Tom: moved 3 days later, now 16-21 Mar. Round 2 of 3, 7 days after the one before.")
    ]


def test_a_window_that_is_open_on_both_days_counts_by_its_end() -> None:
    why = ("Opens 9 Mar.", "Closes 14 Mar: 3 days after it was set on 11 Mar.")
    found = changed([due("prune", -5, 9)], [due("prune", -3, 2, because=why, why_opens=why[0], why_closes=why[1])])
    assert said(found) == [
        (
            "moved",
            "Do prune, Old Tom: ends 7 days earlier, now 9-14 Mar. Closes 14 Mar: 3 days after it was set on 11 Mar.",
        )
    ]


def test_units_that_moved_by_different_days_say_up_to() -> None:
    before = (unit("g1", "coming", window=window(1, 9)), unit("g2", "coming", window=window(1, 9)))
    after = (unit("g1", "coming", window=window(2, 9)), unit("g2", "coming", window=window(5, 9)))
    found = changed([due("prune", 1, 9, "coming", units=before)], [due("prune", 2, 9, "coming", units=after)])
    assert "moved up to 4 days later" in said(found)[0][1]


def test_a_job_whose_time_has_come_is_new_this_week() -> None:
    job = due("prune", 6, 20, "coming")
    assert said(changed([job], [job])) == [("entered", "Do prune, Old Tom: its time has come, 18 Mar-1 Apr.")]


def test_a_job_of_a_new_record_is_a_new_job() -> None:
    found = changed([], [due("prune", 0, 9, because=("Opens 12 Mar: it was set on 12 Mar.",))])
    assert said(found) == [("entered", "Do prune, Old Tom: a new job, 12-21 Mar. Opens 12 Mar: it was set on 12 Mar.")]


def test_a_job_that_moved_out_of_the_week_left_it() -> None:
    found = changed([due("prune", 3, 30, "coming")], [due("prune", 20, 30, "coming")])
    assert said(found)[0][0] == "left"


def test_a_job_that_nothing_asks_for_any_more_is_told() -> None:
    found = changed([due("prune", 0, 9)], [])
    assert said(found) == [("left", "Do prune, Old Tom: no record or template asks for it any more.")]


def test_a_job_that_was_missed_is_told_once() -> None:
    missed = due("prune", -9, -1, "missed")
    assert said(changed([due("prune", -9, -1, "late")], [missed])) == [
        ("missed", "Do prune, Old Tom: its time ended 11 Mar.")
    ]
    assert said(changed([missed], [missed])) == []


def test_what_was_missed_is_told_the_worst_first_with_what_it_costs() -> None:
    jobs = [
        replace(due(name, -9, -1, "late"), stake=stake, loss=loss)
        for name, stake, loss in (("taste", "little", "it goes untasted"), ("brace", "graft", "a storm snaps it"))
    ]
    found = changed(jobs, [replace(job, state="missed") for job in jobs])
    graft, little = "a storm snaps it (the graft is at stake)", "it goes untasted (little is lost by it)"
    assert said(found) == [
        ("missed", f"Do brace, Old Tom: its time ended 11 Mar, with this at stake: {graft}."),
        ("missed", f"Do taste, Old Tom: its time ended 11 Mar, with this at stake: {little}."),
    ]
    assert changes_line(found, TODAY) == "Since yesterday: 2 jobs missed (Do brace: a storm snaps it)."


def test_what_the_person_ticked_is_not_told() -> None:
    assert said(changed([due("prune", 0, 9)], [due("prune", 0, 9, "done")])) == []


def test_of_the_rounds_of_a_job_only_the_first_is_told() -> None:
    rounds_before = [replace(due("water", 20 + at, 30, "coming"), key=f"water/t1/2026.{at}") for at in (2, 3)]
    rounds_after = [replace(due("water", 25 + at, 30, "coming"), key=f"water/t1/2026.{at}") for at in (2, 3)]
    assert [kind for kind, _ in said(changed(rounds_before, rounds_after))] == ["later"]


def test_without_a_change_the_line_says_so() -> None:
    job = due("prune", 0, 9)
    assert changes_line(changed([job], [job]), TODAY) == "Since yesterday: nothing has changed."


def test_the_page_has_a_heading_for_each_kind_and_wraps() -> None:
    text = changes_text(changed([due("prune", 0, 9)], [due("graft", 0, 9)]), TODAY, 40)
    assert text.index("New this week") < text.index("No longer this week")
    assert max(map(len, text.splitlines())) <= 40


def test_names_that_act_are_made_plain() -> None:
    found = changed([], [due("prune", 0, 9, title="Do\x1b[2J it", because=("\u202eback",))])
    assert not {"\x1b", "\u202e"} & set(said(found)[0][1])


def test_the_same_day_and_another_season_are_not_compared() -> None:
    now = Plan(TODAY, 2026, ())
    assert plan_diff(now, (), now, ()) is None
    assert plan_diff(Plan(YESTERDAY, 2025, ()), (), now, ()) is None
