"""The varieties: what is known of each one on the trees, planned or in wood, who says so, and what is unknown."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from msgspec import Struct

from tendwork.orchard.records import Records
from tendwork.orchard.varieties import KNOWN_FIELDS, KnownField, KnownVariety, VarietyBook
from tendwork.orchard.variety_reference import NO_REFERENCE, Said, VarietyReference
from tendwork.view.form_words import field_label
from tendwork.view.json_shape import Shape
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.words import counted

VARIETY_ORDERS = ("variety", "species", "known")
KnownState = Literal["own", "listed", "nothing"]
KNOWN_MARKS: dict[KnownState, Mark] = {
    "own": Mark("●", "#", "noted by you"),
    "listed": Mark("○", "o", "from lists alone"),
    "nothing": Mark("·", ".", "nothing known"),
}
_COLUMNS = ("variety", "species", MARK, "bloom", "pollen", "ripens", "keeps", "vigour")
_MOST_VARIETY_COLUMNS = 28
_INDENT = " " * 2
_ON_PLANNING: tuple[KnownField, ...] = ("pollen", "bloom", "ripens", "vigour")


class VarietyRow(Struct, frozen=True):
    """One variety of the page."""

    known: KnownVariety

    @property
    def id(self) -> str:
        return f"{self.species}/{self.variety}"

    @property
    def species(self) -> str:
        return self.known.species

    @property
    def variety(self) -> str:
        return self.known.variety

    @property
    def state(self) -> KnownState:
        """A key of KNOWN_MARKS."""
        if self.known.record is not None or any(one.own for those in self.known.said.values() for one in those):
            return "own"
        return "listed" if self.known.said or self.known.days else "nothing"

    @property
    def words(self) -> str:
        """What a filter looks through."""
        said = (one.value for those in self.known.said.values() for one in those)
        told = (self.species, self.variety, *self.known.also, *said, KNOWN_MARKS[self.state].word)
        return " ".join(told).casefold()


def variety_rows(records: Records, reference: VarietyReference = NO_REFERENCE) -> tuple[VarietyRow, ...]:
    """Every variety that grows here, is planned, lies in wood or has a record, by species and name."""
    return tuple(VarietyRow(known) for known in VarietyBook(records, reference).all_known())


def varieties_in_order(rows: Iterable[VarietyRow], order: str, backwards: bool = False) -> tuple[VarietyRow, ...]:
    """In an order of VARIETY_ORDERS; by "known" what is least known first."""

    def key(row: VarietyRow) -> tuple[object, ...]:
        own = {"variety": "", "species": row.species, "known": len(row.known.said)}[order]
        return own, row.variety.casefold(), row.species

    return tuple(sorted(rows, key=key, reverse=backwards))


def variety_columns(rows: Iterable[VarietyRow], width: int) -> tuple[Column, ...]:
    """The columns that a page has room for."""
    names = max((display_width(plain(row.variety)) for row in rows), default=0)
    wanted = {"variety": min(max(names, 12), 24, max(width - 4, 8)), MARK: 1, "bloom": 10, "pollen": 12}
    wanted |= {"species": 12, "ripens": 17, "keeps": 10, "vigour": 10}
    return lay_columns(wanted, _COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def variety_cells(row: VarietyRow, columns: tuple[Column, ...], ascii_only: bool = False) -> str:
    """The row of a variety; of several values the first, with a "+" behind it."""
    mark = KNOWN_MARKS[row.state]
    cells = {"variety": row.variety, "species": row.species, MARK: mark.ascii if ascii_only else mark.symbol}
    for field in ("bloom", "pollen", "ripens", "keeps", "vigour"):
        said = row.known.said.get(field, ())
        values = dict.fromkeys(one.value for one in said)
        cells[field] = next(iter(values), "") + (" +" if len(values) > 1 else "")
    return row_line(columns, cells)


def variety_lines(known: KnownVariety, width: int) -> list[str]:
    """What is known of a variety, field by field with who says it, where it grows, and what is unknown."""
    lines = wrapped(plain(_where_words(known)), width)
    if known.also:
        lines += wrapped(plain(f"Also called {', '.join(known.also)}."), width)
    for field in KNOWN_FIELDS:
        lines += _said_lines(field_label(field, "varieties"), known.said.get(field, ()), width)
    lines += _said_lines("days from bloom to picking", known.days, width)
    if known.record is not None and known.record.note:
        lines += wrapped(plain(known.record.note), width, "Note: ")
    if known.unknown:
        lines += wrapped(f"Unknown: {', '.join(field_label(name, 'varieties') for name in known.unknown)}.", width)
    if not known.is_listed:
        lines += wrapped("No list that ships with the program has this variety.", width)
    return lines


def varieties_summary(rows: Iterable[VarietyRow]) -> str:
    """Of how many varieties how much is known, in one sentence."""
    held = tuple(rows)
    counts = {state: sum(row.state == state for row in held) for state in KNOWN_MARKS}
    told = f"{counts['own']} noted by you, {counts['listed']} known from lists alone, {counts['nothing']} not at all"
    return f"{counted(len(held), 'variety')}: {told}."


def varieties_text(records: Records, reference: VarietyReference, width: int) -> str:
    """Every variety with all that is known of it."""
    rows = varieties_in_order(variety_rows(records, reference), "species")
    parts = [
        "\n".join(
            [plain(f"{row.variety}, {row.species}"), *(_INDENT + line for line in variety_lines(row.known, width))]
        )
        for row in rows
    ]
    return "\n\n".join([varieties_summary(rows), *parts])


def variety_shape(known: KnownVariety) -> Shape:
    """A variety for `fruit --json`: each field with its values and who says them, and what is unknown."""
    said = {field: [_said_shape(one) for one in known.said[field]] for field in KNOWN_FIELDS if field in known.said}
    return {
        "species": known.species,
        "variety": known.variety,
        "also": list(known.also),
        "known": said,
        "days_from_bloom": [_said_shape(one) for one in known.days],
        "unknown": list(known.unknown),
        "noted": known.record is not None,
        "trees": list(known.trees),
        "wood": list(known.bundles),
    }


def planning_words(known: KnownVariety) -> str:
    """What is worth knowing of a variety when a graft of it is planned; empty where nothing is known."""
    told = [
        f"{field_label(field, 'varieties')}: {known.said[field][0].words}"
        for field in _ON_PLANNING
        if field in known.said
    ]
    return f"Known of {known.variety}: {'; '.join(told)}." if told else ""


def _where_words(known: KnownVariety) -> str:
    on = f"On {', '.join(known.trees)}" if known.trees else "On no tree"
    wood = f"; wood: {', '.join(known.bundles)}" if known.bundles else ""
    return f"{on}{wood}."


def _said_lines(name: str, said: tuple[Said, ...], width: int) -> list[str]:
    """One line, or a line for each source where several speak."""
    head = f"{name[0].upper()}{name[1:]}:"
    if len(said) == 1:
        return wrapped(plain(f"{head} {said[0].words}"), width, "", _INDENT)
    lines = [head] if said else []
    for one in said:
        lines += wrapped(plain(one.words), width, _INDENT, _INDENT * 2)
    return lines


def _said_shape(said: Said) -> Shape:
    return {"value": said.value, "by": said.by, "hobby_list": said.hobby, "yours": said.own}
