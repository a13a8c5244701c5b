"""The week day by day in words."""

from __future__ import annotations

from datetime import timedelta

from jobs import TODAY, task

from tendwork.planning.results import FittedDay, FittedWeek, Short
from tendwork.view.days import day_jobs, day_sentence, days_text

WEEK = FittedWeek(
    tasks=(task("prune", days=((TODAY, 20.0),)), task("graft", days=((TODAY + timedelta(days=1), 40.0),))),
    days=(
        FittedDay(TODAY, 30, 20, 5),
        FittedDay(TODAY + timedelta(days=1), 240, 40),
        FittedDay(TODAY + timedelta(days=2), 0, 0),
    ),
    short=(Short("prune/t1/2026", 20, TODAY, "Prune lacks 20 min by Thu 12 Mar."),),
)


def test_a_day_has_the_jobs_that_are_placed_on_it() -> None:
    assert [(job.template, minutes) for job, minutes in day_jobs(WEEK, TODAY)] == [("prune", 20.0)]


def test_a_day_says_what_is_planned_of_the_time_given_and_what_is_done() -> None:
    assert day_sentence(WEEK, TODAY) == "Thu 12 Mar 2026: 20 min of 30 min, 5 min done"


def test_a_day_without_time_says_so() -> None:
    assert day_sentence(WEEK, TODAY + timedelta(days=2)).endswith("no time given")


def test_what_comes_short_is_said_at_the_end() -> None:
    text = days_text(WEEK, 80)
    assert text.index("By day") < text.index("Comes short") < text.index("Prune lacks 20 min")
