"""Finding a task by its key, which names its season: in the plan of the day, or in that of another season."""

from __future__ import annotations

import re
from datetime import date
from difflib import get_close_matches
from typing import TYPE_CHECKING

from tendwork.almanac.seasons import Season, season_of
from tendwork.errors import PersonError
from tendwork.view.season_page import earliest_season

if TYPE_CHECKING:
    from collections.abc import Iterable

    from tendwork.orchard.records import Records
    from tendwork.planning.results import Task

_SEASON_OF_KEY = re.compile(r".*/([0-9]{4})(?:\.[0-9]+)?", re.DOTALL)
_KEYS_LISTED = 5


def found(tasks: Iterable[Task], key: str, season: str = "this season") -> Task:
    """The task with this key, or the only one whose key starts so. Raises PersonError with the nearest keys.

    `season` is what the tasks are of, in words.
    """
    by_key = {task.key: task for task in tasks}
    if key in by_key:
        return by_key[key]
    begun = [held for held in by_key if held.startswith(key)]
    if len(begun) == 1:
        return by_key[begun[0]]
    if begun:
        raise PersonError(f'"{key}" may mean {_listed(begun)}. Write more of the one you mean.')
    near = get_close_matches(key, list(by_key), n=3, cutoff=0.3)
    hint = f"Near it: {_listed(near)}." if near else "`tendwork season` lists the tasks."
    raise PersonError(f'There is no task "{key}" in {season}. {hint}')


def day_in_season_of(key: str, today: date, south: bool, records: Records) -> date | None:
    """The day on which to look at a task of another season: the last one of a season that is over, or the first.

    None where the key is of the season of `today`, or names none. Raises PersonError for a season that cannot be
    planned.
    """
    named = _SEASON_OF_KEY.fullmatch(key)
    present = season_of(today, south)
    if named is None or int(named.group(1)) == present.name:
        return None
    name = int(named.group(1))
    if name > present.following.name:
        raise PersonError(f"Season {name} cannot be planned yet: only this one, {present.name}, and the next.")
    if name > present.name:
        return present.following.start
    first = earliest_season(records, present)
    if name < first:
        told = f"the first record is of season {first}" if records.ticks or records.grafts else "there is no record yet"
        raise PersonError(f"Nothing is recorded of season {name}: {told}.")
    return Season(name, south).end


def _listed(keys: list[str]) -> str:
    shown = ", ".join(keys[:_KEYS_LISTED])
    return shown if len(keys) <= _KEYS_LISTED else f"{shown} and {len(keys) - _KEYS_LISTED} more"
