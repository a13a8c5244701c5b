"""A tick of a whole visit, as ticks of its jobs."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.orchard.outcomes import SKIPPED, outcome_named
from tendwork.planning.day_format import day_and_month
from tendwork.planning.results import Task
from tendwork.planning.states import units_to_tick
from tendwork.planning.tick_edits import TaskTick
from tendwork.planning.visits import Visit, parts_named


def ticks_of_visit(
    visit: Visit, words: Sequence[str], outcome: str = "", note: str = "", minutes: float | None = None
) -> tuple[tuple[TaskTick, ...], tuple[Task, ...]]:
    """The ticks of the jobs that `words` name, or of all that the visit does now, and the jobs left out.

    Without an outcome each is ticked as done; a job that asks for a finding is left out, since nobody said it. An
    outcome is that of the jobs that know it. `minutes` are those of them all. Raises PersonError for a word that names
    no part, where none is left, and where none of it is open yet.
    """
    if not words and visit.state == "coming":
        named = ", ".join(dict.fromkeys(part.template for part in visit.parts))
        day = day_and_month(visit.opens)
        raise PersonError(f"{visit.key} opens on {day}. Name the part that is done already: {named}.")
    meant = [part for part in (parts_named(visit, words) if words else visit.now) if units_to_tick(part)]
    ticks, left = [], []
    for part in meant:
        allowed = dict.fromkeys((*part.outcomes, SKIPPED))
        word = outcome_named(outcome, allowed) if outcome else part.default_outcome
        if word:
            ticks.append(TaskTick(part, (), word, note))
        else:
            left.append(part)
    if not ticks:
        raise PersonError(left_words(left, outcome) if left else f"Everything in {visit.key} is ticked already.")
    shares = shared_minutes(minutes, [tick.task for tick in ticks])
    timed = tuple(replace(tick, minutes=share) for tick, share in zip(ticks, shares, strict=True))
    return timed, tuple(left)


def shared_minutes(minutes: float | None, tasks: Sequence[Task]) -> tuple[float | None, ...]:
    """The minutes of a whole visit on its jobs, as the time planned for each; all alike where none has any."""
    if minutes is None:
        return (None,) * len(tasks)
    planned = [task.minutes for task in tasks]
    whole = sum(planned)
    return tuple(minutes * (one / whole if whole else 1 / len(tasks)) for one in planned)


def left_words(left: Sequence[Task], outcome: str = "") -> str:
    """Why these jobs of a visit were not ticked, with the words that each knows; empty where there is none."""
    if not left:
        return ""
    named = "; ".join(f"{task.key} ({', '.join(task.outcomes)})" for task in left)
    why = f'"{outcome}" is no word of theirs' if outcome else "only you can say how they went"
    return f"Not ticked, {why}: {named}."
