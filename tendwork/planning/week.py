"""The week as a day-by-day list: each job on its best day, or today where that is past."""

from __future__ import annotations

from datetime import date, timedelta

import msgspec

from tendwork.planning.results import Plan, Task
from tendwork.planning.states import ACTIONABLE

WEEK_DAYS = 7
MISSED_DAYS = 14  # how long a missed job stays in sight


def week_of(plan: Plan) -> tuple[Task, ...]:
    """The tasks that matter from today to today + 6: open, coming, done this week, and lately missed ones."""
    first, last = plan.today, plan.today + timedelta(days=WEEK_DAYS - 1)
    return tuple(_placed(task, first, last) for task in plan.tasks if _matters(task, first, last))


def _matters(task: Task, first: date, last: date) -> bool:
    if task.state in ACTIONABLE:
        return True
    if task.state == "coming":
        return task.window.opens <= last
    if task.state == "missed":
        return task.window.lapses >= first - timedelta(days=MISSED_DAYS) and not _is_lapsed_round(task)
    done = [unit.done_on for unit in task.units if unit.done_on is not None]
    return bool(done) and max(done) > first - timedelta(days=WEEK_DAYS)


def _is_lapsed_round(task: Task) -> bool:
    """A missed round of a repeating job is not worth a line: the next round does its work."""
    return any(reason.startswith(("Comes again", "Round ")) for reason in task.because)


def _placed(task: Task, first: date, last: date) -> Task:
    if task.state in ACTIONABLE:
        day = min(max(first, task.window.best), max(first, task.window.closes), last)
    elif task.state == "coming":
        day = min(max(task.window.opens, task.window.best), last)
    else:
        return task
    return msgspec.structs.replace(task, days=((day, task.minutes),))
