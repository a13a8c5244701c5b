"""Which tasks of a season belong to a week: what to do, what comes, what was done, and what was lately missed.

What was missed and cost a tree or a graft stays in sight until it is ticked or skipped, its unit is gone, or its season
is over.
"""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.results import Task
from tendwork.planning.states import ACTIONABLE, HELD
from tendwork.planning.vocabulary import GRAVE

MISSED_DAYS = 14  # how long a missed job stays in sight


def in_sight(task: Task, today: date) -> bool:
    """Whether the task matters from today to today + 6."""
    if task.state in ACTIONABLE or task.is_lost:
        return True
    soon = today + timedelta(days=WEEK_DAYS)
    if not task.behind and any(unit.state == HELD and unit.window.opens < soon for unit in task.units):
        return True
    if task.state == "coming":
        if task.shown_from is not None and task.shown_from <= today:
            return True
        return task.window.opens < soon and not task.behind
    if task.state == "missed":
        # A missed round of a repeating job is not worth a line: the next one does its work. After the last none does.
        worth_a_line = task.rounds == 1 or (task.round == task.rounds and task.stake in GRAVE)
        return task.window.lapses >= today - timedelta(days=MISSED_DAYS) and worth_a_line
    done = [unit.done_on for unit in task.units if unit.done_on is not None]
    return bool(done) and max(done) > today - timedelta(days=WEEK_DAYS)
