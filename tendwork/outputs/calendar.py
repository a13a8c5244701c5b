"""Visits and jobs as an iCalendar file (RFC 5545), which replaces the one before without leaving anything behind.

The file written before is read again: an event whose content is the same keeps its stamps, so that importing it again
changes nothing; a changed one counts on; one whose job is done or gone is cancelled, for a calendar that has it.

- No METHOD: then DTSTAMP says when the event was last revised (3.8.7.2), and nothing asks for an ORGANIZER.
- Stamps are midnights (UTC) of the day of the plan, never the clock: the same plan gives the same bytes.
- SEQUENCE counts the days from the start of the job's season to its last revision, and one more for each further
  revision of that day. It grows with every revision (3.8.7.4) even where the file before was lost.
- The event of a visit is named by the visit's key and the season ("aftercare/t1", 2026): neither by its day, which the
  weather moves, nor by its first part, which a tick takes away. Of these and of the part that opened first it changes
  least from day to day: over four weeks of the demo, half as many events came and went as with the day. So the event
  of a tree's aftercare goes on as its parts are ticked and others come, and a second visit to the tree has its own.
- A job is in one event at a time. One that a visit takes in is cancelled under its own name, and comes back there, with
  a higher SEQUENCE, when it stands alone again. A visit's event is cancelled where fewer than two of its jobs are
  placed.
- Alarms are moments in UTC. Hours of a relative TRIGGER are exact hours after midnight (3.3.6), so PT6H30M would ring
  at 07:30 on the morning on which the clocks go forward.
- Events are whole days, and block no time (TRANSP).
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta
from hashlib import blake2b
from typing import Any
from uuid import UUID, uuid5

import msgspec
from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.errors import PersonError, located
from tendwork.outputs.events import CalendarSite, Event
from tendwork.view.text import plain

Component = Any  # icalendar is imported only where a calendar is written or read

PRODID = "-//tendwork//orchard jobs//EN"
MARK = f"PRODID:{PRODID}"
"""Stands in every calendar, so that one written before is known as one."""

_NAMESPACE = UUID("5f0c7c3e-6b0a-5d53-9a6c-74656e647772")
_ORCHARD = "X-TENDWORK-ORCHARD"
_CONTENT = "X-TENDWORK-CONTENT"
_HIGHEST_SEQUENCE = 2**31 - 1  # RFC 5545, section 3.3.8
_KEEP_CANCELLED = timedelta(days=366)
_DAY = timedelta(days=1)


class _Known(Struct, frozen=True):
    """What the file written before says of one event."""

    start: date
    end: date
    summary: str
    content: str
    cancelled: bool
    sequence: int
    revised: datetime


def calendar_of(
    events: Iterable[Event], today: date, site: CalendarSite, previous: bytes = b"", file: str = "the calendar file"
) -> bytes:
    """The calendar as it is to be written over `previous`, the file that was written before.

    Raises PersonError, naming `file`, where that one is another's, and where there is nothing to write.
    """
    known = _read(previous, site, file) if previous.strip() else {}
    components = []
    live = set()
    for event in events:
        identity = uid_of(event.key, site)
        live.add(identity)
        components.append(_component(event, identity, known.get(identity), today, site))
    for identity, old in known.items():
        if identity not in live and not (old.cancelled and old.revised.date() < today - _KEEP_CANCELLED):
            components.append(_cancelled(old, identity, today))
    if not components:
        raise PersonError("No job of this season is still to come, so there is nothing to put into a calendar.")
    calendar = _empty_calendar(site)
    for component in sorted(components, key=lambda component: (component.decoded("DTSTART"), str(component["UID"]))):
        calendar.add_component(component)
    content: bytes = calendar.to_ical()
    return content


def uid_of(key: str, site: CalendarSite) -> str:
    """A name-based UUID of the orchard and the event's key, which holds no date: it stays when the dates move."""
    return str(uuid5(_NAMESPACE, f"{site.name}\n{key}"))


def _empty_calendar(site: CalendarSite) -> Component:
    from icalendar import Calendar, vText

    calendar = Calendar()
    name = vText(plain(site.name))  # told by hand: the library escapes no property that RFC 5545 itself does not name
    for field, value in (
        ("PRODID", PRODID),
        ("VERSION", "2.0"),
        ("CALSCALE", "GREGORIAN"),
        ("NAME", name),
        ("X-WR-CALNAME", name),
        ("X-WR-TIMEZONE", site.timezone),
        (_ORCHARD, _orchard_mark(site)),
    ):
        calendar.add(field, value)
    return calendar


