"""The rounds of a repeating job, each a task of its own, told of one another."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from tendwork.planning.results import Task
from tendwork.planning.states import ACTIONABLE

_TO_DO = (*ACTIONABLE, "coming")


def linked(tasks: Iterable[Task]) -> list[Task]:
    """The tasks, in their order: a round that is to do knows when the next one opens, and the next one that it waits.

    When that opens depends on the day on which the units of the round before are ticked, so it takes no day beside it.
    """
    held = list(tasks)
    by_key = {task.key: task for task in held}
    after = {key: task for task in held if (key := _key_before(task.key)) in by_key}
    if not after:
        return held
    return [_linked(task, by_key.get(_key_before(task.key)), after.get(task.key)) for task in held]


def _linked(task: Task, before: Task | None, after: Task | None) -> Task:
    if after is not None:
        mine = _to_do(task)
        opens = [unit.window.opens for unit in after.units if unit.id in mine]
        task = replace(task, again=min(opens, default=None))
    if before is not None and task.state == "coming" and _to_do(task) <= _to_do(before):
        task = replace(task, behind=True)
    return task


def _to_do(task: Task) -> set[str]:
    return {unit.id for unit in task.units if unit.state in _TO_DO}


def _key_before(key: str) -> str:
    """The key of the round before; empty for a first round and for a job that comes once."""
    stem, _, number = key.rpartition(".")
    if not number.isdecimal() or not stem.rpartition("/")[2].isdecimal():
        return ""
    return stem if number == "2" else f"{stem}.{int(number) - 1}"
