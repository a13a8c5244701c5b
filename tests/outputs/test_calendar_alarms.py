"""Alarms ring at the site's time to remind, on the mornings on which the clocks change as on all others.

The hours are worked by hand from the rules of the IANA time zone database (file tzdata.zi, release 2026):
"R E 1981 ma - Mar lastSu 1u" and "R E 1996 ma - O lastSu 1u" for Europe/London, in 2026 Sunday 29 March and
25 October; "R u 2007 ma - Mar Su>=8 2" and "R u 2007 ma - N Su>=1 2" for America/New_York, 8 March and 1 November;
"R NZ 2007 ma - S lastSu 2s" for Pacific/Auckland, 27 September.
"""

from __future__ import annotations

from datetime import date

import pytest
from output_jobs import CARDS, day, plan, task, window
from strict_icalendar import read_strictly

from tendwork.outputs.calendar import calendar_of
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.planning.results import Task, Window


def triggers(job: Task, site: CalendarSite, today: date) -> list[str]:
    content = calendar_of(events_of(plan(job, today=today), (), site, CARDS), today, site)
    (event,) = read_strictly(content).named("VEVENT")
    return [alarm.one("TRIGGER").value for alarm in event.named("VALARM")]


def opening(zone: str, on: date, at: str = "06:30") -> str:
    """The trigger of the morning of opening of a job of one day."""
    job = task("a", "coming", window=Window(on, on, on, on))
    (trigger,) = triggers(job, CalendarSite("Test hill", zone, at), on)
    return trigger


@pytest.mark.parametrize(
    ("zone", "on", "utc"),
    [
        ("Europe/London", date(2026, 3, 28), "20260328T063000Z"),
        ("Europe/London", date(2026, 3, 29), "20260329T053000Z"),
        ("Europe/London", date(2026, 3, 30), "20260330T053000Z"),
        ("Europe/London", date(2026, 10, 24), "20261024T053000Z"),
        ("Europe/London", date(2026, 10, 25), "20261025T063000Z"),
        ("Europe/London", date(2026, 10, 26), "20261026T063000Z"),
        ("America/New_York", date(2026, 3, 7), "20260307T113000Z"),
        ("America/New_York", date(2026, 3, 8), "20260308T103000Z"),
        ("America/New_York", date(2026, 3, 9), "20260309T103000Z"),
        ("America/New_York", date(2026, 10, 31), "20261031T103000Z"),
        ("America/New_York", date(2026, 11, 1), "20261101T113000Z"),
        ("America/New_York", date(2026, 11, 2), "20261102T113000Z"),
        ("Pacific/Auckland", date(2026, 9, 26), "20260925T183000Z"),
        ("Pacific/Auckland", date(2026, 9, 27), "20260926T173000Z"),
    ],
)
def test_half_past_six_is_half_past_six_around_the_change_of_the_clocks(zone: str, on: date, utc: str) -> None:
    assert opening(zone, on) == utc


def test_rfc_5545_3_3_5_a_time_that_is_skipped_is_read_with_the_offset_before_the_gap() -> None:
    assert opening("America/New_York", date(2026, 3, 8), "02:30") == "20260308T073000Z"


def test_rfc_5545_3_3_5_a_time_that_comes_twice_is_its_first() -> None:
    assert opening("America/New_York", date(2026, 11, 1), "01:30") == "20261101T053000Z"


LONDON = CalendarSite("Test hill", "Europe/London", "07:15")


def test_a_job_rings_on_the_morning_of_opening_and_two_days_before_closing() -> None:
    job = task("a", "coming", window=window(3, 9))
    assert triggers(job, LONDON, day(0)) == ["20260315T071500Z", "20260319T071500Z"]


def test_a_job_that_the_week_has_placed_rings_on_the_morning_of_its_day() -> None:
    job = task("a", window=window(-3, 9), days=((day(2), 20.0),))
    assert triggers(job, LONDON, day(0)) == ["20260314T071500Z", "20260319T071500Z"]


@pytest.mark.parametrize("length", [0, 1, 2])
def test_a_short_window_rings_once(length: int) -> None:
    assert triggers(task("a", "coming", window=window(3, 3 + length)), LONDON, day(0)) == ["20260315T071500Z"]


def test_a_late_job_is_warned_of_before_it_lapses() -> None:
    job = task("a", "late", window=window(-20, -1, 9), days=((day(0), 20.0),))
    assert triggers(job, LONDON, day(0)) == ["20260312T071500Z", "20260319T071500Z"]


def test_no_alarm_is_written_for_a_morning_of_an_earlier_day() -> None:
    assert triggers(task("a", window=window(-3, 9)), LONDON, day(0)) == ["20260319T071500Z"]


def test_the_alarm_of_today_stays_where_the_morning_falls_on_the_utc_day_before() -> None:
    job = task("a", "coming", window=window(0, 1))
    assert triggers(job, CalendarSite("Test hill", "Pacific/Auckland"), day(0)) == ["20260311T173000Z"]
