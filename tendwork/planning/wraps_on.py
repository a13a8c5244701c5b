"""The wraps that are still on, the oldest first, each with the job that asks for it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date

from tendwork.orchard.crown import place_of, place_words
from tendwork.orchard.rough_dates import day_known, first_day
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.results import ASKED, NO_JOB, Task, Unit, WrapOn, WrapState
from tendwork.planning.said_of_grafts import wrap_is_asked

OVERDUE = "Overdue"
OVERDUE_STEP = (
    "Look for a constriction first: a groove at the edge of the wrap, a bulge above it, gum, or bark grown over it."
)
FOUND_LATE_STEP = (
    "Found late: slit it opposite the scion, do not dig it out of the bark; splint a weak union and look at it yearly."
)


def wraps_on(
    orchard: Orchard, tasks: Iterable[Task], today: date, heat_between: Callable[[date, date], float | None]
) -> tuple[WrapOn, ...]:
    """Every graft that stands and whose wrap nobody said to be off; without a day of setting last."""
    asked: dict[str, tuple[Task, Unit]] = {}
    for task in tasks:
        if task.window.stays:
            for unit in task.units:
                asked.setdefault(unit.id, (task, unit))
    heats: dict[date, float | None] = {}
    found = []
    for graft in orchard.records.grafts:
        tree = orchard.trees.get(graft.tree)
        if tree is None or not orchard.wrap_fates[graft.id].on:
            continue
        job = asked.get(graft.id)
        no_job: WrapState = ASKED if wrap_is_asked(orchard, graft.id) else NO_JOB
        set_on = day_known(graft.set_on)
        if set_on is not None and set_on not in heats:
            heats[set_on] = heat_between(set_on, today)
        found.append(
            WrapOn(
                graft=graft.id,
                tree=tree.id,
                tree_name=orchard.tree_names[tree.id],
                variety=graft.variety,
                wrap=graft.wrap,
                place=place_words(place_of(graft)),
                set_on=graft.set_on,
                days=None if set_on is None else (today - set_on).days,
                heat=None if set_on is None else heats[set_on],
                state=no_job if job is None else job[1].state,
                by=None if job is None else job[1].window.closes,
                task="" if job is None else job[0].key,
                outcomes=() if job is None else job[0].outcomes,
                overdue=job is not None and job[1].window.is_overdue(today),
            )
        )
    return tuple(
        sorted(found, key=lambda wrap: (wrap.set_on is None, first_day(wrap.set_on or today), wrap.tree, wrap.graft))
    )
