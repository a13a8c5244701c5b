"""The days to which jobs can be left: what each still has free, and what speaks against it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from msgspec import Struct

from tendwork.planning.results import FittedWeek, Task
from tendwork.view.sections import hours_words
from tendwork.view.words import counted, format_day

MOST_DAYS = 28


class DayChoice(Struct, frozen=True):
    """A day and what there is to know about it; `hinders` where something speaks against it."""

    day: date
    name: str
    said: str
    hinders: bool


def day_choices(tasks: Iterable[Task], week: FittedWeek | None, today: date) -> tuple[DayChoice, ...]:
    """The days from today until the first of the jobs is no longer worth doing, four weeks at the most."""
    held = tuple(tasks)
    last = min((task.window.worth_until for task in held), default=today)
    hours = {} if week is None else {day.day: hours_words(day) for day in week.days}
    days = (today + timedelta(days=step) for step in range(MOST_DAYS))
    return tuple(_choice(held, day, today, hours.get(day, "")) for day in days if day <= last)


def _choice(tasks: tuple[Task, ...], day: date, today: date, hours: str) -> DayChoice:
    against = []
    for count, words in (
        (sum(day < task.window.opens for task in tasks), "before its time"),
        (sum(day in task.unsuited for task in tasks), "not its weather"),
        (sum(task.state != "late" and day > task.window.closes for task in tasks), "late by then"),
    ):
        if count:
            against.append(words if len(tasks) == 1 else f"{words} for {counted(count, 'job')}")
    ends = [words for task in tasks for words in _last_words(task, day)]
    name = "today" if day == today else format_day(day, today)
    return DayChoice(day, name, "; ".join([*against, *dict.fromkeys(ends), *([hours] if hours else [])]), bool(against))


def _last_words(task: Task, day: date) -> list[str]:
    if day == task.window.worth_until:
        return ["the last day that it is worth doing"]
    return ["its last day in time"] if day == task.window.closes else []
