"""The list to take out when scion wood is cut: by tree, with boxes; as plain text, and as HTML for A4 and Letter."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.orchard.crown import place_of, place_words
from tendwork.orchard.wording import NOBODY_NOTED
from tendwork.outputs.labels import HERE_WORDS, SPARE_WORDS
from tendwork.outputs.page import page
from tendwork.planning.cutting_list import Cutting
from tendwork.view.text import plain, wrapped
from tendwork.view.words import counted, full_day, in_units

NO_TREE = "On no tree here that may give it"
NO_PLACE = "place not noted"
EMPTY = "No wood is to be cut: what is needed and promised lies here, or is to come from others."


class CuttingBox(Struct, frozen=True):
    """One variety on one tree; every text in it is safe to show."""

    variety: str
    sticks: str
    for_whom: str
    places: tuple[str, ...]
    barred: tuple[str, ...]


class CuttingPage(Struct, frozen=True):
    """The whole list: each tree with its varieties, that of no tree last."""

    site_name: str
    day: str
    trees: tuple[tuple[str, tuple[CuttingBox, ...]], ...]
    empty: str = EMPTY


def cutting_page_of(lines: Iterable[Cutting], today: date, site_name: str, units: str = "metric") -> CuttingPage:
    """The page of a cutting list; heights in the person's units."""
    trees: dict[str, list[CuttingBox]] = {}
    names: dict[str, str] = {}
    for line in lines:
        names[line.tree] = plain(line.tree_name) or NO_TREE
        trees.setdefault(line.tree, []).append(_box(line, units))
    return CuttingPage(
        plain(site_name), full_day(today), tuple((names[tree], tuple(boxes)) for tree, boxes in trees.items())
    )


def cutting_text(sheet: CuttingPage, columns: int = 80) -> str:
    """The page in so many columns, without a trailing newline."""
    lines = wrapped(f"{sheet.site_name}: wood to cut, {sheet.day}", columns)
    if not sheet.trees:
        return "\n".join([*lines, *wrapped(sheet.empty, columns)])
    for tree, boxes in sheet.trees:
        lines += ["", *wrapped(tree, columns)]
        for box in boxes:
            lines += wrapped(f"{box.variety}: {box.sticks} ({box.for_whom})", columns, "[ ] ", "    ")
            for place in (*box.places, *box.barred):
                lines += wrapped(place, columns, "    ")
    return "\n".join(lines)


def cutting_html(sheet: CuttingPage) -> str:
    """The page as one HTML file that asks for nothing else."""
    return page("cutting.html", sheet=sheet)


def for_whom_words(line: Cutting) -> str:
    """ "2 for here, 3 for R. Dale, 1 to spare"."""
    said = [f"{line.here} {HERE_WORDS}"] if line.here else []
    said += [f"{sticks} for {who or NOBODY_NOTED}" for who, sticks in line.promised]
    return ", ".join([*said, *([f"{line.spare} {SPARE_WORDS}"] if line.spare else [])])


def _box(line: Cutting, units: str) -> CuttingBox:
    places = [in_units(place_words(place_of(graft)), units) for graft in line.grafts]
    return CuttingBox(
        plain(f"{line.variety}, {line.species}"),
        counted(line.sticks, "stick"),
        plain(for_whom_words(line)),
        tuple(plain(f"{graft.id}: {place or NO_PLACE}") for graft, place in zip(line.grafts, places, strict=True)),
        tuple(map(plain, (*line.barred, *line.look))),
    )