def _component(event: Event, identity: str, old: _Known | None, today: date, site: CalendarSite) -> Component:
    from icalendar import Alarm

    component = _basic(_revised(event, old, today, site), identity)
    component.add("DESCRIPTION", event.description)
    component.add("LOCATION", event.location)
    component.add("CATEGORIES", [event.category])
    for alarm in event.alarms:
        if alarm.day >= today:
            sub = Alarm()
            sub.add("ACTION", "DISPLAY")
            sub.add("DESCRIPTION", alarm.words)
            sub.add("TRIGGER", alarm.at, parameters={"VALUE": "DATE-TIME"})
            component.add_component(sub)
    return component


def _revised(event: Event, old: _Known | None, today: date, site: CalendarSite) -> _Known:
    """The event with the stamps that it had, if its content is the same, else with those of `today`."""
    content = blake2b(msgspec.json.encode(event), digest_size=12).hexdigest()
    sequence, stamp = max((today - _season_start(event.key, site)).days, 0), _midnight(today)
    if old is not None and old.content == content:
        sequence, stamp = old.sequence, old.revised
    elif old is not None:
        sequence, stamp = max(sequence, old.sequence + 1), max(stamp, old.revised)
    return _Known(event.start, event.last + _DAY, event.summary, content, False, sequence, stamp)


def _season_start(key: str, site: CalendarSite) -> date:
    return Season(int(key.rsplit("/", 1)[1].partition(".")[0]), site.south).start


def _cancelled(old: _Known, identity: str, today: date) -> Component:
    if not old.cancelled:
        old = msgspec.structs.replace(
            old, content="", cancelled=True, sequence=old.sequence + 1, revised=max(_midnight(today), old.revised)
        )
    return _basic(old, identity)


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time(), UTC)


def _basic(shown: _Known, identity: str) -> Component:
    """What a cancelled event has and any other too."""
    from icalendar import Event as CalendarEvent

    component = CalendarEvent()
    for field, value in (
        ("UID", identity),
        ("DTSTAMP", shown.revised),
        ("LAST-MODIFIED", shown.revised),
        ("SEQUENCE", shown.sequence),
        ("STATUS", "CANCELLED" if shown.cancelled else "CONFIRMED"),
        ("DTSTART", shown.start),
        ("DTEND", shown.end),
        ("SUMMARY", shown.summary),
        ("TRANSP", "TRANSPARENT"),
    ):
        component.add(field, value)
    if shown.content:
        component.add(_CONTENT, shown.content)
    return component


def _read(content: bytes, site: CalendarSite, file: str) -> dict[str, _Known]:
    if MARK.encode() not in content:
        raise located(file, "holds something that tendwork did not write", remedy="Nothing was changed; name another.")
    from icalendar import Calendar

    try:
        calendar = Calendar.from_ical(content.decode().removeprefix("\ufeff"))
        known = {str(component["UID"]): _known(component) for component in calendar.walk("VEVENT")}
        mark = str(calendar[_ORCHARD])
    except (ValueError, KeyError, TypeError, AttributeError):
        remedy = "Nothing was changed; remove it, and do it again: it is written whole then."
        raise located(file, "is a damaged calendar", remedy=remedy) from None
    if mark != _orchard_mark(site):
        what = "is the calendar of another orchard, or of this one under an earlier name"
        raise located(file, what, remedy="Nothing was changed; name another file, or remove this one first.")
    return known


def _known(component: Component) -> _Known:
    start, end, revised = (component.decoded(field) for field in ("DTSTART", "DTEND", "LAST-MODIFIED"))
    if not (type(start) is type(end) is date and isinstance(revised, datetime) and revised.tzinfo is not None):
        raise TypeError("not days and an instant")
    sequence = int(component["SEQUENCE"])
    if not 0 <= sequence < _HIGHEST_SEQUENCE:
        raise ValueError(sequence)
    return _Known(
        start=start,
        end=end,
        summary=str(component["SUMMARY"]),
        content=str(component.get(_CONTENT, "")),
        cancelled=str(component["STATUS"]) == "CANCELLED",
        sequence=sequence,
        revised=revised,
    )


def _orchard_mark(site: CalendarSite) -> str:
    return blake2b(site.name.encode(), digest_size=8).hexdigest()
