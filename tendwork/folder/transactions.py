"""What one act may do to the records, and how it is taken back.

Each change is kept as [table, row before, row after]. Ticks are only ever appended: taking one back appends its
opposite. The changes that follow a tick in its act are that tick's consequences, so that taking the tick back can take
them too.
"""

from __future__ import annotations

import sqlite3
from datetime import date
from typing import Any

import msgspec

from tendwork.errors import PersonError
from tendwork.folder.fields import GRAFTS, KINDS, TICKS, TREES, Kind, Record, from_cell, kind_of, record_fault, to_cell
from tendwork.orchard.records import Tick

StoredRow = dict[str, Any]
Change = tuple[str, StoredRow | None, StoredRow | None]

# Where several acts each take a few, taking one back puts its share back instead of the old total.
_COUNTED = frozenset({"sticks", "promised_sticks"})


class Transaction:
    """The changes of one act, made inside its transaction; `changes` is what the journal keeps.

    `description` may change while it is made, by whoever knows only then what there was to do.
    """

    def __init__(self, connection: sqlite3.Connection, description: str) -> None:
        self._connection = connection
        self.description = description
        self.changes: list[Change] = []

    def add(self, record: Record) -> None:
        """Add a record. Raises PersonError if it has an id that is taken, or refers to a record that is not there."""
        kind = kind_of(record)
        row = self._checked(kind, record)
        if kind.has_id and _row(self._connection, kind.name, "id", row["id"]) is not None:
            raise PersonError(f'There is already a {kind.one} "{row["id"]}". Choose another id, or change that one.')
        seq = _insert(self._connection, kind.name, row)
        self.changes.append((kind.name, None, {"seq": seq, **row}))

    def replace(self, record: Record) -> None:
        """Put a tree, graft or bundle in the place of the one with the same id. Raises PersonError if there is none."""
        kind = kind_of(record)
        row = self._checked(kind, record)
        before = self._held(kind, record)
        after = {"seq": before["seq"], **row}
        if after != before:
            _update(self._connection, kind.name, after)
            self.changes.append((kind.name, before, after))

    def remove(self, record: Record) -> None:
        """Remove a record: the one with its id, else the newest equal one. Raises PersonError if others need it."""
        kind = kind_of(record)
        if kind is TICKS:
            raise PersonError("A tick is never removed. Undo it instead.")
        before = self._held(kind, record)
        self._refuse_while_needed(kind, before)
        _delete(self._connection, kind.name, before["seq"])
        self.changes.append((kind.name, before, None))

    def replace_tick(self, tick: Tick, standing: int) -> None:
        """Put a tick on top of the newest `standing` of its unit, and make the records as if those had not been made.

        What that reverses is a consequence of the new tick, so that all is as it was when the new tick goes.
        """
        replaced = self._consequences(tick.task, tick.unit)[-standing:]
        self.add(tick)
        for following in reversed(replaced):
            for change in reversed(following):
                self.changes += _reverse(self._connection, change, leniently=True)

    def untick(self, task: str, unit: str, day: date) -> None:
        """Take back the newest tick that stands on a unit of a task, and its consequences. Raises PersonError."""
        tick = _standing_tick(self._connection, task, unit)
        if tick is None:
            raise PersonError(f'Nothing is ticked for "{unit}" of {task}.')
        for following in self._consequences(task, unit)[-1:]:
            for change in reversed(following):
                self.changes += _reverse(self._connection, change, leniently=True)
        self.changes.append(_opposite(self._connection, tick, day))

    def _checked(self, kind: Kind, record: Record) -> StoredRow:
        if fault := record_fault(record):
            raise PersonError(f"The {kind.one} cannot be kept: {fault}.")
        for field in kind.fields:
            named = getattr(record, field.name)
            if field.to and named and _row(self._connection, field.to, "id", named) is None:
                raise PersonError(f'There is no {KINDS[field.to].one} "{named}". Add it first, or name another.')
        return {field.name: to_cell(field, getattr(record, field.name)) for field in kind.fields}

    def _held(self, kind: Kind, record: Record) -> StoredRow:
        if kind.has_id:
            row = _row(self._connection, kind.name, "id", record.id)  # type: ignore[union-attr]
            if row is None:
                raise PersonError(f'There is no {kind.one} "{record.id}".')  # type: ignore[union-attr]
            return row
        cells = {field.name: to_cell(field, getattr(record, field.name)) for field in kind.fields}
        same = " AND ".join(f"{name} IS :{name}" for name in cells)
        row = _fetch(self._connection, f"SELECT * FROM {kind.name} WHERE {same} ORDER BY seq DESC LIMIT 1", cells)
        if row is None:
            raise PersonError(f"There is no such {kind.one}.")
        return row

    def _refuse_while_needed(self, kind: Kind, row: StoredRow) -> None:
        if kind not in (TREES, GRAFTS):
            return
        for other in KINDS.values():
            for field in other.fields:
                if field.to == kind.name:
                    query = f"SELECT count(*) FROM {other.name} WHERE {field.name} = ?"
                    count = self._connection.execute(query, (row["id"],)).fetchone()[0]
                    if count:
                        what = f'The {kind.one} "{row["id"]}" has {count} {other.name}'
                        raise PersonError(f"{what}. Move or remove them first; nothing was changed.")

    def record(self, kind: str, identity: str) -> Record | None:
        """The record of a kind that has this id, as it is now."""
        row = _row(self._connection, kind, "id", identity)
        if row is None:
            return None
        return KINDS[kind].record(**{field.name: from_cell(field, row[field.name]) for field in KINDS[kind].fields})

    def _consequences(self, task: str, unit: str) -> list[list[Change]]:
        """What followed each standing tick in its act, oldest tick first; nothing for a tick that came without any."""
        query = "SELECT changes FROM acts WHERE NOT undone AND instr(changes, ?) ORDER BY seq"
        standing: list[list[Change]] = []
        for (text,) in self._connection.execute(query, (msgspec.json.encode(task).decode(),)):
            following: list[Change] = []
            for table, before, after in msgspec.json.decode(text):
                if table != TICKS.name:
                    following.append((table, before, after))
                    continue
                following = []
                if (after["task"], after["unit"]) != (task, unit):
                    continue
                if not after["undone"]:
                    standing.append(following)
                elif standing:
                    standing.pop()
        return standing


