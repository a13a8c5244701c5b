"""The week as a list of tasks, each with its days: what callers take who ask for nothing but the tasks."""

from __future__ import annotations

from tendwork.planning.fit import fit_week
from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.results import Plan, Task

__all__ = ["WEEK_DAYS", "week_of"]


def week_of(plan: Plan) -> tuple[Task, ...]:
    """The tasks that matter from today to today + 6: open, coming, done this week, and lately missed ones."""
    return fit_week(plan).tasks
