"""Which event each visit and each job makes in a calendar: its days, its words, its alarms.

Of the coming week, what is placed of a visit is one event, since it is one walk with one kit; every other job is an
event of its own, and one beyond the week is nobody's part yet. Nothing here changes with the day alone.

A job becomes an event, never a to-do (VTODO): most calendars on phones show events and pass over to-dos (common
practice, no source), and a job is a span of days, which an all-day event shows as it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime, time, timedelta

from msgspec import Struct
from msgspec.structs import replace

from tendwork import site_clock
from tendwork.outputs.caution import GENERAL_CAUTION
from tendwork.planning.repeats import lines_of
from tendwork.planning.results import Plan, Task
from tendwork.planning.states import HELD, TO_DO, units_to_tick
from tendwork.planning.visits import Visit, visits_of
from tendwork.planning.vocabulary import Card
from tendwork.view.job import folded_caution_lines, height_words, reason_sentences
from tendwork.view.stake_words import missed_words
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
    """One job or one visit in the calendar, from `start` to `last`, both whole days and both included."""

    key: str
    start: date
    last: date
    summary: str
    location: str
    category: str
    description: str
    alarms: tuple[Alarm, ...]


def events_of(plan: Plan, week: Iterable[Task], site: CalendarSite, cards: Mapping[str, Card]) -> tuple[Event, ...]:
    """An event for each visit of several jobs that the week has placed, and for each other job still to do.

    A job stands on its days where the week has placed it, else over its window.
    """
    placed = {task.key: task for task in week}
    tasks = [placed.get(task.key, task) for task in lines_of(plan) if task.state in TO_DO]
    visits = [_placed(visit) for visit in visits_of((task for task in tasks if task.key in placed), plan.today)]
    joined = [visit for visit in visits if len(visit.parts) > 1]
    taken = {part.key for visit in joined for part in visit.parts}
    return (
        *(_visit_event(visit, plan.season, site, cards) for visit in joined),
        *(_event(task, site, cards) for task in tasks if task.key not in taken),
    )


def moment(day: date, site: CalendarSite) -> datetime:
    """The moment, in UTC, at which the site's clocks show its time to remind on `day`."""
    return site_clock.moment(day, time.fromisoformat(site.remind_at), site.timezone)


def _placed(visit: Visit) -> Visit:
    """What of a visit has a day in the week."""
    return replace(visit, parts=tuple(part for part in visit.parts if part.days and part.state != HELD))


def _event(task: Task, site: CalendarSite, cards: Mapping[str, Card]) -> Event:
    start, last = _span(task)
    held = "Held back: " if task.state == HELD else ""
    summary = f"{held}{plain(task.title)}, {where_words(task)}"
    alarms = {} if task.state == HELD else {start: summary} | _closing_alarm(task, start, summary)
    return Event(
        key=task.key,
        start=start,
        last=last,
        summary=summary,
        location=plain(task.place) or plain(site.name),
        category=task.part,
        description="\n".join(_description(task, site, cards)),
        alarms=_in_order(alarms, site),
    )


def _visit_event(visit: Visit, season: int, site: CalendarSite, cards: Mapping[str, Card]) -> Event:
    """One event over the days of its parts, which rings on each morning on which some begin."""
    first, is_of_one = visit.first, visit.subject == visit.first.subject
    where = where_words(first) if is_of_one else "the orchard"
    begin: dict[date, list[Task]] = {}
    for part in visit.parts:
        begin.setdefault(_span(part)[0], []).append(part)
    alarms = {day: f"{_title(parts)}, {where}" for day, parts in begin.items()}
    summary = f"{_title(visit.parts)}, {where}"
    return Event(
        key=visit_event_key(visit.key, season),
        start=visit.days[0][0],
        last=visit.days[-1][0],
        summary=summary,
        location=(plain(first.place) if is_of_one else "") or plain(site.name),
        category=first.part,
        description="\n".join(_visit_description(visit, site, cards)),
        alarms=_in_order(_closing_alarm(first, _span(first)[0], summary) | alarms, site),
    )


def visit_event_key(visit: str, season: int) -> str:
    """The key of a visit's event, which is no job's: those begin with the id of a rule, in which no blank stands."""
    return f"visit {visit}/{season}"


