"""What comes off and what is free: next winter's limbs to cut, and the places in the crowns that wait for something."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct

from tendwork.orchard.crown import CrownPlace, place_of, place_words
from tendwork.orchard.records import Records, Tree
from tendwork.orchard.verdicts import EmptyPlace, cut_list, empty_places
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.words import in_units

PLACE_ORDERS = ("tree", "variety", "state")
PLACE_MARKS = {"to cut": Mark("◆", "!", "to cut"), "free": Mark("○", "o", "free")}
_COLUMNS = (MARK, "state", "tree", "place", "variety", "id")
_MOST_PLACE_COLUMNS = 46
_INDENT = " " * 4


class PlaceRow(Struct, frozen=True):
    """A graft judged "cut" that is still there, or a place that is free; `graft` is what stands or stood there."""

    state: Literal["to cut", "free"]
    tree: Tree
    graft: str
    variety: str
    place: CrownPlace

    @property
    def id(self) -> str:
        return f"{self.state}/{self.graft}"

    @property
    def words(self) -> str:
        """What a filter looks through."""
        return f"{self.state} {self.graft} {self.variety} {self.tree.name} {self.tree.species}".casefold()


def place_rows(records: Records) -> tuple[PlaceRow, ...]:
    """The grafts to cut, and the places free now, by tree."""
    trees = {tree.id: tree for tree in records.trees}
    rows = [
        PlaceRow("to cut", trees[graft.tree], graft.id, graft.variety, place_of(graft))
        for graft in cut_list(records)
        if graft.tree in trees
    ]
    rows += [
        PlaceRow("free", trees[empty.tree], empty.was, empty.variety, empty.place)
        for empty in empty_places(records)
        if empty.free_now and empty.tree in trees
    ]
    return tuple(rows)


def places_in_order(rows: Iterable[PlaceRow], order: str, backwards: bool = False) -> tuple[PlaceRow, ...]:
    """In an order of PLACE_ORDERS."""

    def key(row: PlaceRow) -> tuple[str, ...]:
        own = {"tree": row.tree.name.casefold(), "variety": row.variety.casefold(), "state": ""}[order]
        return own, "" if row.state == "to cut" else "~", row.tree.name.casefold(), row.graft

    return tuple(sorted(rows, key=key, reverse=backwards))


def place_columns(rows: Iterable[PlaceRow], width: int) -> tuple[Column, ...]:
    """The columns that a page has room for."""
    held = tuple(rows)
    ids = min(max((display_width(plain(row.graft)) for row in held), default=2), 10)
    trees = min(max((display_width(plain(row.tree.name)) for row in held), default=4), 14)
    room = max(width - ids - trees - 34, 16)
    wanted = {
        MARK: 1,
        "place": min(room, _MOST_PLACE_COLUMNS),
        "state": 6,
        "tree": max(trees, 5),
        "id": ids,
        "variety": 18,
    }
    return lay_columns(wanted, _COLUMNS, width, "place", _MOST_PLACE_COLUMNS)


def place_cells(row: PlaceRow, columns: tuple[Column, ...], units: str, ascii_only: bool = False) -> str:
    """The row of a place."""
    mark = PLACE_MARKS[row.state]
    cells = {
        MARK: mark.ascii if ascii_only else mark.symbol,
        "state": row.state,
        "tree": row.tree.name,
        "place": in_units(place_words(row.place), units) or "place not noted",
        "variety": row.variety,
        "id": row.graft,
    }
    return row_line(columns, cells)


def place_lines(row: PlaceRow, units: str, width: int) -> list[str]:
    """What stands or stood there, and where that is."""
    where = in_units(place_words(row.place), units) or "place not noted"
    said = (
        "comes off in its season; its place is free then" if row.state == "to cut" else "stood here; the place is free"
    )
    return wrapped(plain(f"{row.variety} ({row.graft}) {said}: {where}."), width)


def places_text(places: Iterable[EmptyPlace], width: int, units: str = "metric") -> str:
    """The places in the crowns that are free or will be."""
    lines = []
    for empty in places:
        when = "free" if empty.free_now else "free once it is taken off"
        where = in_units(place_words(empty.place), units)
        told = f"{plain(empty.tree)}: {where}, was {plain(empty.variety)} ({plain(empty.was)}), {when}"
        lines += wrapped(told, width, "", _INDENT)
    return "\n".join(lines) or "No place is known to be free."
