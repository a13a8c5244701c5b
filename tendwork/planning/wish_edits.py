"""A whole job planned for a day, or put off until then, as an edit of the records."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from tendwork.orchard.edits import Edit, changes_of, refusal
from tendwork.orchard.records import Records, Tick
from tendwork.orchard.standing_ticks import Standing
from tendwork.orchard.wording import counted
from tendwork.planning.day_format import full_day
from tendwork.planning.results import Task
from tendwork.planning.tick_edits import unit_key
from tendwork.planning.wishes import PLANNED_FOR, PUT_OFF, WHOLE_JOB


def put_off_edit(records: Records, tasks: Sequence[Task], day: date, today: date, fixed: bool) -> Edit:
    """Plan whole jobs for a day, or put them off until then: all or none; refused for a day that cannot be.

    A job that is left for that day already stays as it is.
    """
    if day < today:
        return refusal(f"{full_day(day)} is over. Choose today or a later day.")
    for task in tasks:
        if day > task.window.worth_until:
            last, rest = full_day(task.window.lapses), " Nothing was put off." if len(tasks) > 1 else ""
            return refusal(f"{task.key} is worth doing until {last} only. Choose a day until then, or skip it.{rest}")
    word = PLANNED_FOR if fixed else PUT_OFF
    standing = Standing(records.ticks)
    wanted = {task.key: [Tick(key, WHOLE_JOB, today, word, day.isoformat()) for key in _keys(task)] for task in tasks}
    new = [task for task in tasks if not all(_is_left_so(standing, tick) for tick in wanted[task.key])]
    words = f"{_jobs_words(new or tasks)}: {word} {full_day(day)}"
    ticks = (tick for task in new for tick in wanted[task.key])
    return Edit(words, changes_of(add=ticks), told="" if new else f"{words} already.")


def _keys(task: Task) -> tuple[str, ...]:
    """The key of a job, and of each round that its line stands for."""
    return tuple(dict.fromkeys((task.key, *(unit_key(task, unit)[0] for unit in task.units))))


def _is_left_so(standing: Standing, wanted: Tick) -> bool:
    stands = standing.tick(wanted.task, WHOLE_JOB)
    return stands is not None and (stands.outcome, stands.note) == (wanted.outcome, wanted.note)


def _jobs_words(tasks: Sequence[Task]) -> str:
    if len(tasks) == 1:
        return f"{tasks[0].title}, {tasks[0].place or 'the orchard'}"
    return counted(len(tasks), "job")
