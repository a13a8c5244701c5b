"""A calendar written over the one before: the same jobs change nothing, changed ones count on, gone ones are cancelled.

Sections are those of RFC 5545, https://www.rfc-editor.org/rfc/rfc5545.
"""

from __future__ import annotations

from datetime import date, timedelta

import msgspec
import pytest
from output_jobs import CARDS, TODAY, busy_week, day, plan, task, window
from strict_icalendar import Component, read_strictly

from tendwork.errors import PersonError
from tendwork.outputs.calendar import calendar_of
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.planning.results import Task

SITE = CalendarSite("Test hill", "Europe/London")
TOMORROW = day(1)


def written(*tasks: Task, today: date = TODAY, before: bytes = b"", site: CalendarSite = SITE) -> bytes:
    return calendar_of(events_of(plan(*tasks, today=today), (), site, CARDS), today, site, before)


def only_event(content: bytes) -> Component:
    (event,) = read_strictly(content).named("VEVENT")
    return event


def sequence(content: bytes) -> int:
    return int(only_event(content).one("SEQUENCE").value)


def stamps(content: bytes) -> list[str]:
    event = only_event(content)
    return [event.one(name).value for name in ("SEQUENCE", "DTSTAMP", "LAST-MODIFIED")]


AT_FIRST = task("a", "coming", window=window(10, 20))
MOVED = msgspec.structs.replace(AT_FIRST, window=window(12, 20))


def test_written_again_on_the_same_day_it_is_the_same_byte_for_byte() -> None:
    first = written(*busy_week())
    assert written(*busy_week(), before=first) == first


def test_written_again_on_another_day_an_event_that_is_the_same_stays_as_it_is() -> None:
    first = written(AT_FIRST)
    assert written(AT_FIRST, today=day(5), before=first) == first


def test_an_alarm_that_has_rung_goes_without_a_revision() -> None:
    first = written(AT_FIRST)
    later = written(msgspec.structs.replace(AT_FIRST, state="open"), today=day(11), before=first)
    assert stamps(later) == stamps(first)
    assert (len(only_event(first).named("VALARM")), len(only_event(later).named("VALARM"))) == (2, 1)


def test_3_8_7_4_the_sequence_is_0_on_the_first_day_of_the_season() -> None:
    assert sequence(written(AT_FIRST, today=date(2025, 11, 1))) == 0


def test_3_8_7_4_the_season_of_the_south_begins_in_may() -> None:
    site = msgspec.structs.replace(SITE, south=True)
    assert sequence(written(AT_FIRST, today=date(2026, 5, 4), site=site)) == 3


def test_3_8_7_4_the_sequence_grows_when_the_dates_move() -> None:
    first = written(AT_FIRST)
    assert sequence(written(MOVED, today=TOMORROW, before=first)) > sequence(first)


def test_3_8_7_4_the_sequence_grows_at_each_of_two_changes_of_one_day() -> None:
    first = written(AT_FIRST)
    second = written(MOVED, before=first)
    third = written(AT_FIRST, before=second)
    assert sequence(first) < sequence(second) < sequence(third)


def test_3_8_7_4_the_sequence_goes_on_where_the_file_before_was_lost() -> None:
    assert sequence(written(MOVED, today=TOMORROW)) > sequence(written(AT_FIRST))


def test_3_8_7_2_and_3_8_7_3_a_changed_event_is_stamped_with_the_day_of_the_change() -> None:
    changed = only_event(written(MOVED, today=TOMORROW, before=written(AT_FIRST)))
    assert changed.one("DTSTAMP").value == changed.one("LAST-MODIFIED").value == "20260313T000000Z"


def test_a_plan_for_an_earlier_day_never_takes_the_stamps_back() -> None:
    changed = only_event(written(MOVED, before=written(AT_FIRST, today=TOMORROW)))
    assert changed.one("DTSTAMP").value == "20260313T000000Z"


def test_a_changed_event_keeps_its_uid() -> None:
    first = written(AT_FIRST)
    uids = {only_event(content).one("UID").value for content in (first, written(MOVED, before=first))}
    assert len(uids) == 1


