"""What state a unit and a task are in on one day: one of TASK_STATES, from coming to done or missed."""

from __future__ import annotations

from datetime import date
from typing import Final

from tendwork.orchard.outcomes import ARBORIST, SKIPPED, STILL_OPEN
from tendwork.orchard.records import Tick
from tendwork.planning.results import Task, TaskState, Unit, Window

CLOSING_DAYS = 7
ACTIONABLE: tuple[TaskState, ...] = ("late", "closing", "open", "waiting")
HELD: Final = "held"
"""Something bars it for now: it is to do, and nobody is to do it yet."""
TO_DO: tuple[TaskState, ...] = (*ACTIONABLE, HELD, "coming")
FINISHED: tuple[TaskState, ...] = ("done", "skipped")


def unit_state(window: Window, tick: Tick | None, today: date, weather_suits: bool) -> TaskState:
    """The state of one unit; a window counts as closing in its last week, or its last third if it is shorter."""
    if tick is not None and tick.outcome == ARBORIST:
        return HELD
    if tick is not None and tick.outcome != STILL_OPEN:
        return "skipped" if tick.outcome == SKIPPED else "done"
    if today < window.opens:
        return "coming"
    if today > window.worth_until:
        return "missed"
    if today > window.closes:
        return "late"
    length = (window.closes - window.opens).days
    if (window.closes - today).days <= min(CLOSING_DAYS, length // 3):
        return "closing"
    return "open" if weather_suits else "waiting"


def task_state(units: tuple[Unit, ...]) -> TaskState:
    """The most urgent state among the units that are still to do; done or skipped when none is.

    A task is held only where no unit can be done: not while others are due, nor where all others open no later.
    """
    states = {unit.state for unit in units}
    if len(states) == 1:
        return units[0].state
    for state in (*ACTIONABLE, *_not_due_yet(units), "missed"):
        if state in states:
            return state
    return "done" if "done" in states else "skipped"


def pressing(units: tuple[Unit, ...]) -> tuple[Unit, ...]:
    """The units that the task is about today: those to act on, else those held or to come, else all."""
    if len({unit.state for unit in units}) == 1:
        return units
    for wanted in (ACTIONABLE, *((state,) for state in _not_due_yet(units)), ("missed",)):
        chosen = tuple([unit for unit in units if unit.state in wanted])
        if chosen:
            return chosen
    return units


def units_to_tick(task: Task) -> tuple[Unit, ...]:
    """The units that a tick of the whole job is about: those to do now, else those to come, else those missed."""
    return tuple(unit for unit in pressing(task.units) if unit.state not in FINISHED)


def _not_due_yet(units: tuple[Unit, ...]) -> tuple[TaskState, TaskState]:
    """Which goes first of what is held and what comes: what opens first, since that may be barred in its time."""
    held = min((unit.window.opens for unit in units if unit.state == HELD), default=date.max)
    coming = min((unit.window.opens for unit in units if unit.state == "coming"), default=date.max)
    return (HELD, "coming") if held < coming else ("coming", HELD)
