"""The fruit: when each graft is ripe, how it tasted, what is suggested, and the page and JSON of `fruit`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal

from msgspec import Struct

from tendwork.orchard.bloom_overlap import bloom_overlaps
from tendwork.orchard.graft_species import graft_species, variety_words
from tendwork.orchard.lives import present
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Tasting, Tree
from tendwork.orchard.ripening import ripening
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.variety_reference import NO_REFERENCE, VarietyReference
from tendwork.orchard.verdicts import Suggestion, cut_list, empty_places, first_crop_years
from tendwork.planning.fruit_spans import FruitSpan, fruit_spans, span_of
from tendwork.planning.fruit_years import FruitYears, moved_by_species
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.verdict_reasons import VerdictReasons, suggestions_of, verdict_reasons
from tendwork.planning.work_bars import Against, WorkBars
from tendwork.variety_names import Key
from tendwork.view.bloom import known_bloom_text
from tendwork.view.json_shape import Shape, json_rows
from tendwork.view.picking import picked_words, picking_part, ripening_rows
from tendwork.view.places import places_text
from tendwork.view.ripening import barred_fruit, gap_shape, picture_of, picture_text, week_shape
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.varieties import variety_shape
from tendwork.view.verdict import ADVICE, Advice, advice_of, advice_words, verdict_rows, verdict_shape, verdicts_text
from tendwork.view.words import counted, full_day, short_day, span_words

TASTING_ORDERS = ("ripe", "variety", "advice", "score", "verdict", "tree")
SOON_DAYS = 14
RipeState = Literal["barred", "now", "soon", "later", "young", "unknown"]
RIPE_MARKS: dict[RipeState, Mark] = {
    "barred": Mark("■", "X", "not to be eaten yet"),
    "now": Mark("●", "#", "ripe now"),
    "soon": Mark("◐", "=", "ripe within two weeks"),
    "later": Mark("○", "o", "ripe later"),
    "young": Mark("□", "~", "does not bear yet"),
    "unknown": Mark("·", ".", "no ripening day known"),
}
_COLUMNS = ("id", "variety", "tree", MARK, "ripe", "tasted", "score", "advice", "verdict")
_MOST_VARIETY_COLUMNS = 28
_UNKNOWN_DAYS = 1000  # after all others
_TASTED_SHOWN = 4
_INDENT = " " * 4


class FruitRow(Struct, frozen=True):
    """One graft. `span` and `dates` are of the fruit that is there, or else of the next that comes.

    `away_days` is 0 while there is fruit of it, `stored` says that it is in the store; all are None where no day is
    known. `bar` is why its fruit must not be eaten yet, where it must not.
    """

    graft: Graft
    tree: Tree
    span: FruitSpan | None
    dates: RipeDates | None
    away_days: int | None
    stored: bool
    tastings: tuple[Tasting, ...]
    suggestion: Suggestion | None
    bar: Against | None = None

    @property
    def id(self) -> str:
        return self.graft.id

    @property
    def words(self) -> str:
        """What a filter looks through."""
        graft = self.graft
        of = graft_species(graft, self.tree)
        told = (graft.id, graft.variety, self.tree.name, of, graft.verdict, self.advice, graft.note)
        return " ".join((*told, RIPE_MARKS[self.state].word)).casefold()

    @property
    def state(self) -> RipeState:
        """A key of RIPE_MARKS."""
        if self.graft.state != "bearing":
            return "young"
        if self.away_days is None:
            return "unknown"
        if self.away_days == 0:
            return "now" if self.bar is None else "barred"
        return "soon" if self.away_days <= SOON_DAYS else "later"

    @property
    def advice(self) -> Advice:
        """What is suggested: "keep", "cut", "wait", or nothing where it is judged already."""
        return advice_of(self.suggestion)


def fruit_rows(
    records: Records,
    today: date,
    south: bool,
    dates: Sequence[RipeDates] = (),
    reasons: Iterable[VerdictReasons] = (),
) -> tuple[FruitRow, ...]:
    """Every graft of a variety that took or bears, in the order of entry; `dates` are of this fruit year and the next.

    Whether there is fruit of it now goes by the dates of its variety: on the tree, or in the store. What is suggested
    is by these reasons.
    """
    trees = {tree.id: tree for tree in records.trees}
    keys = variety_keys(records)
    by_key: dict[Key, list[RipeDates]] = {}
    for row in dates:
        by_key.setdefault(keys.of(row.species, row.variety), []).append(row)
    suggested = {one.graft: one for one in suggestions_of(reasons)}
    tasted: dict[str, list[Tasting]] = {}
    for tasting in sorted(present(records).tastings, key=lambda one: one.day, reverse=True):
        tasted.setdefault(tasting.graft, []).append(tasting)
    barred = WorkBars(records, south, today).barred_fruit()
    rows = []
    for graft in records.grafts:
        if graft.state in ("took", "bearing") and graft.tree in trees and is_of_a_variety(graft):
            tree = trees[graft.tree]
            key = keys.of(graft_species(graft, tree), graft.variety)
            coming = [found for row in by_key.get(key, ()) if (found := _coming(key, graft, row, today)) is not None]
            away, stored, span, row_dates = min(coming, key=lambda one: one[0], default=(None, False, None, None))
            scores = tuple(tasted.get(graft.id, ()))
            bar = barred.get(graft.id)
            suggestion = suggested.get(graft.id)
            rows.append(FruitRow(graft, tree, span, row_dates, away, stored, scores, suggestion, bar))
    return tuple(rows)


def fruit_in_order(rows: Iterable[FruitRow], order: str, backwards: bool = False) -> tuple[FruitRow, ...]:
    """In an order of TASTING_ORDERS; by "ripe" what is ripe now stands first, then what comes next."""
    return tuple(sorted(rows, key=lambda row: _key(row, order), reverse=backwards))


def fruit_columns(rows: Iterable[FruitRow], width: int) -> tuple[Column, ...]:
    """The columns that a page has room for."""
    held = tuple(rows)
    ids = min(max((display_width(plain(row.graft.id)) for row in held), default=2), 10)
    varieties = max((display_width(plain(variety_words(row.graft, row.tree))) for row in held), default=0)
    wanted = {"id": ids, "variety": min(max(varieties, 14), 22, max(width - ids - 9, 8)), MARK: 1, "ripe": 16}
    wanted |= {"advice": 7, "tasted": 8, "verdict": 8, "score": 6, "tree": 14}
    return lay_columns(wanted, _COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def fruit_cells(row: FruitRow, columns: tuple[Column, ...], ascii_only: bool = False) -> str:
    """The row of a graft; "tasted" are the newest scores, the last one first."""
    mark = RIPE_MARKS[row.state]
    scores = [str(tasting.score) for tasting in row.tastings if tasting.score is not None]
    mean = None if row.suggestion is None else row.suggestion.score
    cells = {
        "id": row.graft.id,
        "variety": variety_words(row.graft, row.tree),
        "tree": row.tree.name,
        MARK: mark.ascii if ascii_only else mark.symbol,
        "ripe": _ripe_words(row),
        "tasted": " ".join(scores[:_TASTED_SHOWN]),
        "score": "" if mean is None else f"{mean:.1f}",
        "advice": row.advice,
        "verdict": row.graft.verdict,
    }
    return row_line(columns, cells)


def fruit_lines(row: FruitRow, south: bool, width: int) -> list[str]:
    """What its fruit speaks for and why, when the first crop is to be expected, when to pick, and every tasting.

    The last tasting stands first.
    """
    graft, suggestion = row.graft, row.suggestion
    lines = [] if row.bar is None else wrapped(plain(row.bar.words), width)
    lines += wrapped(plain(advice_words(suggestion)) or f"Judged: {graft.verdict}.", width)
    expected = first_crop_years(graft, south)
    if graft.state == "took" and expected is not None and suggestion is None:
        lines += wrapped(f"First crop to be expected in {expected[0]} or {expected[1]}.", width)
    if row.dates is not None:
        lines += wrapped(f"{picked_words(row.dates)}.", width)
    lines += wrapped(plain(graft.note), width, "Note: ") if graft.note else []
    for tasting in row.tastings:
        score = "" if tasting.score is None else f"{tasting.score} of 5"
        said = ", ".join(filter(None, (score, tasting.ripe, tasting.use, tasting.note)))
        lines += wrapped(plain(f"{full_day(tasting.day)}: {said}"), width, "", "   ")
    return lines


def _coming(key: Key, graft: Graft, dates: RipeDates, today: date) -> tuple[int, bool, FruitSpan, RipeDates] | None:
    """Days until there is fruit, 0 while there is, and whether it is in the store then; None once it is over."""
    span = span_of(key, (graft,), dates)
    for part, stored in ((span.on_tree, False), (span.in_store, True)):
        if part is not None and part[1] >= today:
            return max((part[0] - today).days, 0), stored, span, dates
    return None


def _ripe_words(row: FruitRow) -> str:
    if row.span is None or row.away_days is None:
        return ""
    first, last = _part(row)
    if row.state == "barred":
        until = None if row.bar is None else row.bar.until
        return "not to be eaten" if until is None else f"not until {short_day(until, until)}"
    if row.state == "now":
        return f"{'store' if row.stored else 'now'}, to {short_day(last, last)}"
    return f"in {counted(row.away_days, 'day')}" if row.state == "soon" else span_words(first, last)


def _part(row: FruitRow) -> tuple[date, date]:
    """The first and last day on the tree, or in the store where that comes next."""
    assert row.span is not None
    part = row.span.in_store if row.stored else row.span.on_tree
    assert part is not None
    return part


def _key(row: FruitRow, order: str) -> tuple[object, ...]:
    own: object
    if order == "ripe":
        own = (row.state == "young", _UNKNOWN_DAYS if row.away_days is None else row.away_days)
    elif order == "advice":
        own = ADVICE.index(row.advice)
    elif order == "score":
        mean = None if row.suggestion is None else row.suggestion.score
        own = 0.0 if mean is None else -mean
    elif order == "tree":
        own = row.tree.name.casefold()
    else:
        own = row.graft.verdict if order == "verdict" else row.graft.variety.casefold()
    return own, row.graft.variety.casefold(), row.graft.id


def fruit_page(
    records: Records,
    today: date,
    units: str,
    width: int,
    years: FruitYears,
    reference: VarietyReference = NO_REFERENCE,
) -> str:
    """What ripens when and the gaps, when to pick, what to keep or to cut, what comes off and is free, what blooms
    together.
    """
    south, book = years.this.season.south, VarietyBook(records, reference)
    reasons = verdict_reasons(records, years.of_season(today).dates, book, today, south)
    cut = "\n".join(
        line
        for graft in cut_list(records)
        for line in wrapped(plain(f"{graft.variety} ({graft.id}) on {graft.tree}"), width)
    )
    parts = (
        ("Fruit week by week", picture_text(picture_of(records, years, book, today), width)),
        *picking_part(records, years, book, today, width),
        ("Keep or cut", verdicts_text(verdict_rows(records, reasons), width)),
        ("To cut", cut or "No graft is judged to be cut."),
        ("Places", places_text(empty_places(records), width, units)),
        ("Bloom", known_bloom_text(records, width, reference)),
    )
    return "\n\n".join(f"{name}\n{text}" for name, text in parts)


def fruit_shape(records: Records, today: date, years: FruitYears, reference: VarietyReference = NO_REFERENCE) -> Shape:
    """`fruit --json`: ripening (spans and the season's dates), the weeks and gaps of this fruit year (`year`),
    suggestions and the reasons for verdicts, grafts to cut, places, bloom, varieties.
    """
    south, book = years.this.season.south, VarietyBook(records, reference)
    dates = years.of_season(today).dates
    reasons = verdict_reasons(records, dates, book, today, south)
    picture = picture_of(records, years, book, today)
    fruit = fruit_spans(records, years.this.dates, book)
    return {
        "ripening": ripening_rows(ripening(records, south), dates, book, fruit),
        "year": years.this.year,
        "weeks": [week_shape(week) for week in picture.weeks],
        "gaps": [gap_shape(gap) for gap in picture.gaps],
        "against": json_rows(moved_by_species(years, picture.dated)),
        "suggestions": json_rows(suggestions_of(reasons)),
        "verdicts": [verdict_shape(one) for one in reasons],
        "to_cut": [graft.id for graft in cut_list(records)],
        "places": json_rows(empty_places(records)),
        "bloom": json_rows(bloom_overlaps(records, book)),
        "barred": json_rows(barred_fruit(records, today, south)),
        "varieties": [variety_shape(known) for known in book.all_known()],
    }