def _standing_tick(connection: sqlite3.Connection, task: str, unit: str, before: int | None = None) -> StoredRow | None:
    """The tick that stands on a unit of a task, or that stood there before the row of this number."""
    standing: list[int] = []
    rows = connection.execute("SELECT seq, undone FROM ticks WHERE task = ? AND unit = ? ORDER BY seq", (task, unit))
    for seq, undone in rows.fetchall():
        if before is not None and seq >= before:
            break
        if not undone:
            standing.append(seq)
        elif standing:
            standing.pop()
    return _row(connection, TICKS.name, "seq", standing[-1]) if standing else None


def take_back(connection: sqlite3.Connection, changes: list[Change], day: date | None) -> None:
    """Reverse the changes of an act, last first. Raises PersonError if a row is no longer as the act left it."""
    for table, before, after in reversed(changes):
        if table == TICKS.name and after is not None:
            _opposite(connection, after, day)
        else:
            _reverse(connection, (table, before, after), leniently=False)


def _reverse(connection: sqlite3.Connection, change: Change, leniently: bool) -> list[Change]:
    """Reverse one change; leniently, only the fields that are still as it left them, and counts by their difference."""
    table, before, after = change
    seq = (after or before or {})["seq"]
    now = _row(connection, table, "seq", seq)
    if not leniently and not _as_left(now, after):
        raise PersonError(f"That cannot be undone: {_label(table, after or before)} was changed outside this program.")
    if before is None and now is not None:
        _delete(connection, table, seq)
        return [(table, now, None)]
    if after is None and before is not None and now is None:
        _insert(connection, table, before)
        return [(table, None, before)]
    if before is None or after is None or now is None:
        return []
    restored = dict(now)
    for name, value in before.items():
        if name in _COUNTED and None not in (value, after[name]):
            restored[name] = max(0, now[name] + value - after[name])
        elif now[name] == after[name]:
            restored[name] = value
    if restored == now:
        return []
    _update(connection, table, restored)
    return [(table, now, restored)]


def _as_left(now: StoredRow | None, left: StoredRow | None) -> bool:
    """Whether a row is as an act left it, in the columns that there were then."""
    if now is None or left is None:
        return now is left
    return all(now[name] == value for name, value in left.items())


def _opposite(connection: sqlite3.Connection, tick: StoredRow, day: date | None) -> Change:
    row = {name: value for name, value in tick.items() if name != "seq"}
    row["undone"] = int(not tick["undone"])
    was = _standing_tick(connection, tick["task"], tick["unit"], tick["seq"]) if tick["undone"] else None
    if was is not None:
        row["day"] = was["day"]  # what was unticked stands again as it stood
    elif day is not None:
        row["day"] = day.isoformat()
    return (TICKS.name, None, {"seq": _insert(connection, TICKS.name, row), **row})


def _label(table: str, row: StoredRow | None) -> str:
    return f'the {KINDS[table].one} "{(row or {}).get("id", "")}"' if KINDS[table].has_id else f"a {KINDS[table].one}"


def _fetch(connection: sqlite3.Connection, query: str, values: Any) -> StoredRow | None:
    cursor = connection.execute(query, values)
    row = cursor.fetchone()
    return None if row is None else dict(zip((column[0].lower() for column in cursor.description), row, strict=True))


def _row(connection: sqlite3.Connection, table: str, column: str, value: Any) -> StoredRow | None:
    return _fetch(connection, f"SELECT * FROM {table} WHERE {column} = ?", (value,))


def _insert(connection: sqlite3.Connection, table: str, row: StoredRow) -> int:
    names = ", ".join(row)
    places = ", ".join(f":{name}" for name in row)
    return int(connection.execute(f"INSERT INTO {table} ({names}) VALUES ({places})", row).lastrowid or 0)


def _update(connection: sqlite3.Connection, table: str, row: StoredRow) -> None:
    sets = ", ".join(f"{name} = :{name}" for name in row if name != "seq")
    connection.execute(f"UPDATE {table} SET {sets} WHERE seq = :seq", row)


def _delete(connection: sqlite3.Connection, table: str, seq: int) -> None:
    connection.execute(f"DELETE FROM {table} WHERE seq = ?", (seq,))
