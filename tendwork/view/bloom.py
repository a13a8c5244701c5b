"""Bloom: for every variety how many others of its species bloom with it, and how that is known."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal

from msgspec import Struct

from tendwork.almanac.bloom_order import bloom_order
from tendwork.orchard.bloom_overlap import NEEDS_NO_PARTNER, Bloom, Overlap, bloom_overlaps, blooms
from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import NO_REFERENCE, BloomPlace, VarietyReference
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.words import counted, span_words

BLOOM_ORDERS = ("variety", "bloom", "together")
BloomState = Literal["partner", "unknown", "alone", "self"]
BLOOM_MARKS: dict[BloomState, Mark] = {
    "partner": Mark("●", "#", "has a partner"),
    "unknown": Mark("○", "o", "not known"),
    "alone": Mark("◆", "!", "none blooms with it"),
    "self": Mark("✓", "+", "needs no partner"),
}
_COLUMNS = ("variety", "species", MARK, "bloom", "together", "apart", "unknown")
_MOST_VARIETY_COLUMNS = 30
_INDENT = " " * 4


class BloomRow(Struct, frozen=True):
    """One variety with its pairs; `seen` are its blooms, oldest first, and `place` where it blooms among others."""

    species: str
    variety: str
    together: tuple[Overlap, ...] = ()
    apart: tuple[Overlap, ...] = ()
    unknown: tuple[Overlap, ...] = ()
    seen: tuple[Bloom, ...] = ()
    place: BloomPlace | None = None

    @property
    def id(self) -> str:
        return f"{self.species}/{self.variety}"

    @property
    def words(self) -> str:
        """What a filter looks through."""
        return f"{self.species} {self.variety} {BLOOM_MARKS[self.state].word}".casefold()

    @property
    def state(self) -> BloomState:
        """A key of BLOOM_MARKS."""
        if self.species in NEEDS_NO_PARTNER:
            return "self"
        if self.together:
            return "partner"
        return "unknown" if self.unknown or not self.apart else "alone"


def bloom_rows(records: Records, reference: VarietyReference = NO_REFERENCE) -> tuple[BloomRow, ...]:
    """Every living variety, by species and name."""
    species_of = species_by_graft(records)
    pairs: dict[tuple[str, str], list[Overlap]] = {}
    for graft in records.grafts:
        if graft.state in GROWS and graft.id in species_of and is_of_a_variety(graft):
            pairs.setdefault((species_of[graft.id], graft.variety), [])
    book = VarietyBook(records, reference)
    for overlap in bloom_overlaps(records, book):
        for name in (overlap.one, overlap.other):
            pairs.setdefault((overlap.species, name), []).append(overlap)
    seen = blooms(records)
    rows = []
    for (species, variety), held in sorted(pairs.items()):
        together, apart, unknown = (
            tuple(one for one in held if one.verdict == verdict) for verdict in ("together", "apart", "not known")
        )
        key = (species, variety)
        rows.append(BloomRow(species, variety, together, apart, unknown, seen.get(key, ()), book.bloom_place(*key)))
    return tuple(rows)


def bloom_in_order(rows: Iterable[BloomRow], order: str, backwards: bool = False) -> tuple[BloomRow, ...]:
    """In an order of BLOOM_ORDERS; by "bloom" the earliest first, what is not known last."""

    def key(row: BloomRow) -> tuple[object, ...]:
        if order == "bloom":
            last = row.seen[-1].first if row.seen else None
            day = (12, 31) if last is None else (last.month, last.day)
            return (not row.seen, day, 9 if row.place is None else row.place.group, row.variety.casefold(), row.species)
        many = -len(row.together) if order == "together" else 0
        return (many, row.variety.casefold(), row.species)

    return tuple(sorted(rows, key=key, reverse=backwards))


def bloom_columns(rows: Iterable[BloomRow], width: int) -> tuple[Column, ...]:
    """The columns that a page has room for."""
    varieties = max((display_width(plain(row.variety)) for row in rows), default=0)
    wanted = {"variety": min(max(varieties, 12), 24, max(width - 4, 8)), MARK: 1, "together": 9, "bloom": 16}
    wanted |= {"apart": 6, "unknown": 7, "species": 12}
    return lay_columns(wanted, _COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def bloom_cells(row: BloomRow, columns: tuple[Column, ...], ascii_only: bool = False) -> str:
    """The row of a variety."""
    mark = BLOOM_MARKS[row.state]
    cells = {
        "variety": row.variety,
        "species": row.species,
        MARK: mark.ascii if ascii_only else mark.symbol,
        "bloom": _bloom_words(row),
        "together": str(len(row.together) or ""),
        "apart": str(len(row.apart) or ""),
        "unknown": str(len(row.unknown) or ""),
    }
    return row_line(columns, cells)


def bloom_lines(row: BloomRow, width: int) -> list[str]:
    """With whom it blooms and with whom not, how that is known, and the blooms that were seen."""
    if row.state == "self":
        return wrapped(f"A {row.species} sets fruit by itself.", width)
    lines = []
    for verdict, held in (("Together", row.together), ("Apart", row.apart)):
        for overlap in held:
            other = overlap.other if overlap.one == row.variety else overlap.one
            lines += wrapped(plain(f"{verdict} with {other}: {overlap.because}."), width, "", "  ")
    if row.unknown:
        others = [one.other if one.one == row.variety else one.one for one in row.unknown]
        lines += wrapped(plain(f"Not known with {', '.join(others)}."), width, "", "  ")
    for bloom in row.seen:
        whole = "" if bloom.whole else ", not seen whole"
        lines += wrapped(f"{bloom.year}: in bloom {span_words(bloom.first, bloom.last)}{whole}.", width)
    if row.place is not None and row.place.noted:
        lines += wrapped(plain(f"Bloom {row.place.words} [you]."), width)
    if not lines:
        lines += wrapped(f"It is the only {row.species} here.", width)
    order = bloom_order(row.species, row.variety)
    if order is not None:
        lines += wrapped(f"Published: {order.words}.", width, "", "  ")
    elif row.place is not None and not row.place.noted:
        lines += wrapped(plain(f"Bloom {row.place.words}."), width, "", "  ")
    if not row.seen and row.place is None:
        lines += wrapped("Nothing is known of its bloom: note the day on which you see it, or its bloom group.", width)
    return lines


def bloom_summary(rows: Iterable[BloomRow]) -> str:
    """How many varieties are sure of a partner, in one sentence."""
    held = [row for row in rows if row.state != "self"]
    counts = {state: sum(row.state == state for row in held) for state in ("partner", "unknown", "alone")}
    return f"{counts['partner']} with a partner in bloom, {counts['alone']} without, {counts['unknown']} not known."


def _bloom_words(row: BloomRow) -> str:
    if row.seen:
        newest = row.seen[-1]
        return f"{span_words(newest.first, newest.last)} {date(newest.year, 1, 1):%y}"
    if row.place is None:
        return ""
    return row.place.words if row.place.noted else f"list: {row.place.words.partition(' [')[0]}"


def bloom_text(overlaps: Iterable[Overlap], width: int) -> str:
    """Each pair of varieties, whether it blooms together, and how that is known."""
    lines = []
    for pair in overlaps:
        lines += wrapped(
            f"{plain(pair.one)} and {plain(pair.other)} ({pair.species}): {pair.verdict}, {pair.because}.",
            width,
            "",
            _INDENT,
        )
    return "\n".join(lines) or "No two varieties here need each other in bloom."


def known_bloom_text(records: Records, width: int, reference: VarietyReference = NO_REFERENCE) -> str:
    """The pairs of which something is known, and of how many nothing is."""
    pairs = bloom_overlaps(records, VarietyBook(records, reference))
    known = [pair for pair in pairs if pair.verdict != "not known"]
    lines = [bloom_text(known, width)] if known or not pairs else []
    unknown = len(pairs) - len(known)
    return "\n".join([*lines, *([f"Of {counted(unknown, 'pair')} nothing is known."] if unknown else [])])
