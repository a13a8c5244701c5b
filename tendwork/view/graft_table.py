"""The grafts of all trees as a table: which rows, in which order, and as many columns as a page has room for."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct

from tendwork.orchard.finding import found
from tendwork.orchard.records import GRAFT_STATES, VERDICTS, Graft, Records, Tree
from tendwork.view.plain import graft_order
from tendwork.view.records_crown import GRAFT_MARKS
from tendwork.view.text import display_width, padded, plain
from tendwork.view.words import in_units, month_words

BY_TREE = "tree"
ORDERS = (BY_TREE, "variety", "state", "verdict", "set", "height", "method")
_BETWEEN = 2
_LEAST_VARIETY_COLUMNS, _WANTED_VARIETY_COLUMNS, _MOST_VARIETY_COLUMNS = 14, 24, 30
_MOST_NAME_COLUMNS = 14
_MOST_ID_COLUMNS = 10
_LAST = "\U0010ffff"  # sorts after every word: what is not noted stands at the end


class Row(Struct, frozen=True):
    """One row: a graft, or a tree as the heading of its grafts."""

    tree: Tree
    graft: Graft | None = None

    @property
    def id(self) -> str:
        """The row's own id, since a tree and a graft may share one."""
        return f"tree/{self.tree.id}" if self.graft is None else f"graft/{self.graft.id}"


class Column(Struct, frozen=True):
    """One column of a page: its name, where it starts and how wide it is."""

    name: str
    start: int
    columns: int


def graft_rows(records: Records, order: str = BY_TREE, backwards: bool = False) -> tuple[Row, ...]:
    """All grafts in an order of ORDERS; by tree, each tree stands before its grafts, the lowest first."""
    trees = {tree.id: tree for tree in records.trees}
    rows = [Row(trees[graft.tree], graft) for graft in records.grafts if graft.tree in trees]
    if order != BY_TREE:
        return tuple(sorted(rows, key=lambda row: _sort_key(row, order), reverse=backwards))
    of_tree: dict[str, list[Row]] = {tree.id: [] for tree in records.trees}
    for row in rows:
        of_tree[row.tree.id].append(row)
    laid = []
    for tree in records.trees:
        own = sorted(of_tree[tree.id], key=lambda row: graft_order(_graft(row)), reverse=backwards)
        laid += [Row(tree), *own]
    return tuple(laid)


def matching_rows(rows: tuple[Row, ...], query: str) -> tuple[tuple[Row, ...], str]:
    """The rows that a query may mean, in their order, with the trees they stand under; and the id of the likeliest.

    A graft is meant by its id, variety or initials (`finding.found`), or where all words stand somewhere in its row.
    """
    words = query.casefold().split()
    if not words:
        return rows, ""
    named = [graft.id for graft in found((row.graft for row in rows if row.graft is not None), query)]
    meant = set(named)
    kept = [row for row in rows if (row.graft is not None and row.graft.id in meant) or _has(row, words)]
    shown = {row.id for row in kept} | {f"tree/{row.tree.id}" for row in kept}
    under = tuple(row for row in rows if row.id in shown)
    first = next((row.id for row in under if row.graft is not None), under[0].id if under else "")
    return under, f"graft/{named[0]}" if named else first


