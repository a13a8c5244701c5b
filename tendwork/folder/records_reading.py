"""Every row of an open database as a record, and everything that can be wrong inside it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import date
from typing import Any

import msgspec

from tendwork.folder.fields import DATES, KINDS, NUMBERS, Field, Form, Kind, from_cell, held_fault
from tendwork.folder.schema import upgrade
from tendwork.orchard.records import RecordKind, Records
from tendwork.species import SPECIES

_TYPES: dict[Form, tuple[type, ...]] = {
    Form.WHOLE: (int,),
    Form.YEAR: (int,),
    Form.NUMBER: (float, int),
    Form.FACING: (int,),
    Form.FLAG: (int,),
}
# A rule that is made stricter for these needs a step of the schema that mends what older rules let in.
_BOUNDED_FORMS = (*DATES, *NUMBERS)
_Row = dict[str, Any]


class Damaged(Exception):
    """What in the records no program of ours wrote, in a few words."""


def read_records(connection: sqlite3.Connection) -> Records:
    """All records, each kind in the order of entry. Raises Damaged, and sqlite3.Error."""
    return Records(**{name: _rows(connection, kind) for name, kind in KINDS.items()})


def decoded_changes(text: Any) -> list[tuple[RecordKind, _Row | None, _Row | None]]:
    """The changes of an act as it keeps them. Raises Damaged."""
    try:
        changes = msgspec.json.decode(text, type=list[tuple[RecordKind, _Row | None, _Row | None]])
    except (msgspec.MsgspecError, TypeError, UnicodeError):
        raise Damaged("what an act changed cannot be read") from None
    for table, before, after in changes:
        rows = [row for row in (before, after) if row is not None]
        if not rows or not all(_has_columns(KINDS[table], row) for row in rows):
            raise Damaged("an act changed what there is none of")
    return changes


def record_of(kind: Kind, row: _Row) -> Any:
    """The record in a row that an act keeps, of whatever schema and rules up to now. Raises Damaged."""
    try:
        given = {field.name: from_cell(field, row[field.name]) for field in kind.fields if field.name in row}
        return kind.record(**given)
    except (ValueError, AttributeError, TypeError):
        raise Damaged(f"an act changed a {kind.one} that cannot be read") from None


def _has_columns(kind: Kind, row: _Row) -> bool:
    """Whether it holds a row of this kind, of whatever schema up to now."""
    return type(row.get("seq")) is int and row.keys() - {"seq"} <= {field.name for field in kind.fields}


def inner_faults(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Pages, indexes, references, tables and values that are not as they must be, a few words each.

    The database has the newest schema. Raises sqlite3.Error.
    """
    pages = [str(row[0]) for row in connection.execute("PRAGMA integrity_check(20)") if row[0] != "ok"]
    loose = [
        f"a row of {row[0]} refers to nothing in {row[2]}" for row in connection.execute("PRAGMA foreign_key_check")
    ]
    if pages or loose:
        return (*pages, *loose)
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as ours:
        upgrade(ours)
        held, made = _shape(connection), _shape(ours)
        if held != made:
            return (f"its tables are not those that tendwork makes{_difference(held, made)}",)
    try:
        token(connection)
        read_records(connection)
        _read_acts(connection)
    except Damaged as damage:
        return (str(damage),)
    return ()


def refuse_header(connection: sqlite3.Connection) -> None:
    """Raise Damaged where the database is set up as no program of ours makes one; sqlite3.Error may be raised too."""
    encoding = connection.execute("PRAGMA encoding").fetchone()
    vacuum = connection.execute("PRAGMA auto_vacuum").fetchone()
    if encoding != ("UTF-8",) or vacuum != (0,):
        raise Damaged("their first page says what no tendwork writes")


def _shape(connection: sqlite3.Connection) -> dict[str, list[Any]]:
    """The columns, references and indexes of each table."""
    names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_stat%'")
    return {
        name: [
            connection.execute(f"SELECT * FROM {what}(?)", (name,)).fetchall()
            for what in ("pragma_table_xinfo", "pragma_foreign_key_list", "pragma_index_list")
        ]
        for (name,) in names.fetchall()
    }


