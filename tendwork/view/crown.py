"""The crown from above in character cells: north up, height and state by symbol, the chosen graft marked by a pointer.

Each graft has a slot of three cells: the pointer, its height, its state. Grafts that fall into one slot are shown by a
number and listed under it. Colour is never needed; a front may style the cells by their roles.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct

from tendwork.orchard.crown import SLOT_COLUMNS, Layout, Spot, lay_out, place_of, place_words
from tendwork.orchard.records import Graft, GraftState
from tendwork.view.symbols import Mark
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.words import in_units

GRAFT_MARKS: dict[GraftState, Mark] = {
    "planned": Mark("○", "p", "planned"),
    "set": Mark("◎", "s", "set"),
    "took": Mark("◉", "t", "took"),
    "bearing": Mark("●", "b", "bearing"),
    "failed": Mark("×", "x", "failed"),
    "removed": Mark("−", "-", "removed"),
}
# (below so many metres, the mark)
HEIGHT_MARKS: tuple[tuple[float, Mark], ...] = (
    (1.0, Mark("▁", "_", "under 1 m")),
    (2.0, Mark("▃", "=", "1 to 2 m")),
    (3.0, Mark("▅", "*", "2 to 3 m")),
    (float("inf"), Mark("▇", "#", "3 m and higher")),
)
UNKNOWN_HEIGHT = Mark("?", "?", "height not noted")
POINTER = Mark("►", ">", "chosen")
_TRUNK = Mark("┼", "+", "trunk")
_EDGE = Mark("·", ".", "edge")
_CELL_ASPECT = 2.0  # a terminal's cell is about twice as high as wide
_ASIDE = 2.0  # how much farther a graft seems that lies aside of the way


CellRole = Literal["blank", "edge", "trunk", "compass", "graft", "crowd", "chosen"]


class Cell(Struct, frozen=True):
    """One character. `role` is blank, edge, trunk, compass, graft, crowd or chosen; `graft` the id it stands for."""

    character: str = " "
    graft: str = ""
    role: CellRole = "blank"


class Crowd(Struct, frozen=True):
    """The grafts that share one slot, under the number shown there."""

    number: int
    grafts: tuple[str, ...]


class CrownPicture(Struct, frozen=True):
    """Rows of cells, the crowds among them, the grafts that have no place, and how far the edge is from the trunk."""

    cells: tuple[tuple[Cell, ...], ...]
    crowds: tuple[Crowd, ...]
    unplaced: tuple[str, ...]
    radius_m: float


def height_mark(height_m: float | None) -> Mark:
    """The mark of a height above ground."""
    if height_m is None:
        return UNKNOWN_HEIGHT
    return next(mark for below, mark in HEIGHT_MARKS if height_m < below)


def crown_picture(
    grafts: Iterable[Graft],
    columns: int,
    rows: int,
    chosen: str = "",
    ascii_only: bool = False,
    spread_m: float | None = None,
) -> CrownPicture:
    """The grafts of one tree in so many cells. Raises ValueError for fewer than 15 columns or 7 rows."""
    by_id = {graft.id: graft for graft in grafts}
    layout = lay_out(by_id.values(), columns, rows, spread_m)
    cells: dict[tuple[int, int], Cell] = {spot: Cell(_shown(_EDGE, ascii_only), "", "edge") for spot in layout.edge}
    trunk_row, trunk_column = layout.trunk
    cells[layout.trunk] = Cell(_shown(_TRUNK, ascii_only), "", "trunk")
    compass = {
        "N": (0, trunk_column),
        "S": (rows - 1, trunk_column),
        "W": (trunk_row, 0),
        "E": (trunk_row, columns - 1),
    }
    cells |= {spot: Cell(letter, "", "compass") for letter, spot in compass.items()}
    crowds: list[Crowd] = []
    for spot in layout.spots:
        lit = chosen in spot.grafts
        shown = chosen if lit else spot.grafts[0]
        role: CellRole = "chosen" if lit else "graft" if len(spot.grafts) == 1 else "crowd"
        if len(spot.grafts) > 1:
            crowds.append(Crowd(len(crowds) + 1, spot.grafts))
            marks = f"{len(crowds):>2}"
        else:
            graft = by_id[shown]
            marks = _shown(height_mark(graft.height_m), ascii_only) + _shown(GRAFT_MARKS[graft.state], ascii_only)
        text = (_shown(POINTER, ascii_only) if lit else " ") + marks
        for step, character in enumerate(text):
            cells[spot.row, spot.slot * SLOT_COLUMNS + step] = Cell(character, shown, role)
    blank = Cell()
    picture = tuple(tuple(cells.get((row, column), blank) for column in range(columns)) for row in range(rows))
    return CrownPicture(picture, tuple(crowds), layout.unplaced, layout.radius_m)


def crown_text(
    grafts: Iterable[Graft],
    columns: int,
    rows: int,
    chosen: str = "",
    units: str = "metric",
    ascii_only: bool = False,
    spread_m: float | None = None,
) -> str:
    """The picture, the words of its symbols, the chosen graft, the crowds and the grafts without a place."""
    held = tuple(grafts)
    picture = crown_picture(held, columns, rows, chosen, ascii_only, spread_m)
    lines = ["".join(cell.character for cell in row).rstrip() for row in picture.cells]
    return "\n".join([*lines, *crown_words(held, picture, columns, chosen, units, ascii_only)])


def crown_words(
    grafts: tuple[Graft, ...],
    picture: CrownPicture,
    width: int,
    chosen: str = "",
    units: str = "metric",
    ascii_only: bool = False,
) -> tuple[str, ...]:
    """What stands under the picture: the chosen graft in words and those that share its slot, then the symbols, the
    other crowds and the unplaced grafts.
    """
    by_id = {graft.id: graft for graft in grafts}
    placed = [graft for graft in grafts if graft.id not in picture.unplaced]
    lines, crowds = [], []
    if chosen in by_id:
        lines += wrapped(in_units(_told(by_id[chosen]), units), width, f"{_shown(POINTER, ascii_only)} ", "  ")
    heights = [mark for _, mark in HEIGHT_MARKS] + [UNKNOWN_HEIGHT]
    used = [mark for mark in heights if mark in {height_mark(graft.height_m) for graft in placed}]
    used += [mark for state, mark in GRAFT_MARKS.items() if state in {graft.state for graft in placed}]
    items = [f"{_shown(mark, ascii_only)} {mark.word}" for mark in used]
    items.append(f"{_shown(_EDGE, ascii_only)} {picture.radius_m:g} m from the trunk")
    for crowd in picture.crowds:
        members = "; ".join(in_units(_told(by_id[identity]), units) for identity in crowd.grafts)
        told = wrapped(members, width, f"{crowd.number:>2} ", "   ")
        if chosen in crowd.grafts:
            lines += told
        else:
            crowds += told
    lines += [*_packed([in_units(item, units) for item in items], width), *crowds]
    if picture.unplaced:
        names = ", ".join(plain(f"{by_id[identity].variety} ({identity})") for identity in picture.unplaced)
        lines += wrapped(f"Place not noted: {names}", width)
    return tuple(lines)


def _packed(items: list[str], width: int) -> list[str]:
    """Items side by side, none of them broken."""
    lines: list[str] = []
    for item in items:
        if lines and display_width(lines[-1]) + 2 + display_width(item) <= width:
            lines[-1] += "  " + item
        else:
            lines.append(item)
    return lines


def _told(graft: Graft) -> str:
    place = place_words(place_of(graft))
    return plain(f"{graft.variety} ({graft.id}), {graft.state}" + (f", {place}" if place else ""))


def _shown(mark: Mark, ascii_only: bool) -> str:
    return mark.ascii if ascii_only else mark.symbol


def neighbour(layout: Layout, chosen: str, down: int, right: int) -> str:
    """The graft that comes next one step `down` or `right` (1, 0 or -1); the chosen one itself where none does.

    Of grafts that share a slot, each is passed in turn. Without a chosen graft in the picture, the one nearest the
    trunk.
    """
    forward = down + right > 0
    here = next((spot for spot in layout.spots if chosen in spot.grafts), None)
    if here is None:
        row, column = layout.trunk
        start = Spot(row, column // SLOT_COLUMNS, ())
        nearest = min(layout.spots, key=lambda spot: sum(abs(part) for part in _way(start, spot)), default=None)
        return chosen if nearest is None else nearest.grafts[0]
    place = here.grafts.index(chosen) + (1 if forward else -1)
    if 0 <= place < len(here.grafts):
        return here.grafts[place]
    ahead = []
    for spot in layout.spots:
        to_down, to_right = _way(here, spot)
        along = to_down * down + to_right * right
        if along > 0:
            ahead.append((along + _ASIDE * abs(to_down * right + to_right * down), spot.row, spot.slot, spot))
    if not ahead:
        return chosen
    following = min(ahead, key=lambda entry: entry[:3])[3]
    return following.grafts[0 if forward else -1]


def _way(start: Spot, end: Spot) -> tuple[float, float]:
    """Down and to the right, in heights of a cell."""
    return end.row - start.row, (end.slot - start.slot) * SLOT_COLUMNS / _CELL_ASPECT
