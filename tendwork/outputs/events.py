"""Which event each job makes in a calendar: its days, its words, its alarms. Nothing here changes with the day alone.

A job becomes an event, never a to-do (VTODO): most calendars on phones show events and pass over to-dos (common
practice, no source), and a job is a span of days, which an all-day event shows as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, time, timedelta

from msgspec import Struct

from tendwork import site_clock
from tendwork.outputs.caution import GENERAL_CAUTION
from tendwork.planning.repeats import lines_of
from tendwork.planning.results import Plan, Task
from tendwork.planning.states import HELD, TO_DO, units_to_tick
from tendwork.planning.vocabulary import Card
from tendwork.view.job import caution_lines, height_words, reason_sentences
from tendwork.view.text import plain
from tendwork.view.week import beside_sentences, held_words, where_words
from tendwork.view.words import full_day, in_units, minutes_words

_WARNING = timedelta(days=2)
_DAY = timedelta(days=1)
_REASONS = 3  # the most telling; `tendwork why` gives them all


class CalendarSite(Struct, frozen=True):
    """What a calendar needs of the site. `timezone` is an IANA name, `remind_at` "HH:MM" there."""

    name: str
    timezone: str
    remind_at: str = "06:30"
    units: str = "metric"
    south: bool = False


class Alarm(Struct, frozen=True):
    """`day` is the day at the place, `at` the moment in UTC."""

    day: date
    at: datetime
    words: str


class Event(Struct, frozen=True):
    """One job in the calendar, from `start` to `last`, both whole days and both included."""

    key: str
    start: date
    last: date
    summary: str
    location: str
    category: str
    description: str
    alarms: tuple[Alarm, ...]


def events_of(plan: Plan, week: Iterable[Task], site: CalendarSite, cards: Mapping[str, Card]) -> tuple[Event, ...]:
    """An event for each job still to do: on its days where the week has placed it, else over its window."""
    placed = {task.key: task for task in week}
    tasks = (placed.get(task.key, task) for task in lines_of(plan))
    return tuple(_event(task, site, cards) for task in tasks if task.state in TO_DO)


def moment(day: date, site: CalendarSite) -> datetime:
    """The moment, in UTC, at which the site's clocks show its time to remind on `day`."""
    return site_clock.moment(day, time.fromisoformat(site.remind_at), site.timezone)


def _event(task: Task, site: CalendarSite, cards: Mapping[str, Card]) -> Event:
    start, last = _span(task)
    closes = task.window.worth_until if start > task.window.closes else task.window.closes
    held = "Held back: " if task.state == HELD else ""
    summary = f"{held}{plain(task.title)}, {where_words(task)}"
    alarms = {} if task.state == HELD else {start: summary}
    if alarms and start < closes - _WARNING < date.max - _WARNING:
        alarms[closes - _WARNING] = f"Until {full_day(closes)}: {summary}"
    return Event(
        key=task.key,
        start=start,
        last=last,
        summary=summary,
        location=plain(task.place) or plain(site.name),
        category=task.part,
        description="\n".join(_description(task, site, cards)),
        alarms=tuple(Alarm(day, moment(day, site), words) for day, words in alarms.items()),
    )


def _span(task: Task) -> tuple[date, date]:
    """The days of the week's plan; else the window; for a late job without a day, what is left until it lapses."""
    if task.days:
        days = [day for day, _ in task.days]
        return min(days), max(days)
    window = task.window
    if task.state == "late":
        return window.closes + _DAY, max(window.lapses, window.closes + _DAY)
    return window.opens, max(window.closes, window.opens)


def _description(task: Task, site: CalendarSite, cards: Mapping[str, Card]) -> Iterator[str]:
    window = task.window
    named = (("opens", window.opens), ("best", window.best), ("closes", window.closes), ("lapses", window.lapses))
    yield f"The window {', '.join(f'{word} {full_day(day)}' for word, day in named)}."
    if held := held_words(task):
        yield f"Held back: {held}"
    yield from beside_sentences(task)
    if task.minutes:
        yield f"Takes {minutes_words(task.minutes)}."
    if task.weather_words:
        yield f"Wants {in_units(plain(task.weather_words), site.units)}."
    for unit in units_to_tick(task):
        if unit.id != task.subject:
            where = (in_units(plain(unit.place), site.units), height_words(unit))
            yield f"- {', '.join([f'{plain(unit.label)} ({plain(unit.id)})', *filter(None, where)])}"
    if task.tools:
        yield f"Carry: {', '.join(map(plain, task.tools))}"
    for number, step in enumerate(task.steps, 1):
        yield f"{number}. {plain(step)}"
    for title, line in caution_lines(task, cards):
        yield f"Caution, {title}: {line}"
    yield GENERAL_CAUTION
    for reason in reason_sentences(task)[:_REASONS]:
        yield f"Why: {reason}"
    yield f"Source: {plain(task.source)}"
    yield f"tendwork why {plain(task.key)}"
