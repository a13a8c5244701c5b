"""Bloom: for every variety with whom it blooms, who of those gives pollen, and how that is known."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal

from msgspec import Struct

from tendwork.almanac.bloom_order import bloom_order
from tendwork.orchard.bloom_overlap import (
    NEEDS_NO_PARTNER,
    Bloom,
    Overlap,
    bloom_overlaps,
    blooms,
    grown_varieties,
    needs_no_partner,
)
from tendwork.orchard.pollen import NOT_KNOWN, Pollen, pollen_of
from tendwork.orchard.records import Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import NO_REFERENCE, BloomPlace, VarietyReference
from tendwork.orchard.wording import listed_in_short
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.words import span_words

BLOOM_ORDERS = ("variety", "bloom", "together")
BloomState = Literal["partner", "unknown", "alone", "self"]
BLOOM_MARKS: dict[BloomState, Mark] = {
    "partner": Mark("●", "#", "has a partner"),
    "unknown": Mark("○", "o", "not known"),
    "alone": Mark("◆", "!", "no partner in bloom"),
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
    pollen: Pollen = NOT_KNOWN

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
        if needs_no_partner(self.species, self.pollen):
            return "self"
        if self._giving(self.together):
            return "partner"
        return "unknown" if self._giving(self.unknown) or not (self.together or self.apart) else "alone"

    def partner(self, pair: Overlap) -> tuple[str, bool | None]:
        """The other variety of a pair, and whether it gives pollen; None is not known."""
        return (pair.other, pair.other_gives) if pair.one == self.variety else (pair.one, pair.one_gives)

    def _giving(self, pairs: Iterable[Overlap]) -> bool:
        """Whether any of them may give it pollen."""
        return any(self.partner(pair)[1] is not False for pair in pairs)


def bloom_rows(records: Records, reference: VarietyReference = NO_REFERENCE) -> tuple[BloomRow, ...]:
    """Every living variety, by species and name."""
    pairs: dict[tuple[str, str], list[Overlap]] = {(key[0], name): [] for key, name in grown_varieties(records)}
    book = VarietyBook(records, reference)
    for overlap in bloom_overlaps(records, book):
        for name in (overlap.one, overlap.other):
            pairs[overlap.species, name].append(overlap)
    seen = blooms(records)
    rows = []
    for (species, variety), held in sorted(pairs.items()):
        together, apart, unknown = (
            tuple(one for one in held if one.verdict == verdict) for verdict in ("together", "apart", "not known")
        )
        key = (species, variety)
        place, pollen = book.bloom_place(*key), pollen_of(book.said_of(*key, "pollen"))
        rows.append(BloomRow(species, variety, together, apart, unknown, seen.get(key, ()), place, pollen))
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
    if row.species in NEEDS_NO_PARTNER:
        return wrapped(f"A {row.species} sets fruit by itself.", width)
    lines = []
    if row.pollen.needs_none:
        lines += wrapped(plain(f"Needs no partner: {row.pollen.words}."), width, "", "  ")
    if row.pollen.gives is False:
        lines += wrapped(plain(f"Gives no pollen to others: {row.pollen.words}."), width, "", "  ")
    for verdict, held in (("Together", row.together), ("Apart", row.apart)):
        for overlap in held:
            other, has = row.partner(overlap)
            none = ", which gives no pollen" if has is False else ""
            lines += wrapped(plain(f"{verdict} with {other}{none}: {overlap.because}."), width, "", "  ")
    if row.unknown:
        others = [row.partner(one)[0] for one in row.unknown]
        lines += wrapped(plain(f"Not known with {', '.join(others)}."), width, "", "  ")
    if unsaid := [name for name, has in map(row.partner, row.together) if has is None]:
        gives = "gives" if len(unsaid) == 1 else "give"
        lines += wrapped(plain(f"Whether {listed_in_short(unsaid)} {gives} pollen is not known."), width, "", "  ")
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


def known_bloom_text(records: Records, width: int, reference: VarietyReference = NO_REFERENCE) -> str:
    """For each variety its partners in one line, of many the first and how many more; the whole is in the JSON."""
    rows = bloom_rows(records, reference)
    if not any(row.together or row.apart or row.unknown for row in rows):
        return "No two varieties here need each other in bloom."
    said = [_in_one_line(row) for row in rows if not _is_unknown(row)]
    unknown: dict[str, list[str]] = {}
    for row in filter(_is_unknown, rows):
        unknown.setdefault(row.species, []).append(row.variety)
    for species, names in unknown.items():
        said.append(f"Of the bloom of {listed_in_short(names)} ({species}) nothing is known.")
    said.append(bloom_summary(rows))
    return "\n".join(line for one in said for line in wrapped(plain(one), width, "", _INDENT))


def _is_unknown(row: BloomRow) -> bool:
    """Whether there are others of its species here, and of it nothing is known but that."""
    return bool(row.unknown) and not (row.together or row.apart or row.place or row.seen or row.pollen.words)


def _in_one_line(row: BloomRow) -> str:
    """ "Early Lamp (apple), group 1: together with Mid Lamp; apart from 2; not known with 3"."""
    place = f", {_bloom_words(row)}" if _bloom_words(row) else ""
    with_pollen = [name for name, gives in map(row.partner, row.together) if gives]
    unsaid = [name for name, gives in map(row.partner, row.together) if gives is None]
    without = [name for name, gives in map(row.partner, row.together) if gives is False]
    said = ["needs no partner"] if row.state == "self" else []
    said += ["gives no pollen"] if row.pollen.gives is False else []
    said += [f"together with {listed_in_short(with_pollen)}"] if with_pollen else []
    said += [f"together, pollen not known, with {listed_in_short(unsaid)}"] if unsaid else []
    said += [f"together, but no pollen from {listed_in_short(without)}"] if without else []
    said += [f"apart from {len(row.apart)}"] if row.apart else []
    said += [f"not known with {len(row.unknown)}"] if row.unknown else []
    return f"{row.variety} ({row.species}){place}: {'; '.join(said) or f'the only {row.species} here'}."
