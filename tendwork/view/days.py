"""The week day by day: what is planned, how many of the day's minutes it takes, and what comes short."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec.structs import replace

from tendwork.planning.results import FittedWeek, Task
from tendwork.planning.visits import Visit, visits_of
from tendwork.view.text import plain, wrapped
from tendwork.view.week import visit_row, where_words
from tendwork.view.words import full_day, minutes_words


def day_visits(tasks: Iterable[Task], today: date, day: date) -> tuple[tuple[Visit, float], ...]:
    """What of each visit falls on one day, as a visit of these parts alone, with their minutes on it."""
    found = []
    for visit in visits_of(tasks, today):
        here = tuple(part for part in visit.parts if any(planned == day for planned, _ in part.days))
        if here:
            minutes = sum(minutes for part in here for planned, minutes in part.days if planned == day)
            found.append((replace(visit, parts=here), minutes))
    return tuple(found)


def day_sentence(week: FittedWeek, day: date) -> str:
    """ "Sat 28 Nov: 2 h 10 of 4 h" or what is free where nothing is planned."""
    held = next(item for item in week.days if item.day == day)
    given = minutes_words(held.minutes) if held.minutes else "no time"
    if held.used + held.spent <= 0:
        return f"{full_day(day)}: nothing of {given}" if held.minutes else f"{full_day(day)}: no time given"
    spent = f", {minutes_words(held.spent)} done" if held.spent else ""
    return f"{full_day(day)}: {minutes_words(held.used)} of {given}{spent}"


def short_sentences(week: FittedWeek) -> tuple[str, ...]:
    """What does not fit in time: "Cleft graft, Old Tom, does not fit; 26 more minutes on 20 Apr would do."."""
    tasks = {task.key: task for task in week.tasks}
    names = {key: f"{plain(task.title)}, {where_words(task)}," for key, task in tasks.items()}
    words = (plain(item.words) for item in week.short)
    return tuple(
        f"{names.get(item.task, plain(item.task))} does not fit; {said[:1].lower()}{said[1:]}"
        for item, said in zip(week.short, words, strict=True)
    )


def days_text(week: FittedWeek, width: int) -> str:
    """The week by day, after the list of the week: each day's minutes, its visits, and what comes short."""
    today = week.days[0].day
    lines = ["By day"]
    for held in week.days:
        lines.append(f"  {day_sentence(week, held.day)}")
        for visit, minutes in day_visits(week.tasks, today, held.day):
            row = visit_row(visit, today)
            where = where_words(visit.first) if visit.subject == visit.first.subject else row.where
            words = f"{row.title}{row.more}, {where}, {minutes_words(minutes)}"
            lines += wrapped(words, width, "      ", "        ")
    if week.short:
        lines += ["", "Comes short"]
        for sentence in short_sentences(week):
            lines += wrapped(sentence, width, "  - ", "    ")
    return "\n".join(lines)
