"""The calendar file against RFC 5545, section by section, read by a strict reader of our own and by two libraries.

Sections are those of https://www.rfc-editor.org/rfc/rfc5545, 2009; NAME is RFC 7986, 5.1.
"""

from __future__ import annotations

import re
from datetime import date

import pytest
from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from output_jobs import CARDS, TODAY, busy_week, day, plan, task, unit, window
from strict_icalendar import Component, read_strictly

from tendwork.errors import PersonError
from tendwork.outputs.calendar import calendar_of
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.planning.results import Task

SITE = CalendarSite("Test hill", "Europe/London")
NASTY = "A [b], c; d \\ e\r\nEND:VEVENT\n漢字 é \u202e\x07 :\"'"


def written(*tasks: Task, week: tuple[Task, ...] = (), site: CalendarSite = SITE, today: date = TODAY) -> bytes:
    return calendar_of(events_of(plan(*tasks, today=today), week, site, CARDS), today, site)


def events(content: bytes) -> list[Component]:
    return read_strictly(content).named("VEVENT")


def only_event(*tasks: Task, week: tuple[Task, ...] = ()) -> Component:
    (event,) = events(written(*tasks, week=week))
    return event


def many(count: int) -> tuple[Task, ...]:
    return tuple(task(f"job-{number}", window=window(number, number + 9)) for number in range(count))


def test_3_6_a_calendar_has_one_prodid_and_one_version_and_a_component() -> None:
    calendar = read_strictly(written(task("a")))
    assert calendar.one("PRODID").value
    assert calendar.one("VERSION").value == "2.0"
    assert calendar.components


def test_3_7_2_there_is_no_method_so_nothing_asks_for_an_organizer() -> None:
    assert not read_strictly(written(task("a"))).all("METHOD")


def test_3_6_1_every_event_has_each_property_at_most_once_and_its_required_ones() -> None:
    for event in events(written(*busy_week())):
        names = [held.name for held in event.properties]
        assert len(names) == len(set(names))
        assert {"UID", "DTSTAMP", "DTSTART"} <= set(names)


def test_3_6_1_dtend_is_the_day_after_the_last_one_of_an_all_day_event() -> None:
    event = only_event(task("a", "coming", window=window(3, 9)))
    assert (event.one("DTSTART").value, event.one("DTEND").value) == ("20260315", "20260322")


def test_3_3_4_days_are_dates_and_say_so() -> None:
    event = only_event(task("a"))
    for name in ("DTSTART", "DTEND"):
        assert event.one(name).parameters == {"VALUE": "DATE"}
        assert re.fullmatch(r"\d{8}", event.one(name).value)


def test_3_6_1_a_job_placed_on_one_day_of_the_week_ends_on_the_next() -> None:
    event = only_event(task("a"), week=(task("a", days=((day(2), 20.0),)),))
    assert (event.one("DTSTART").value, event.one("DTEND").value) == ("20260314", "20260315")


def test_a_job_of_several_days_spans_them() -> None:
    event = only_event(task("a"), week=(task("a", days=((day(2), 20.0), (day(5), 20.0))),))
    assert (event.one("DTSTART").value, event.one("DTEND").value) == ("20260314", "20260318")


def test_a_late_job_without_a_day_spans_what_is_left_until_it_lapses() -> None:
    event = only_event(task("a", "late", window=window(-20, -3, 6)))
    assert (event.one("DTSTART").value, event.one("DTEND").value) == ("20260310", "20260319")


@pytest.mark.parametrize("state", ["done", "skipped", "missed"])
def test_a_job_that_is_over_has_no_event(state: str) -> None:
    assert len(events(written(task("a", state), task("b")))) == 1


@pytest.mark.parametrize("state", ["late", "closing", "open", "waiting", "coming"])
def test_a_job_that_is_to_do_has_an_event(state: str) -> None:
    assert len(events(written(task("a", state)))) == 1


def test_3_8_4_7_the_uid_stays_when_the_dates_move() -> None:
    before, after = (only_event(task("a", window=window(opens, opens + 9))).one("UID").value for opens in (0, 30))
    assert before == after


def test_3_8_4_7_the_uids_of_two_jobs_differ_and_so_do_those_of_two_orchards() -> None:
    uids = [event.one("UID").value for event in events(written(task("a"), task("b")))]
    uids += [event.one("UID").value for event in events(written(task("a"), site=CalendarSite("Other", "UTC")))]
    assert len(set(uids)) == 3


def test_3_8_7_2_and_3_8_7_3_the_stamps_are_utc_and_come_from_the_day_of_the_plan() -> None:
    event = only_event(task("a"))
    assert event.one("DTSTAMP").value == event.one("LAST-MODIFIED").value == "20260312T000000Z"


def test_3_8_1_11_the_status_is_one_that_an_event_may_have() -> None:
    assert only_event(task("a")).one("STATUS").value == "CONFIRMED"


def test_3_8_2_7_an_event_blocks_no_time() -> None:
    assert only_event(task("a")).one("TRANSP").value == "TRANSPARENT"


def test_3_8_1_2_the_part_of_the_year_is_the_category() -> None:
    assert only_event(task("a", part="second chance")).one("CATEGORIES").text == "second chance"


