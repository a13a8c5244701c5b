"""The week day by day in words."""

from __future__ import annotations

from datetime import timedelta

from jobs import TODAY, task
from msgspec.structs import replace

from tendwork.planning.results import FittedDay, FittedWeek, Short
from tendwork.view.days import day_sentence, day_visits, days_text

WEEK = FittedWeek(
    tasks=(task("prune", days=((TODAY, 20.0),)), task("graft", days=((TODAY + timedelta(days=1), 40.0),))),
    days=(
        FittedDay(TODAY, 30, 20, 5),
        FittedDay(TODAY + timedelta(days=1), 240, 40),
        FittedDay(TODAY + timedelta(days=2), 0, 0),
    ),
    short=(Short("prune/t1/2026", 20, TODAY, "20 more minutes on 12 Mar would do."),),
)


def test_a_day_has_the_jobs_that_are_placed_on_it() -> None:
    visits = day_visits(WEEK.tasks, TODAY, TODAY)
    assert [(visit.first.template, minutes) for visit, minutes in visits] == [("prune", 20.0)]


def test_a_day_says_what_is_planned_of_the_time_given_and_what_is_done() -> None:
    assert day_sentence(WEEK, TODAY) == "Thu 12 Mar 2026: 20 min of 30 min, 5 min done"


def test_a_day_without_time_says_so() -> None:
    assert day_sentence(WEEK, TODAY + timedelta(days=2)).endswith("no time given")


def test_what_comes_short_is_said_at_the_end() -> None:
    text = days_text(WEEK, 80)
    said = "  - Do prune, Old Tom, does not fit; 20 more minutes on 12 Mar would do."
    assert text.index("By day") < text.index("Comes short") < text.index(said)


def test_every_job_that_does_not_fit_is_named_also_where_no_minutes_would_help() -> None:
    barred = Short("graft/t1/2026", 40, TODAY, "No day until 12 Mar has the weather that it needs.")
    gone = Short("gone/t1/2026", 5, TODAY, "5 more minutes on 12 Mar would do.")
    lines = days_text(replace(WEEK, short=(*WEEK.short, barred, gone)), 100).splitlines()[-2:]
    assert lines == [
        "  - Do graft, Old Tom, does not fit; no day until 12 Mar has the weather that it needs.",
        "  - gone/t1/2026 does not fit; 5 more minutes on 12 Mar would do.",
    ]
