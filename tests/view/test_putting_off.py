"""The days to which jobs can be left, and where a job stands that was left or has its last day."""

from __future__ import annotations

from datetime import timedelta

from jobs import TODAY, task, window

from tendwork.planning.results import FittedDay, FittedWeek
from tendwork.view.putting_off import MOST_DAYS, day_choices
from tendwork.view.week import next_sentence, to_do_words, week_groups
from tendwork.view.words import until_words

DAY = timedelta(days=1)


def names(*jobs) -> list[str]:
    return [group.name for group in week_groups(jobs, TODAY)]


def test_the_days_end_with_the_first_that_lapses() -> None:
    days = day_choices((task("a", window=window(-3, 2, 5)), task("b", window=window(-3, 9))), None, TODAY)
    assert [choice.day for choice in days] == [TODAY + step * DAY for step in range(6)]


def test_no_more_than_four_weeks_are_offered() -> None:
    assert len(day_choices((task("a", window=window(-3, 99)),), None, TODAY)) == MOST_DAYS


def test_a_job_that_has_lapsed_has_no_day() -> None:
    assert day_choices((task("a", "missed", window=window(-9, -3)),), None, TODAY) == ()


def test_each_day_says_what_speaks_against_it() -> None:
    job = task("a", "coming", window=window(1, 2, 3), unsuited=(TODAY + 2 * DAY,))
    days = day_choices((job,), None, TODAY)
    assert [(choice.said, choice.hinders) for choice in days] == [
        ("before its time", True),
        ("", False),
        ("not its weather; its last day in time", True),
        ("late by then; the last day that it is worth doing", True),
    ]


def test_of_several_jobs_it_is_counted_how_many_a_day_hinders() -> None:
    jobs = (task("a", window=window(-3, 0, 9)), task("b", window=window(-3, 0, 9)), task("c", window=window(-3, 9)))
    assert day_choices(jobs, None, TODAY)[1].said == "late by then for 2 jobs"


def test_the_hours_of_the_week_stand_beside_its_days() -> None:
    week = FittedWeek((), (FittedDay(TODAY, 60, 15),), ())
    assert day_choices((task("a", window=window(-3, 9)),), week, TODAY)[0].said == "15 min planned, 45 min free"


def test_a_job_that_was_put_off_stands_in_its_own_group_and_is_not_next() -> None:
    left, other = task("a", "late", put_off=TODAY + DAY, window=window(-9, -3, 9)), task("b")
    assert names(left, other) == ["Open now", "Put off"]
    assert next_sentence((left, other), TODAY).startswith("Do b")
    assert to_do_words((left, other), TODAY) == "1 job, 20 min"
    assert week_groups((left,), TODAY)[0].rows[0].until == "to Fri 13 Mar"


def test_until_when_a_job_is_put_off_stands_with_its_window() -> None:
    left = task("a", put_off=TODAY + DAY, window=window(-3, 9))
    assert until_words(left, TODAY) == "until Sat 21 Mar, 9 days left, put off to Fri 13 Mar"


def test_with_all_put_off_the_next_sentence_says_until_when() -> None:
    left = task("a", put_off=TODAY + DAY)
    assert next_sentence((left,), TODAY) == "Nothing to do today; Do a, Old Tom, was put off to Fri 13 Mar."


def test_a_job_whose_last_day_it_is_stands_before_a_late_one_that_can_wait() -> None:
    late, last = task("a", "late", window=window(-9, -3, 9)), task("b", "closing", window=window(-9, 0))
    assert names(late, last) == ["Pressing: this year's chance"]
    assert next_sentence((late, last), TODAY).startswith("Do b")


def test_a_late_job_that_lapses_today_stands_before_one_that_closes_tomorrow() -> None:
    closes, lapses = task("a", "closing", window=window(-9, 1)), task("b", "late", window=window(-9, -3, 0))
    assert next_sentence((closes, lapses), TODAY).startswith("Do b")


def test_of_late_jobs_the_one_that_lapses_first_stands_first() -> None:
    jobs = (task("a", "late", window=window(-9, -5, 9)), task("b", "late", window=window(-9, -3, 2)))
    assert [row.title for row in week_groups(jobs, TODAY)[0].rows] == ["Do b", "Do a"]