def test_3_6_6_every_alarm_is_a_display_alarm_with_its_words_and_one_trigger() -> None:
    alarms = only_event(task("a", "coming", window=window(3, 9))).named("VALARM")
    assert len(alarms) == 2
    for alarm in alarms:
        assert alarm.one("ACTION").value == "DISPLAY"
        assert alarm.one("DESCRIPTION").text.endswith("Do a, Old Tom")
        assert len(alarm.all("TRIGGER")) == 1


def test_3_8_6_3_an_absolute_trigger_says_its_type_and_is_in_utc() -> None:
    for alarm in only_event(task("a", "coming", window=window(3, 9))).named("VALARM"):
        assert alarm.one("TRIGGER").parameters == {"VALUE": "DATE-TIME"}
        assert re.fullmatch(r"\d{8}T\d{6}Z", alarm.one("TRIGGER").value)


def test_3_3_11_text_comes_back_as_it_was_but_for_what_acts() -> None:
    event = only_event(task("a", title=NASTY, place="x;y,z\\n"))
    assert event.one("SUMMARY").text == "A [b], c; d \\ e  END:VEVENT 漢字 é ?␇ :\"', x;y,z\\n"
    assert event.one("LOCATION").text == "x;y,z\\n"


def test_rfc_7986_5_1_the_name_of_the_orchard_is_escaped_too() -> None:
    site = CalendarSite("Hill, farm; \\ [x]\nEND:VCALENDAR", "Europe/London")
    assert read_strictly(written(task("a"), site=site)).one("NAME").text == "Hill, farm; \\ [x] END:VCALENDAR"


def test_the_description_holds_steps_units_cautions_reasons_and_who_decides() -> None:
    grafts = (unit("g1", place="2.5 m up", above_reach=True), unit("g2", "done"))
    text = (
        only_event(task("a", units=grafts, steps=("Look.", "Cut."), cautions=("ladder",), because=("opens 9 Mar: so",)))
        .one("DESCRIPTION")
        .text
    )
    lines = text.split("\n")
    assert "- Variety g1 (g1), 2.5 m up, above reach" in lines
    assert not [line for line in lines if "g2" in line]
    assert lines.index("1. Look.") + 1 == lines.index("2. Cut.")
    assert f"Caution, Ladders: {CARDS['ladder'].line}" in lines
    assert [line for line in lines if "local codes" in line]
    assert "Why: Opens 9 Mar: so." in lines


def test_places_are_in_feet_where_the_site_says_so() -> None:
    site = CalendarSite("Test hill", "America/New_York", units="us")
    job = task("a", units=(unit("g1", place="2.5 m up"),), weather_words="at least 10 °C")
    (event,) = events(written(job, site=site))
    assert "8.2 ft up" in event.one("DESCRIPTION").text
    assert "50 °F" in event.one("DESCRIPTION").text


def test_three_hundred_jobs_are_read_strictly_and_by_the_library() -> None:
    import icalendar

    content = written(*many(300))
    assert len(events(content)) == 300
    assert len(icalendar.Calendar.from_ical(content).walk("VEVENT")) == 300


def test_a_second_library_reads_the_same_uids() -> None:
    vobject = pytest.importorskip("vobject")
    content = written(task("a", title=NASTY), *busy_week())
    read = vobject.readOne(content.decode())
    assert sorted(event.uid.value for event in read.vevent_list) == sorted(
        event.one("UID").value for event in events(content)
    )


def test_a_second_library_reads_the_same_summary_and_days() -> None:
    vobject = pytest.importorskip("vobject")
    content = written(task("a", "coming", title="Cut; [wood], \\ é", window=window(3, 9)))
    event = vobject.readOne(content.decode()).vevent
    assert event.summary.value == "Cut; [wood], \\ é, Old Tom"
    assert (event.dtstart.value, event.dtend.value) == (date(2026, 3, 15), date(2026, 3, 22))


def test_a_plan_without_a_job_to_do_is_refused_since_3_4_asks_for_a_component() -> None:
    with pytest.raises(PersonError, match="nothing to put into a calendar"):
        written(task("a", "done"))


def test_events_stand_in_the_order_of_their_days() -> None:
    jobs = (task("b", window=window(4, 9)), task("a", window=window(-2, 9)), task("c", window=window(1, 9)))
    days = [event.one("DTSTART").value for event in events(written(*jobs))]
    assert days == ["20260310", "20260313", "20260316"]


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert written(*busy_week()) == written(*busy_week())


@examples(30)
@given(title=st.text(max_size=200), key=st.text(max_size=20), name=st.text(min_size=1, max_size=40), label=st.text())
def test_no_text_of_a_person_can_break_the_file(title: str, key: str, name: str, label: str) -> None:
    site = CalendarSite(name, "Europe/London")
    job = task("a", title=title, key=f"a/{key}/2026", place=label, units=(unit("g1", label=label),))
    content = written(job, site=site)
    assert len(events(content)) == 1
    assert calendar_of(events_of(plan(job), (), site, CARDS), TODAY, site, content) == content