def _title(parts: Sequence[Task]) -> str:
    """ "Slit tape on apple and pear grafts, 2 more"; the same job of several trees counts once."""
    more = len({part.template for part in parts}) - 1
    return f"{plain(parts[0].title)}{f', {more} more' if more else ''}"


def _closing_alarm(task: Task, start: date, summary: str) -> dict[date, str]:
    """Two days before the job closes, where it began before that."""
    closes = task.window.worth_until if start > task.window.closes else task.window.closes
    if start < closes - _WARNING < date.max - _WARNING:
        return {closes - _WARNING: f"Until {full_day(closes)}: {summary}"}
    return {}


def _in_order(alarms: Mapping[date, str], site: CalendarSite) -> tuple[Alarm, ...]:
    return tuple(Alarm(day, moment(day, site), words) for day, words in sorted(alarms.items()))


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
    yield _window_words(task)
    yield from _loss_words(task)
    yield from _mind_words(task)
    if task.minutes:
        yield f"Takes {minutes_words(task.minutes)}."
    yield from _unit_lines(task, site)
    yield from _kit_lines(task)
    yield from _step_lines(task)
    yield from _caution_lines(task, cards)
    for reason in reason_sentences(task)[:_REASONS]:
        yield f"Why: {reason}"
    yield f"Source: {plain(task.source)}"
    yield f"tendwork why {plain(task.key)}"


def _visit_description(visit: Visit, site: CalendarSite, cards: Mapping[str, Card]) -> Iterator[str]:
    """What to carry and to mind once, and then each part: its day, its units, its steps; of several trees one by one.

    Why each stands where it stands is left to `tendwork why`.
    """
    yield f"Takes {minutes_words(sum(minutes for _, minutes in visit.days))} in all."
    yield from dict.fromkeys(words for part in visit.parts for words in _mind_words(part))
    yield from _kit_lines(visit)
    yield from _caution_lines(visit, cards)
    by_rule: dict[str, list[Task]] = {}
    for part in visit.parts:
        by_rule.setdefault(part.template, []).append(part)
    for parts in by_rule.values():
        yield ""
        for part in parts:
            days = ", ".join(full_day(day) for day, _ in part.days)
            yield f"{plain(part.title)}, {where_words(part)}: {days}"
            yield _window_words(part)
            yield from _loss_words(part)
            yield from _unit_lines(part, site)
            yield f"tendwork why {plain(part.key)}"
        yield from dict.fromkeys(line for part in parts for line in _step_lines(part))


def _window_words(task: Task) -> str:
    window = task.window
    named = (("opens", window.opens), ("best", window.best), ("closes", window.closes), ("lapses", window.lapses))
    return f"The window {', '.join(f'{word} {full_day(day)}' for word, day in named)}."


def _mind_words(task: Task) -> Iterator[str]:
    if held := held_words(task):
        yield f"Held back: {held}"
    yield from beside_sentences(task)


def _loss_words(task: Task) -> Iterator[str]:
    if task.loss:
        yield f"If missed: {missed_words(task.stake, task.loss)}."


def _unit_lines(task: Task, site: CalendarSite) -> Iterator[str]:
    if task.weather_words:
        yield f"Wants {in_units(plain(task.weather_words), site.units)}."
    for unit in units_to_tick(task):
        if unit.id != task.subject:
            where = (in_units(plain(unit.place), site.units), height_words(unit))
            yield f"- {', '.join([f'{plain(unit.label)} ({plain(unit.id)})', *filter(None, where)])}"


def _kit_lines(work: Task | Visit) -> Iterator[str]:
    if work.tools:
        yield f"Carry: {', '.join(map(plain, work.tools))}"


def _step_lines(task: Task) -> Iterator[str]:
    for number, step in enumerate(task.steps, 1):
        yield f"{number}. {plain(step)}"


def _caution_lines(work: Task | Visit, cards: Mapping[str, Card]) -> Iterator[str]:
    for title, line in folded_caution_lines(work, cards):
        yield f"Caution, {title}: {line}"
    yield GENERAL_CAUTION
