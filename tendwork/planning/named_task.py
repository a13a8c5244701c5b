"""The task that a person means who writes its key or the beginning of it, and the units by id or label."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from tendwork.errors import PersonError
from tendwork.planning.results import Task, Unit


def task_named(tasks: Sequence[Task], key: str, season: str = "this season") -> Task:
    """The task with this key, or the only one whose key starts so. Raises PersonError with the nearest keys.

    `season` is what the tasks are of, in words.
    """
    for task in tasks:
        if task.key == key:
            return task
    found = [task for task in tasks if task.key.startswith(key)]
    if len(found) == 1:
        return found[0]
    if found:
        raise PersonError(f'"{key}" may mean {_listed([task.key for task in found])}. Write more of the one you mean.')
    near = get_close_matches(key, [task.key for task in tasks], n=3, cutoff=0.3)
    hint = f"Near it: {_listed(near)}." if near else "`tendwork season` lists the tasks."
    raise PersonError(f'There is no task "{key}" in {season}. {hint}')


def units_named(task: Task, words: Sequence[str]) -> tuple[Unit, ...]:
    """The units that these ids or labels name. Raises PersonError for a word that names none."""
    by_word = {unit.id: unit for unit in task.units}
    alike: dict[str, list[Unit]] = {}
    for unit in task.units:
        alike.setdefault(unit.label.casefold(), []).append(unit)
    by_word |= {label: units[0] for label, units in alike.items() if len(units) == 1 and label not in by_word}
    short = [(unit.id.rpartition(".")[0] if unit.id != task.subject else "", unit) for unit in task.units]
    for name, unit in short:
        if name and [other for other, _ in short].count(name) == 1:
            by_word.setdefault(name, unit)
    chosen = []
    for word in words:
        found = by_word.get(word) or by_word.get(word.casefold())
        if found is None and word.casefold() in alike:
            ids = " and ".join(unit.id for unit in alike[word.casefold()])
            raise PersonError(f'"{word}" may mean {ids} in {task.key}. Write the id of the one you mean.')
        if found is None:
            listed = ", ".join(other.id for other in task.units[:12])
            raise PersonError(f'{task.key} has no unit "{word}". It has {listed}.')
        chosen.append(found)
    return tuple(dict.fromkeys(chosen))


def _listed(keys: list[str]) -> str:
    shown = ", ".join(keys[:5])
    return shown if len(keys) <= 5 else f"{shown} and {len(keys) - 5} more"
