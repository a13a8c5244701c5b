"""What a change would move: the same season planned before and after, side by side."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date

from msgspec import Struct

from tendwork.planning.results import Plan, Task
from tendwork.planning.week import week_of


class Move(Struct, frozen=True):
    """One task whose window the change moves. A side is None where the plan does not show the task.

    `gone` says that it is not only out of sight, in the season before or after: it is there no more.
    """

    key: str
    title: str
    place: str
    before: tuple[date, date] | None
    after: tuple[date, date] | None
    days: int | None
    week: str  # "enters", "leaves" or "" as seen from this week's list
    gone: bool = False


class Loss(Struct, frozen=True):
    """A template of whose jobs this season `gone` would be there no more, and how many would be `left`.

    `left_out` says that the person leaves the template out, and so means it.
    """

    template: str
    title: str
    gone: int
    left: int
    left_out: bool = False


class Preview(Struct, frozen=True):
    """What a change would move this season, and of which templates it would take jobs away."""

    moves: tuple[Move, ...]
    losses: tuple[Loss, ...] = ()


def losses(before: Plan, after: Plan, left_out: Collection[str] = ()) -> tuple[Loss, ...]:
    """The templates that lose jobs of the season; the rounds of a repeating job are one job.

    Jobs of the seasons beside it only leave the plan's sight, as their days move.
    """
    kept = _jobs(after)
    found = []
    for template, subjects in _jobs(before).items():
        left = kept.get(template, {})
        gone = subjects.keys() - left.keys()
        if gone:
            title = next(iter(subjects.values())).title
            found.append(Loss(template, title, len(gone), len(left), template in left_out))
    return tuple(found)


def _jobs(plan: Plan) -> dict[str, dict[str, Task]]:
    """The jobs of the plan's own season by template and subject."""
    found: dict[str, dict[str, Task]] = {}
    for task in plan.tasks:
        if task.season == plan.season:
            found.setdefault(task.template, {})[task.subject] = task
    return found


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
        gone = will is None and task.season == before.season
        found.append(Move(key, task.title, task.place, was, will, days, week, gone))
    found.sort(key=lambda move: (move.after or move.before or (date.min, date.min), move.key))
    return tuple(found)


def _ends(task: Task | None) -> tuple[date, date] | None:
    return None if task is None else (task.window.opens, task.window.closes)
