"""The week under headings: by urgency, and day by day with its hours."""

from __future__ import annotations

from datetime import timedelta

from jobs import TODAY, task, unit
from msgspec.structs import replace

from tendwork.planning.results import FittedDay, FittedWeek, Short
from tendwork.view.sections import day_sections, hours_words, planned_words, short_line, urgency_sections

TOMORROW = TODAY + timedelta(days=1)
PRUNE = task("prune", days=((TODAY, 20.0),))
SPLIT = task(
    "graft",
    days=((TODAY, 10.0), (TOMORROW, 5.0)),
    units=(unit("g1", planned=TODAY), unit("g2", planned=TODAY), unit("g3", planned=TOMORROW)),
)
TAPE = task("tape", "late", stake="graft")
WAITING = task("wait", "waiting")
DONE = task("rake", "done")
SHORT = task("thin", "closing")
WEEK = FittedWeek(
    (PRUNE, SPLIT, WAITING, DONE, SHORT),
    (FittedDay(TODAY, 60, 30), FittedDay(TOMORROW, 240, 5)),
    (Short("thin/t1/2026", 40, TOMORROW, "40 more minutes on 13 Mar would do."),),
)


def test_what_comes_short_stands_above_the_days_with_the_minutes_that_lack() -> None:
    first = day_sections(WEEK, WEEK.tasks, TODAY)[0]
    assert (first.name, [row.until for row in first.rows]) == ("Comes short", ["40 min short"])
    assert first.state == "late"


def test_every_day_has_its_heading_and_today_is_first() -> None:
    names = [section.name for section in day_sections(WEEK, WEEK.tasks, TODAY)]
    assert names[1:3] == ["Today, Thu 12 Mar", "Fri 13 Mar"]


def test_a_split_job_stands_under_each_of_its_days_with_its_minutes_there() -> None:
    today, tomorrow = day_sections(WEEK, WEEK.tasks, TODAY)[1:3]
    assert [(row.title, row.minutes, row.until) for row in (today.rows[0], tomorrow.rows[0])] == [
        ("Do graft", 10.0, "2 of 3 here"),
        ("Do graft", 5.0, "1 of 3 here"),
    ]


def test_within_a_day_the_worst_stands_first() -> None:
    tape = replace(TAPE, days=((TODAY, 5.0),))
    week = replace(WEEK, tasks=(PRUNE, tape), short=())
    assert [row.title for row in day_sections(week, week.tasks, TODAY)[0].rows] == ["Do tape", "Do prune"]


def test_no_job_of_the_week_is_lost_in_the_arrangement_by_day() -> None:
    shown = {row.key for section in day_sections(WEEK, WEEK.tasks, TODAY) for row in section.rows}
    assert shown == {job.key for job in WEEK.tasks}


def test_a_filter_leaves_the_days_and_only_its_jobs() -> None:
    sections = day_sections(WEEK, (PRUNE,), TODAY)
    assert [(section.name, len(section.rows)) for section in sections] == [("Today, Thu 12 Mar", 1), ("Fri 13 Mar", 0)]


def test_hours_say_what_is_planned_done_and_free_and_never_more_than_the_day_has() -> None:
    assert hours_words(FittedDay(TODAY, 60, 30.5, 10)) == "31 min planned, 10 min done, 19 min free"


def test_a_day_without_room_is_full_and_one_without_time_says_so() -> None:
    assert (hours_words(FittedDay(TODAY, 30, 29.5)), hours_words(FittedDay(TODAY, 0, 0))) == (
        "30 min planned, full",
        "no time given",
    )


def test_the_line_says_what_comes_short_and_what_would_free_it() -> None:
    assert short_line(WEEK) == "Do thin, Old Tom, does not fit; 40 more minutes on 13 Mar would do."


def test_the_line_counts_what_comes_short_besides() -> None:
    assert short_line(replace(WEEK, short=WEEK.short * 3)).endswith(" would do. 2 more jobs do not fit.")
    assert short_line(replace(WEEK, short=WEEK.short * 2)).endswith(" would do. 1 more job does not fit.")


def test_where_all_fits_there_is_no_line() -> None:
    assert short_line(replace(WEEK, short=())) == ""


def test_a_job_says_its_days() -> None:
    assert planned_words(SPLIT, TODAY) == "Planned for today, 10 min; Fri 13 Mar, 5 min"


def test_by_urgency_each_heading_counts_its_jobs_and_minutes() -> None:
    sections = urgency_sections((PRUNE, SPLIT), TODAY)
    assert [(section.name, section.said) for section in sections] == [("Open now", "2 jobs, 40 min")]
