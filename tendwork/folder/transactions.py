"""What one act may do to the records, and how it is taken back.

Each change is kept as [table, row before, row after]. Ticks are only ever appended: taking one back appends its
opposite. The changes that follow a tick in its act, up to the next, are what followed from it (`ticked_acts.py`).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection
from datetime import date
from typing import Any

from tendwork.errors import PersonError
from tendwork.folder.fields import GRAFTS, KINDS, TICKS, TREES, Kind, kind_of, record_fault, to_cell
from tendwork.folder.records_reading import record_of
from tendwork.folder.ticked_acts import ticked_acts
from tendwork.orchard.edits import Add, Edit, Replace, Row
from tendwork.orchard.records import Record, RecordKind, Tick
from tendwork.orchard.standing_ticks import TickKey, standing_tick
from tendwork.orchard.taking_back import TickedActs

StoredRow = dict[str, Any]
Change = tuple[RecordKind, StoredRow | None, StoredRow | None]


class Transaction:
    """The changes of one act, made inside its transaction; `changes` is what the journal keeps.

    `description` is what an undo will say that it undid: the words of the edit that is made, if it has any.
    """

    def __init__(self, connection: sqlite3.Connection, description: str) -> None:
        self._connection = connection
        self.description = description
        self.changes: list[Change] = []

    def add(self, record: Record, back_into: Row | None = None) -> None:
        """Add a record, at the end of its kind or back into the row that it had.

        Raises PersonError if it has an id that is taken, or refers to a record that is not there.
        """
        kind = kind_of(record)
        row = self._checked(kind, record)
        if kind.has_id and _row(self._connection, kind.name, "id", row["id"]) is not None:
            raise PersonError(f'There is already a {kind.one} "{row["id"]}". Choose another id, or change that one.')
        if back_into is not None:
            row = {"seq": back_into.number, **row}
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

    def remove(self, record: Record, row: Row | None = None) -> None:
        """Remove a record: the one in this row, else the one with its id, else the newest equal one.

        Raises PersonError if there is none, or others need it.
        """
        kind = kind_of(record)
        if kind is TICKS:
            raise PersonError("A tick is never removed. Undo it instead.")
        before = self._held(kind, record) if row is None else self._in_row(kind, row)
        self._refuse_while_needed(kind, before)
        _delete(self._connection, kind.name, before["seq"])
        self.changes.append((kind.name, before, None))

    def apply(self, edit: Edit) -> None:
        """Make an edit, and describe the act by its words, if it has any. Raises PersonError where it is refused."""
        if edit.refused:
            raise PersonError(" ".join(edit.refused))
        for change in edit.changes:
            if isinstance(change, Add):
                self.add(change.record, change.row)
            elif isinstance(change, Replace):
                self.replace(change.record)
            else:
                self.remove(change.record, change.row)
        self.description = edit.words or self.description

    def ticked_acts(self, keys: Collection[TickKey]) -> TickedActs:
        """What followed in their acts from the ticks that stand on these units. Raises Damaged."""
        return ticked_acts(self._connection, keys)

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

    def _in_row(self, kind: Kind, row: Row) -> StoredRow:
        held = _row(self._connection, kind.name, "seq", row.number)
        if held is None:
            raise PersonError(f"There is no such {kind.one}.")
        return held

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


def ticks_made(changes: Collection[Change]) -> frozenset[TickKey]:
    """On what an act ticked something."""
    ticks = [after for table, _, after in changes if table == TICKS.name and after is not None]
    return frozenset((tick["task"], tick["unit"]) for tick in ticks if not tick["undone"])


def take_back(connection: sqlite3.Connection, changes: list[Change], day: date | None) -> None:
    """Reverse the changes of an act, last first. Raises PersonError if a row is no longer as the act left it."""
    for table, before, after in reversed(changes):
        if table == TICKS.name and after is not None:
            _append_opposite(connection, after, day)
        else:
            _reverse(connection, table, before, after)


def _reverse(
    connection: sqlite3.Connection, table: RecordKind, before: StoredRow | None, after: StoredRow | None
) -> None:
    seq = (after or before or {})["seq"]
    if not _as_left(_row(connection, table, "seq", seq), after):
        raise PersonError(f"That cannot be undone: {_label(table, after or before)} was changed outside this program.")
    if before is None:
        _delete(connection, table, seq)
    elif after is None:
        _insert(connection, table, before)
    else:
        _update(connection, table, before)


def _as_left(now: StoredRow | None, left: StoredRow | None) -> bool:
    """Whether a row is as an act left it, in the columns that there were then."""
    if now is None or left is None:
        return now is left
    return all(now[name] == value for name, value in left.items())


def _append_opposite(connection: sqlite3.Connection, tick: StoredRow, day: date | None) -> None:
    row = {name: value for name, value in tick.items() if name != "seq"}
    row["undone"] = int(not tick["undone"])
    was = _tick_before(connection, tick) if tick["undone"] else None
    if was is not None:
        row["day"] = was.day.isoformat()  # what was unticked stands again as it stood
    elif day is not None:
        row["day"] = day.isoformat()
    _insert(connection, TICKS.name, row)


def _tick_before(connection: sqlite3.Connection, tick: StoredRow) -> Tick | None:
    """The tick that stood on the unit before this row."""
    query = "SELECT * FROM ticks WHERE task = :task AND unit = :unit AND seq < :seq ORDER BY seq"
    cursor = connection.execute(query, tick)
    names = [column[0] for column in cursor.description]
    rows = [dict(zip(names, row, strict=True)) for row in cursor]
    return standing_tick((record_of(TICKS, row) for row in rows), tick["task"], tick["unit"])


def _label(table: RecordKind, row: StoredRow | None) -> str:
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
