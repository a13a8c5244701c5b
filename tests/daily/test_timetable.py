"""When a job is due while the clocks change, worked by hand from the published rules, and on every day of a year.

The rules are those of the IANA time zone database (file tzdata.zi, release 2026f), each named beside its check.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from tendwork.daily.timetable import Timetable

DAY = timedelta(days=1)


def due(zone: str, on: date, at: str) -> str:
    """The moment, in UTC, from which a job is due on a day, asked at noon there."""
    noon = datetime(on.year, on.month, on.day, 12, tzinfo=ZoneInfo(zone))
    return f"{Timetable(zone, {'sheet': at}).next_due('sheet', noon):%Y-%m-%d %H:%M}"


@pytest.mark.parametrize(
    ("zone", "on", "at", "utc"),
    [
        # "R E 1981 ma - Mar lastSu 1u 1 S" and "R E 1996 ma - O lastSu 1u 0 -"
        ("Europe/London", date(2026, 3, 29), "06:30", "2026-03-29 05:30"),
        ("Europe/London", date(2026, 3, 29), "01:30", "2026-03-29 01:30"),  # there is no 01:30; it is 02:30 by then
        ("Europe/London", date(2026, 10, 25), "01:30", "2026-10-25 00:30"),  # the first of two
        ("Europe/London", date(2026, 10, 25), "06:30", "2026-10-25 06:30"),
        # "R NZ 2007 ma - S lastSu 2s 1 D" and "R NZ 2008 ma - Ap Su>=1 2s 0 S", on 12 h
        ("Pacific/Auckland", date(2026, 9, 27), "06:30", "2026-09-26 17:30"),
        ("Pacific/Auckland", date(2026, 9, 27), "02:30", "2026-09-26 14:30"),
        ("Pacific/Auckland", date(2026, 4, 5), "02:30", "2026-04-04 13:30"),
        ("Pacific/Auckland", date(2026, 4, 5), "06:30", "2026-04-04 18:30"),
        # "R LH 2008 ma - O Su>=1 2 0:30 -" and "R LH 2008 ma - Ap Su>=1 2 0 -", on 10 h 30 min
        ("Australia/Lord_Howe", date(2026, 10, 4), "02:10", "2026-10-03 15:40"),
        ("Australia/Lord_Howe", date(2026, 10, 4), "06:30", "2026-10-03 19:30"),
        ("Australia/Lord_Howe", date(2026, 4, 5), "01:40", "2026-04-04 14:40"),
        ("Australia/Lord_Howe", date(2026, 4, 5), "06:30", "2026-04-04 20:00"),
        # "R Q 2013 2026 - Mar Su>=8 0s 1 D", on -5 h: the day begins at 01:00
        ("America/Havana", date(2026, 3, 8), "00:00", "2026-03-08 05:00"),
        ("America/Havana", date(2026, 3, 8), "00:30", "2026-03-08 05:30"),
        # "R l 1993 ma - Mar lastSu 0 1 S", on 2 h
        ("Asia/Beirut", date(2026, 3, 29), "00:00", "2026-03-28 22:00"),
        # "-11 WS %z 2011 D 29 24" and then "13 WS %z": there was no 30 December
        ("Pacific/Apia", date(2011, 12, 31), "06:30", "2011-12-30 16:30"),
        # never changed, and a quarter of an hour off
        ("Asia/Kathmandu", date(2026, 3, 29), "06:30", "2026-03-29 00:45"),
    ],
)
def test_a_job_is_due_where_the_published_rules_put_its_time(zone: str, on: date, at: str, utc: str) -> None:
    assert due(zone, on, at) == utc


@pytest.mark.parametrize(
    ("zone", "on", "hours"),
    [
        ("Europe/London", date(2026, 3, 29), 23),
        ("Europe/London", date(2026, 10, 25), 25),
        ("Pacific/Auckland", date(2026, 4, 5), 25),
        ("Pacific/Auckland", date(2026, 9, 27), 23),
        ("Australia/Lord_Howe", date(2026, 4, 5), 24.5),
        ("Australia/Lord_Howe", date(2026, 10, 4), 23.5),
    ],
)
def test_days_of_23_and_25_hours_are_so_long_from_plan_to_plan(zone: str, on: date, hours: float) -> None:
    table = Timetable(zone, {"plan": "00:00"})
    noon = datetime(on.year, on.month, on.day, 12, tzinfo=ZoneInfo(zone))
    assert table.next_due("plan", noon, [on]) - table.next_due("plan", noon) == timedelta(hours=hours)


@pytest.mark.parametrize(
    "zone",
    ["Europe/London", "America/New_York", "Asia/Beirut", "Africa/Cairo", "Australia/Lord_Howe", "Asia/Kathmandu"],
)
@pytest.mark.parametrize("at", ["00:00", "00:30", "02:10", "06:30", "23:59"])
def test_on_every_day_of_a_year_a_job_is_due_once_and_on_that_day(zone: str, at: str) -> None:
    place, table = ZoneInfo(zone), Timetable(zone, {"sheet": at})
    now = datetime(2026, 1, 1, 12, tzinfo=UTC)
    for number in range(365):
        day = date(2026, 1, 1) + number * DAY
        due_at = table.next_due("sheet", now + number * DAY)
        assert due_at.astimezone(place).date() == day
        assert due_at == datetime.combine(day, time.fromisoformat(at), place).astimezone(UTC)


def test_a_job_that_was_begun_today_is_due_on_the_next_day_on_which_it_was_not() -> None:
    table = Timetable("Europe/London", {"sheet": "06:30"})
    now = datetime(2026, 3, 28, 12, tzinfo=UTC)
    assert table.next_due("sheet", now, [date(2026, 3, 28)]) == datetime(2026, 3, 29, 5, 30, tzinfo=UTC)
    # The clock was set back after two days.
    begun = [date(2026, 3, 28), date(2026, 3, 29), date(2026, 3, 30)]
    assert table.next_due("sheet", now, begun) == datetime(2026, 3, 31, 5, 30, tzinfo=UTC)


def test_a_job_is_due_from_its_time_until_it_is_begun_or_the_day_is_over() -> None:
    table = Timetable("Europe/London", {"sheet": "06:30"})
    day = datetime(2026, 5, 5, tzinfo=ZoneInfo("Europe/London"))
    minutes = [(6, 29), (6, 30), (23, 59)]
    assert [table.is_due("sheet", day.replace(hour=hour, minute=minute)) for hour, minute in minutes] == [
        False,
        True,
        True,
    ]
    assert not table.is_due("sheet", day + DAY)
    assert not table.is_due("sheet", day.replace(hour=12), [day.date()])


def test_a_time_that_came_once_stays_come_while_the_clock_shows_the_hour_again() -> None:
    table = Timetable("Europe/London", {"sheet": "01:30"})
    second_ten_past_one = datetime(2026, 10, 25, 1, 10, tzinfo=UTC)
    assert table.is_due("sheet", second_ten_past_one)
