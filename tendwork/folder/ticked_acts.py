"""What the acts that are kept tell of ticks: the changes that followed from each one that stands."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection

import msgspec

from tendwork.folder.fields import KINDS, TICKS
from tendwork.folder.records_reading import decoded_changes, record_of
from tendwork.orchard.records import RecordKind, Tick
from tendwork.orchard.standing_ticks import TickKey, key_of, layers_standing
from tendwork.orchard.taking_back import Followed, TickedActs


def ticked_acts(connection: sqlite3.Connection, keys: Collection[TickKey]) -> TickedActs:
    """What followed from each tick that stands on these units; nothing from one that came without. Raises Damaged."""
    ticks: list[Tick] = []
    followed: list[list[Followed]] = []
    for text in _acts_that_name(connection, {task for task, _ in keys}):
        follows: list[Followed] | None = None
        for table, before, after in decoded_changes(text):
            if table == TICKS.name and after is not None:
                tick = record_of(TICKS, after)
                follows = [] if key_of(tick) in keys else None
                if follows is not None:
                    ticks.append(tick)
                    followed.append(follows)
            elif follows is not None:
                kind, row = KINDS[table], (after or before or {})["seq"]
                rows = (None if cells is None else record_of(kind, cells) for cells in (before, after))
                follows.append(Followed(row, *rows))
    layers = layers_standing(ticks)
    found = {key: tuple(tuple(followed[place]) for place in places) for key, places in layers.items()}
    kinds = dict.fromkeys(change.kind for layers_of in found.values() for layer in layers_of for change in layer)
    return TickedActs(found, {kind: _row_numbers(connection, kind) for kind in kinds})


def _acts_that_name(connection: sqlite3.Connection, tasks: Collection[str]) -> list[str]:
    """The changes of the acts that stand and name one of these tasks, oldest act first."""
    query = "SELECT seq, changes FROM acts WHERE NOT undone AND instr(changes, ?)"
    found: dict[int, str] = {}
    for task in tasks:
        found.update(connection.execute(query, (msgspec.json.encode(task).decode(),)).fetchall())
    return [found[number] for number in sorted(found)]


def _row_numbers(connection: sqlite3.Connection, kind: RecordKind) -> tuple[int, ...]:
    return tuple(number for (number,) in connection.execute(f"SELECT seq FROM {kind} ORDER BY seq"))