def _difference(held: dict[str, list[Any]], made: dict[str, list[Any]]) -> str:
    """Which table or column is one too many, lacks or differs: ": grafts has a column "colour" too many"."""
    for table in (*held, *made):
        if table not in made or table not in held:
            return f': the table "{table[:40]}" {"is one too many" if table in held else "lacks"}'
        columns, ours = ({row[1]: row for row in shape[table][0]} for shape in (held, made))
        for name in (*columns, *ours):
            if name not in ours or name not in columns:
                return f': {table} {"has" if name in columns else "lacks"} a column "{name[:40]}"'
        if held[table] != made[table]:
            return f": {table} is made otherwise"
    return ""


def token(connection: sqlite3.Connection) -> str:
    """The word that changes with the content. Raises Damaged, and sqlite3.Error."""
    row = connection.execute("SELECT token FROM content").fetchone()
    if row is None:
        raise Damaged("they do not say what they are of")
    return str(row[0])


def _read_acts(connection: sqlite3.Connection) -> None:
    for at, description, changes in connection.execute("SELECT at, description, changes FROM acts"):
        if not isinstance(at, str) or not isinstance(description, str):
            raise Damaged("an act does not say what it was")
        decoded_changes(changes)


def _rows(connection: sqlite3.Connection, kind: Kind) -> tuple[Any, ...]:
    by_name = {field.name: field for field in kind.fields}
    fields = [by_name[name] for name in kind.record.__struct_fields__]  # type: ignore[attr-defined]
    known: list[dict[Any, Any]] = [{} for _ in fields]  # the same few words and days stand in thousands of rows
    records: list[Any] = []
    names = ", ".join(field.name for field in fields)
    for cells in connection.execute(f"SELECT {names} FROM {kind.name} ORDER BY seq"):
        values = []
        for field, values_of, cell in zip(fields, known, cells, strict=True):
            if cell not in values_of:
                try:
                    values_of[cell] = _value(field, cell)
                except ValueError as fault:
                    row = _row_words(connection, kind, len(records))
                    raise Damaged(f"in the table {kind.name}, {row}: {field.name} {fault}") from None
            values.append(values_of[cell])
        records.append(kind.record(*values))
    return tuple(records)


def _row_words(connection: sqlite3.Connection, kind: Kind, place: int) -> str:
    """A row by its id, or by its number where its kind has none."""
    named = "id" if kind.has_id else "seq"
    row = connection.execute(f"SELECT {named} FROM {kind.name} ORDER BY seq LIMIT 1 OFFSET ?", (place,)).fetchone()
    return f'"{_shown(row[0])}"' if kind.has_id else f"row {row[0]}"


def _value(field: Field, cell: Any) -> Any:
    """The value of a cell, where one of this form, and within its bounds, can have been written.

    Raises ValueError, whose words follow the field's name.
    """
    if type(cell) in _TYPES.get(field.form, (str,)) or (cell is None and _may_be_absent(field)):
        try:
            value = from_cell(field, cell)
            if field.form is Form.MONTH_DAY and value is not None:
                date(2000, *value)
        except (ValueError, AttributeError, TypeError):
            pass
        else:
            unknown = field.form is Form.SPECIES and value not in SPECIES and (value != "" or field.required)
            bounded = value is not None and (field.form in _BOUNDED_FORMS or field.choices)
            if bounded and (fault := held_fault(field, value)):
                raise ValueError(fault)
            if not unknown:
                return value
    raise ValueError("is missing" if cell is None else f'"{_shown(cell)}" is not {field.form.value}')


def _shown(cell: Any) -> str:
    return str(cell)[:40]


def _may_be_absent(field: Field) -> bool:
    return not field.required and field.form in (Form.REFERENCE, Form.MONTH_DAY, *DATES, *NUMBERS)
