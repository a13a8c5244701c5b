"""Tables on a page of whatever width: which columns have room, their heads, and a row's cells under them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from tendwork.view.text import padded, plain

MARK = ""  # the name of a column that holds one symbol, and stands close to the next
_BETWEEN = 2


class Column(Struct, frozen=True):
    """One column of a page: its name, where it starts and how wide it is."""

    name: str
    start: int
    columns: int


def lay_columns(
    wanted: Mapping[str, int], in_order: Sequence[str], width: int, wide: str, most: int
) -> tuple[Column, ...]:
    """The columns that a page has room for, left to right as `in_order`.

    `wanted` are their widths, the most wanted first; the first two always stand. `wide` grows to `most` columns where
    there is room.
    """
    sizes: dict[str, int] = {}
    room = width
    for name, columns in wanted.items():
        if columns + _BETWEEN > room and len(sizes) >= 2:
            break
        sizes[name] = columns
        room -= columns + _gap(name)
    shown = [name for name in in_order if name in sizes]
    room += _gap(shown[-1])  # nothing stands after the last one
    sizes[wide] += max(0, min(room, most - sizes[wide]))
    laid, start = [], 0
    for name in shown:
        laid.append(Column(name, start, sizes[name]))
        start += sizes[name] + _gap(name)
    return tuple(laid)


def _gap(name: str) -> int:
    return 1 if name == MARK else _BETWEEN


def head_line(columns: Sequence[Column], order: str, backwards: bool, ascii_only: bool = False) -> str:
    """The names of the columns, with a mark at the one that the rows are ordered by."""
    up, down = ("^", "v") if ascii_only else ("▴", "▾")
    mark = up if backwards else down
    return row_line(columns, {column.name: column.name + (mark if column.name == order else "") for column in columns})


def row_line(columns: Sequence[Column], cells: Mapping[str, str]) -> str:
    """Cells by the names of their columns in one line, clipped where they are too long."""
    line, end = "", 0
    for column in columns:
        line += " " * (column.start - end) + padded(plain(cells[column.name]), column.columns)
        end = column.start + column.columns
    return line