def table_columns(rows: Iterable[Row], width: int, order: str = BY_TREE) -> tuple[Column, ...]:
    """The columns that a page of so many columns has room for, in their order; the variety takes what is left."""
    held = [row for row in rows if row.graft is not None]
    ids = max((display_width(plain(_graft(row).id)) for row in held), default=2)
    names = max((display_width(plain(row.tree.name)) for row in held), default=4)
    varieties = max((display_width(plain(_graft(row).variety)) for row in held), default=0)
    least = min(max(varieties, _LEAST_VARIETY_COLUMNS), _WANTED_VARIETY_COLUMNS, max(width - ids - 9, 8))
    # By how much each is wanted: what has no room is left out from the end.
    wanted = [("id", min(ids, _MOST_ID_COLUMNS)), ("variety", least), ("", 1), ("height", 7)]
    wanted += [] if order == BY_TREE else [("tree", min(max(names, 5), _MOST_NAME_COLUMNS))]
    wanted += [("state", 7), ("verdict", 8), ("set", 8), ("method", 15)]
    sizes: dict[str, int] = {}
    room = width
    for name, columns in wanted:
        if columns + _BETWEEN > room and name not in ("id", "variety"):
            break
        sizes[name] = columns
        room -= columns + _BETWEEN
    sizes["variety"] += max(0, min(room + _BETWEEN, _MOST_VARIETY_COLUMNS - least))
    laid, start = [], 0
    for name in ("id", "variety", "tree", "", "state", "verdict", "set", "height", "method"):
        if name in sizes:
            laid.append(Column(name, start, sizes[name]))
            start += sizes[name] + (1 if name == "" else _BETWEEN)
    return tuple(laid)


def head_line(columns: tuple[Column, ...], order: str, backwards: bool, ascii_only: bool = False) -> str:
    """The names of the columns, with a mark at the one that the rows are ordered by."""
    line = ""
    for column in columns:
        up, down = ("^", "v") if ascii_only else ("▴", "▾")
        mark = (up if backwards else down) if column.name == order else ""
        line += " " * (column.start - display_width(line)) + padded(column.name + mark, column.columns)
    return line


def graft_cells(row: Row, columns: tuple[Column, ...], units: str = "metric", ascii_only: bool = False) -> str:
    """The row of a graft in these columns."""
    graft = _graft(row)
    line = ""
    for column in columns:
        if column.name == "":
            mark = GRAFT_MARKS[graft.state]
            cell = mark.ascii if ascii_only else mark.symbol
        else:
            cell = in_units(_CELLS[column.name](row), units) if column.name == "height" else _CELLS[column.name](row)
        line += " " * (column.start - display_width(line)) + padded(plain(cell), column.columns)
    return line


def _graft(row: Row) -> Graft:
    assert row.graft is not None
    return row.graft


def _has(row: Row, words: list[str]) -> bool:
    tree, graft = row.tree, row.graft
    text = f"{tree.id} {tree.name} {tree.species} {tree.stock} {tree.place}"
    if graft is not None:
        text += f" {graft.id} {graft.variety} {graft.state} {graft.verdict} {graft.method} {graft.wrap} {graft.seal}"
        text += f" {graft.wood} {graft.note}"
    folded = text.casefold()
    return all(word in folded for word in words)


def _height_words(row: Row) -> str:
    height_m = _graft(row).height_m
    return "" if height_m is None else f"{height_m:g} m"


def _set_words(row: Row) -> str:
    set_on = _graft(row).set_on
    return "" if set_on is None else month_words(set_on)


_CELLS: dict[str, Callable[[Row], str]] = {
    "id": lambda row: _graft(row).id,
    "variety": lambda row: _graft(row).variety,
    "tree": lambda row: row.tree.name,
    "state": lambda row: _graft(row).state,
    "verdict": lambda row: _graft(row).verdict,
    "set": _set_words,
    "height": _height_words,
    "method": lambda row: _graft(row).method,
}


def _sort_key(row: Row, order: str) -> tuple[object, ...]:
    graft = _graft(row)
    own: object
    if order == "state":
        own = GRAFT_STATES.index(graft.state)
    elif order == "verdict":
        own = VERDICTS.index(graft.verdict)
    elif order == "set":
        own = "" if graft.set_on is None else graft.set_on.isoformat()
        own = own or _LAST
    elif order == "height":
        own = float("inf") if graft.height_m is None else graft.height_m
    else:
        own = (graft.method if order == "method" else graft.variety).casefold() or _LAST
    return own, graft.variety.casefold(), graft.id
