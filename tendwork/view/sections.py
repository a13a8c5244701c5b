"""The week's jobs under headings, in two arrangements: by urgency, and day by day as they were fitted."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from tendwork.planning.results import FittedDay, FittedWeek, Task, TaskState
from tendwork.planning.states import TO_DO, units_to_tick
from tendwork.planning.visits import Visit
from tendwork.view.days import day_visits, short_sentences
from tendwork.view.folding import folded, folded_words
from tendwork.view.week import PUT_OFF, Group, WeekRow, row_of, visit_row, week_groups
from tendwork.view.words import counted, format_day, minutes_words

_DAYS_NAMED = 2


class Section(Struct, frozen=True):
    """A heading, what is `said` beside it, and its jobs. `state` is the one state of its jobs, if they have one.

    `fold` is a line below them, which shows what is folded away or folds it again; "" where nothing can be folded.
    """

    name: str
    said: str
    rows: tuple[WeekRow, ...]
    state: TaskState | Literal[""] = ""
    fold: str = ""


def urgency_sections(tasks: Iterable[Task], today: date) -> tuple[Section, ...]:
    """The most urgent first; an urgency without a job is left out."""
    return tuple(map(_urgency_section, week_groups(tasks, today)))


def folding_sections(tasks: Iterable[Task], today: date, unfolded: bool) -> tuple[Section, ...]:
    """The same with no more to do now than a person takes in at once; a line below it unfolds the rest, or folds it.

    A heading says of all its jobs how many they are.
    """
    groups = week_groups(tasks, today)
    held = folded(groups)
    if not held.folded:
        return tuple(map(_urgency_section, groups))
    words = folded_words(held.folded)
    whole = {group.place: _urgency_section(group) for group in groups}
    places = {group.place for group in held.after}
    now = [group for group in groups if group.place not in places] if unfolded else held.now
    sections = [replace(whole[group.place], rows=group.rows) for group in now]
    after = [whole[group.place] if unfolded else replace(whole[group.place], rows=group.rows) for group in held.after]
    if not sections:  # all that could be done now can wait, or all that is folded was missed
        first = held.folded[0].place
        ahead = (
            after.pop(next(at for at, one in enumerate(held.after) if one.place == first)) if first in places else None
        )
        sections = [ahead or replace(whole[first], rows=())]
    sections[-1] = replace(sections[-1], fold=f"Fold again: {words}" if unfolded else f"And {words}")
    return (*sections, *after)


def _urgency_section(group: Group) -> Section:
    state = "coming" if group.name == PUT_OFF else group.rows[0].state
    return Section(group.name, _amount(group.rows), group.rows, state)


def day_sections(week: FittedWeek, tasks: Iterable[Task], today: date) -> tuple[Section, ...]:
    """What comes short, then the seven days, then those of `tasks` that have no day: to do, done and missed.

    A job stands once under each of its days, with the minutes that it takes there.
    """
    chosen = {task.key: task for task in tasks}
    sections = [_short_section(week, chosen, today)] if any(short.task in chosen for short in week.short) else []
    for held in week.days:
        visits = day_visits(chosen.values(), today, held.day)
        name = f"Today, {format_day(held.day, today)}" if held.day == today else format_day(held.day, today)
        rows = tuple(_day_row(visit, held.day, minutes, today) for visit, minutes in visits)
        sections.append(Section(name, hours_words(held), rows))
    lacking = {short.task for short in week.short}
    dayless = [task for task in chosen.values() if not task.days and task.key not in lacking]
    later = [task for task in dayless if task.state in TO_DO]
    if later:
        rows = tuple(row for section in urgency_sections(later, today) for row in section.rows)
        sections.append(Section("Without a day", _amount(rows), rows))
    rest = [task for task in dayless if task.state not in TO_DO]
    return (*sections, *urgency_sections(rest, today))


def hours_words(day: FittedDay) -> str:
    """ "45 min planned, 1 h 15 free"; a day on which the person has no time says so."""
    spent = [f"{minutes_words(day.spent)} done"] if day.spent else []
    planned = [f"{minutes_words(day.used)} planned"] if day.used else []
    whole_minutes = int(day.free)  # rounded down, as the others are up, so that together they are not over the day
    free = f"{minutes_words(whole_minutes)} free" if whole_minutes else "full" if day.minutes else "no time given"
    return ", ".join([*planned, *spent, free])


def short_line(week: FittedWeek) -> str:
    """What comes short in one line: the first job with what would do, and how many more; empty where all fits."""
    if not week.short:
        return ""
    first, *more = short_sentences(week)
    others = f" {counted(len(more), 'more job')} {'does' if len(more) == 1 else 'do'} not fit." if more else ""
    return first + others


def planned_words(task: Task | Visit, today: date) -> str:
    """ "Planned for Sat 13 Jun, 15 min, and Sun 14 Jun, 5 min"; empty where the job or the visit has no day."""
    days = [f"{'today' if day == today else format_day(day, today)}, {minutes_words(held)}" for day, held in task.days]
    more = len(days) - _DAYS_NAMED
    end = f" and {counted(more, 'day')} more" if more > 0 else ""
    return f"Planned for {'; '.join(days[:_DAYS_NAMED])}{end}" if days else ""


def _short_section(week: FittedWeek, chosen: dict[str, Task], today: date) -> Section:
    rows = tuple(
        replace(row_of(chosen[short.task], today), until=f"{minutes_words(short.minutes)} short")
        for short in week.short
        if short.task in chosen
    )
    return Section("Comes short", counted(len(rows), "job"), rows, "late")


def _day_row(visit: Visit, day: date, minutes: float, today: date) -> WeekRow:
    """What of a visit is on a day; where only some units of one job fall on it, their number stands for its end."""
    row = visit_row(visit, today)
    if len(visit.parts) > 1:
        return replace(row, minutes=minutes)
    to_do = len(units_to_tick(visit.first))
    here = sum(unit.planned == day for unit in visit.first.units)
    return replace(row, minutes=minutes, until=row.until if here in (0, to_do) else f"{here} of {to_do} here")


def _amount(rows: tuple[WeekRow, ...]) -> str:
    minutes = sum(row.minutes for row in rows)
    return counted(len(rows), "job") + (f", {minutes_words(minutes)}" if minutes else "")
