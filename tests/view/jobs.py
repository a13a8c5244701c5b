"""Small tasks for the tests of the view and the dashboard: invented, with nothing in them but what a test names."""

from __future__ import annotations

from invented_jobs import TODAY, task_with, window

from tendwork.planning.results import Task, Unit

__all__ = ["TODAY", "task", "unit", "window"]


def unit(name: str, state: str = "open", **more: object) -> Unit:
    return Unit(id=name, label=f"Variety {name}", state=state, window=more.pop("window", window()), **more)  # type: ignore[arg-type]


def task(name: str, state: str = "open", **more: object) -> Task:
    """A job called `name` on one tree, with one unit in the job's own state and window."""
    own = more.pop("window", window())
    units = more.pop("units", (unit("g1", state, window=own),))
    return task_with(name, state, more.pop("each", "graft"), units, window=own, **more)  # type: ignore[arg-type]
