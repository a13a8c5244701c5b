"""What a person decided about the day of a whole job: ticks on the unit "*", whose note is the day."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tendwork.orchard.records import Tick
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.planning.fit_pieces import Wishes

WHOLE_JOB = "*"
PLANNED_FOR = "planned for"
PUT_OFF = "put off until"


def wishes_of(ticks: Iterable[Tick]) -> Wishes:
    """The decisions that stand; one whose note is no day says nothing."""
    chosen: dict[str, date] = {}
    snoozed: dict[str, date] = {}
    for tick in standing_ticks(ticks):
        wanted = {PLANNED_FOR: chosen, PUT_OFF: snoozed}.get(tick.outcome)
        if tick.unit != WHOLE_JOB or wanted is None:
            continue
        try:
            wanted[tick.task] = date.fromisoformat(tick.note)
        except ValueError:
            continue
    return Wishes(chosen, snoozed)
