"""The order of jobs, the most pressing first: the one place where it is made.

What is late or closes is pressing: it stands by what is at stake, the worst first, and with the same at stake by the
days that are left for it. Everything else keeps the order of its window.
"""

from __future__ import annotations

from datetime import date
from typing import Final, Literal

from tendwork.planning.results import Task
from tendwork.planning.states import HELD, TO_DO
from tendwork.planning.vocabulary import GRAVE, STAKES, Stake, stake_rank

PUT_OFF: Final = "put off"
CAN_WAIT: Final = "can wait"
NO_TIME: Final = "no time"
Place = Stake | Literal["open", "no time", "waiting", "held", "coming", "can wait", "put off", "finished", "missed"]
PLACES: tuple[Place, ...] = (
    *STAKES,
    "open",
    NO_TIME,
    "waiting",
    HELD,
    "coming",
    CAN_WAIT,
    PUT_OFF,
    "finished",
    "missed",
)
"""The places in which jobs stand, the most pressing first: that of a stake is for what is late or closes."""

Urgency = tuple[int, bool, bool, int, date, date, str]


def place_of(task: Task) -> Place:
    """The place in which a job stands."""
    if task.put_off is not None and task.state in TO_DO:
        return PUT_OFF
    if task.can_wait:
        return CAN_WAIT
    if task.no_time and task.stake not in GRAVE:
        return NO_TIME
    if task.pressed:
        return STAKES[stake_rank(task.stake)]
    match task.state:
        case "late" | "closing":
            return STAKES[stake_rank(task.stake)]
        case "done" | "skipped":
            return "finished"
        case state:
            return state


def urgency(task: Task) -> Urgency:
    """A key that sorts jobs, the most pressing first.

    Of one place what has a day this week goes before what the hours leave out, and what is late or closes before what
    is pressed for the sake of later weeks.
    """
    return PLACES.index(place_of(task)), task.no_time, task.pressed, *_soonest_first(task)


def _soonest_first(task: Task) -> tuple[int, date, date, str]:
    """What was missed goes by what it cost, and a lost job before what was missed for less."""
    window = task.window
    if task.state == "coming":
        return 0, window.opens, window.closes, task.key
    if task.state == "missed":
        return stake_rank(task.stake), window.lapses, window.closes, task.key
    if task.state == "late":
        return 0, window.lapses, window.closes, task.key
    return 0, window.closes, window.lapses, task.key