@pytest.mark.parametrize("left", [(), (msgspec.structs.replace(AT_FIRST, state="done"),)], ids=["gone", "done"])
def test_3_8_1_11_an_event_whose_job_is_done_or_gone_is_cancelled(left: tuple[Task, ...]) -> None:
    first = written(AT_FIRST)
    cancelled = only_event(written(*left, today=TOMORROW, before=first))
    assert cancelled.one("STATUS").value == "CANCELLED"
    assert cancelled.one("UID").value == only_event(first).one("UID").value
    assert int(cancelled.one("SEQUENCE").value) > sequence(first)


def test_3_6_1_a_cancelled_event_keeps_its_days_and_rings_no_more() -> None:
    first = only_event(written(AT_FIRST))
    cancelled = only_event(written(before=written(AT_FIRST)))
    for name in ("DTSTART", "DTEND", "SUMMARY"):
        assert cancelled.one(name) == first.one(name)
    assert not cancelled.named("VALARM")


def test_a_cancelled_event_written_again_is_the_same_byte_for_byte() -> None:
    cancelled = written(before=written(AT_FIRST))
    assert written(today=day(30), before=cancelled) == cancelled


def test_a_job_that_comes_back_is_confirmed_with_a_higher_sequence() -> None:
    cancelled = written(before=written(AT_FIRST))
    back = written(AT_FIRST, before=cancelled)
    assert only_event(back).one("STATUS").value == "CONFIRMED"
    assert sequence(back) > sequence(cancelled)


def test_a_cancelled_event_is_forgotten_after_a_year() -> None:
    cancelled = written(before=written(AT_FIRST))
    other = task("b", "coming", window=window(400, 410))
    kept, forgotten = (
        read_strictly(written(other, today=TODAY + timedelta(days=days), before=cancelled)).named("VEVENT")
        for days in (366, 367)
    )
    assert (len(kept), len(forgotten)) == (2, 1)


def test_a_blank_file_counts_as_none() -> None:
    assert written(AT_FIRST, before=b"\r\n") == written(AT_FIRST)


@pytest.mark.parametrize(
    "other",
    [b"dear diary", b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//somebody else//EN\r\nEND:VCALENDAR\r\n"],
    ids=["no calendar", "another's calendar"],
)
def test_a_file_that_is_not_ours_is_refused(other: bytes) -> None:
    with pytest.raises(PersonError, match="did not write"):
        written(AT_FIRST, before=other)


def test_the_calendar_of_another_orchard_is_refused() -> None:
    with pytest.raises(PersonError, match="another orchard"):
        written(AT_FIRST, before=written(AT_FIRST, site=CalendarSite("Other", "Europe/London")))


def test_a_file_cut_short_anywhere_is_refused() -> None:
    whole = written(AT_FIRST)
    end = whole.index(b"END:VCALENDAR")
    for cut in range(1, end, 3):
        with pytest.raises(PersonError):
            calendar_of((), TODAY, SITE, whole[:cut])


@pytest.mark.parametrize(
    ("name", "instead"),
    [
        ("DTSTART", "DTSTART:20260401T000000Z"),
        ("LAST-MODIFIED", "LAST-MODIFIED:20260401T000000"),
        ("SEQUENCE", "SEQUENCE:186000000000"),
        ("SEQUENCE", "SEQUENCE:-5"),
    ],
)
def test_a_value_that_this_program_never_writes_makes_it_a_damaged_calendar(name: str, instead: str) -> None:
    lines = written(AT_FIRST).decode().split("\r\n")
    damaged = "\r\n".join(instead if line.startswith(name) else line for line in lines)
    with pytest.raises(PersonError, match="is a damaged calendar"):
        written(MOVED, before=damaged.encode())


def test_a_byte_that_is_no_text_makes_it_a_damaged_calendar_like_any_other_damage() -> None:
    damaged = written(AT_FIRST).replace(b"SUMMARY:", b"SUMMARY:\xff")
    with pytest.raises(PersonError, match=r"is a damaged calendar\. Nothing was changed; remove it") as told:
        written(MOVED, before=damaged)
    assert "Save it again" not in str(told.value)
