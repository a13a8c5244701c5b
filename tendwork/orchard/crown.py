"""Where grafts stand in the crown: places, distances between them, and a crown laid out on a grid seen from above."""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import cos, floor, hypot, pi, radians, sin

from msgspec import Struct

from tendwork.orchard.records import Graft

SLOT_COLUMNS = 3  # one graft's room: whether it is chosen, how high it is, in which state
_CELL_ASPECT = 2.0  # a terminal's cell is about twice as high as wide
_LEAST_RADIUS_M = 0.5
_QUARTERS = ("north", "east", "south", "west")
_WINDS = ("N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW")
_DEGREES = {letters: int(number * 22.5) for number, letters in enumerate(_WINDS)}


class CrownPlace(Struct, frozen=True):
    """A place in a crown: degrees clockwise from north, metres above ground, metres from the trunk; None if unknown."""

    facing: int | None = None
    height_m: float | None = None
    out_m: float | None = None


class Spot(Struct, frozen=True):
    """The grafts that fall into one slot of the grid, by id."""

    row: int
    slot: int
    grafts: tuple[str, ...]


class Layout(Struct, frozen=True):
    """A crown on a grid of rows and slots, north up. `edge` are (row, column) cells of a circle at `radius_m`."""

    rows: int
    columns: int
    radius_m: float
    trunk: tuple[int, int]
    spots: tuple[Spot, ...]
    edge: tuple[tuple[int, int], ...]
    unplaced: tuple[str, ...]


def place_of(graft: Graft) -> CrownPlace:
    """The graft's place in its crown."""
    return CrownPlace(graft.facing, graft.height_m, graft.out_m)


def facing_named(text: str) -> int | None:
    """Degrees from north for a compass word in any spelling ("SE", "south-east", "nne"); None for anything else."""
    letters = re.sub("|".join(_QUARTERS), lambda word: word[0][0], text.casefold())
    return _DEGREES.get(re.sub("[ -]", "", letters).upper())


def facing_text(facing: int) -> str:
    """A facing as it is typed: "SE", or degrees where no compass word has just these."""
    return next((letters for letters, degrees in _DEGREES.items() if degrees == facing), str(facing))


def wind(facing: int) -> str:
    """The nearest compass word, of sixteen: "south-east", "south-south-east"."""
    names = {name[0].upper(): name for name in _QUARTERS}
    return "-".join(names[letter] for letter in _WINDS[round(facing / 22.5) % 16])


def place_words(place: CrownPlace) -> str:
    """ "2.4 m up, 1.1 m out, facing south-east"; empty where nothing is known."""
    parts = []
    if place.height_m is not None:
        parts.append(f"{place.height_m:g} m up")
    if place.out_m is not None:
        parts.append(f"{place.out_m:g} m out")
    if place.facing is not None:
        parts.append(f"facing {wind(place.facing)}")
    return ", ".join(parts)


def distance_m(one: CrownPlace, other: CrownPlace) -> float | None:
    """The straight distance between two places in metres; None where either is not wholly known."""
    ends = []
    for place in (one, other):
        if place.facing is None or place.height_m is None or place.out_m is None:
            return None
        ends.append((*_ground(place.facing, place.out_m), place.height_m))
    (x, y, z), (other_x, other_y, other_z) = ends
    return hypot(x - other_x, y - other_y, z - other_z)


def lay_out(grafts: Iterable[Graft], columns: int, rows: int, spread_m: float | None = None) -> Layout:
    """The grafts of one tree on a grid of so many character cells; grafts without facing or distance are unplaced.

    Its edge is that of a crown of this spread, or the farthest graft where that stands farther out or it is not known.
    The outermost rows and slots stay free for the compass. Raises ValueError for a grid under 15 columns or 7 rows.
    """
    if columns < 15 or rows < 7:
        raise ValueError(f"a crown needs 15 columns and 7 rows, not {columns} and {rows}")
    known, unplaced = [], []
    for graft in grafts:
        if graft.facing is None or graft.out_m is None:
            unplaced.append(graft.id)
        else:
            known.append((graft.id, *_ground(graft.facing, graft.out_m), graft.out_m))
    slots = columns // SLOT_COLUMNS
    middle_row, middle_slot = (rows - 1) / 2, (slots - 1) / 2
    radius_m = max([_LEAST_RADIUS_M, (spread_m or 0) / 2, *(out for *_, out in known)])
    slot_aspect = SLOT_COLUMNS / _CELL_ASPECT  # a slot's width in cell heights
    rows_a_metre = min(middle_row - 1, (middle_slot - 1) * slot_aspect) / radius_m
    slots_a_metre = rows_a_metre / slot_aspect
    held: dict[tuple[int, int], list[str]] = {}
    for identity, east, north, _ in known:
        spot = _near(middle_row - north * rows_a_metre), _near(middle_slot + east * slots_a_metre)
        held.setdefault(spot, []).append(identity)
    trunk_column = _near(middle_slot) * SLOT_COLUMNS + 1
    return Layout(
        rows,
        columns,
        radius_m,
        (_near(middle_row), trunk_column),
        tuple(Spot(row, slot, tuple(ids)) for (row, slot), ids in sorted(held.items())),
        _circle(middle_row, middle_slot * SLOT_COLUMNS + 1, rows_a_metre * radius_m),
        tuple(unplaced),
    )


def _ground(facing: int, out_m: float) -> tuple[float, float]:
    """East and north of the trunk, in metres."""
    return out_m * sin(radians(facing)), out_m * cos(radians(facing))


def _circle(middle_row: float, middle_column: float, radius_rows: float) -> tuple[tuple[int, int], ...]:
    steps = 48
    cells = {
        (
            _near(middle_row - radius_rows * cos(2 * pi * step / steps)),
            _near(middle_column + radius_rows * _CELL_ASPECT * sin(2 * pi * step / steps)),
        )
        for step in range(steps)
    }
    return tuple(sorted(cells))


def _near(value: float) -> int:
    return floor(value + 0.5)
