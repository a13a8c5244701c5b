"""What a change would move: the same season planned before and after, side by side."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.planning.results import Plan, Task
from tendwork.planning.week import week_of


class Move(Struct, frozen=True):
    """One task whose window the change moves. A side is None where the task is not there."""

    key: str
    title: str
    place: str
    before: tuple[date, date] | None
    after: tuple[date, date] | None
    days: int | None
    week: str  # "enters", "leaves" or "" as seen from this week's list


def moves(before: Plan, after: Plan) -> tuple[Move, ...]:
    """Every task whose opening or closing differs, in the order of the later plan's dates."""
    old = {task.key: task for task in before.tasks}
    new = {task.key: task for task in after.tasks}
    old_week = {task.key for task in week_of(before)}
    new_week = {task.key for task in week_of(after)}
    found = []
    for key in dict.fromkeys((*old, *new)):
        was, will = _ends(old.get(key)), _ends(new.get(key))
        week = "enters" if key in new_week - old_week else "leaves" if key in old_week - new_week else ""
        if was == will and not week:
            continue
        task = new.get(key) or old[key]
        days = (will[0] - was[0]).days if was is not None and will is not None else None
        found.append(Move(key, task.title, task.place, was, will, days, week))
    found.sort(key=lambda move: (move.after or move.before or (date.min, date.min), move.key))
    return tuple(found)


def _ends(task: Task | None) -> tuple[date, date] | None:
    return None if task is None else (task.window.opens, task.window.closes)
