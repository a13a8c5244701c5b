"""The fruit: when each graft is ripe, how it tasted, what is suggested, and the page and JSON of `fruit`."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import Literal

from msgspec import Struct

from tendwork.orchard.bloom_overlap import bloom_overlaps
from tendwork.orchard.fruit_year import day_of_fruit_year
from tendwork.orchard.graft_species import graft_species, variety_words
from tendwork.orchard.lives import present
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Tasting, Tree
from tendwork.orchard.ripening import ripening, ripening_gaps, ripening_weeks
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.variety_reference import NO_REFERENCE, VarietyReference
from tendwork.orchard.verdicts import Suggestion, cut_list, empty_places, first_crop_years
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.verdict_reasons import VerdictReasons, suggestions_of, verdict_reasons
from tendwork.planning.work_bars import Against, WorkBars
from tendwork.view.bloom import known_bloom_text
from tendwork.view.json_shape import Shape, json_rows
from tendwork.view.picking import picking_part, ripening_rows
from tendwork.view.places import places_text
from tendwork.view.ripening import barred_fruit, ripening_text
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, plain, wrapped
from tendwork.view.varieties import variety_shape
from tendwork.view.verdict import ADVICE, Advice, advice_of, advice_words, verdict_rows, verdict_shape, verdicts_text
from tendwork.view.words import full_day, short_day

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
_YEAR_DAYS = 365
_TASTED_SHOWN = 4
_INDENT = " " * 4


class FruitRow(Struct, frozen=True):
    """One graft. `away_days` is 0 while it is ripe, None where no day is known; `scores` are the newest tastings'.

    `bar` is why its fruit must not be eaten yet, where it must not; `recorded` says that its days are from the record
    of its variety.
    """

    graft: Graft
    tree: Tree
    span: tuple[tuple[int, int], tuple[int, int]] | None
    away_days: int | None
    tastings: tuple[Tasting, ...]
    suggestion: Suggestion | None
    bar: Against | None = None
    recorded: bool = False

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
    records: Records, today: date, south: bool, reasons: Iterable[VerdictReasons] = ()
) -> tuple[FruitRow, ...]:
    """Every graft of a variety that took or bears, in the order of entry; with what is suggested by these reasons."""
    trees = {tree.id: tree for tree in records.trees}
    keys = variety_keys(records)
    spans = {keys.of(span.species, span.variety): span for span in ripening(records, south)}
    suggested = {one.graft: one for one in suggestions_of(reasons)}
    tasted: dict[str, list[Tasting]] = {}
    for tasting in sorted(present(records).tastings, key=lambda one: one.day, reverse=True):
        tasted.setdefault(tasting.graft, []).append(tasting)
    barred = WorkBars(records, south, today).barred_fruit()
    rows = []
    for graft in records.grafts:
        if graft.state in ("took", "bearing") and graft.tree in trees and is_of_a_variety(graft):
            tree = trees[graft.tree]
            noted, of_variety = _noted(graft), spans.get(keys.of(graft_species(graft, tree), graft.variety))
            span = noted or (None if of_variety is None else (of_variety.first, of_variety.last))
            recorded = noted is None and of_variety is not None and of_variety.recorded
            away = None if span is None else _away_days(span, today, south)
            scores = tuple(tasted.get(graft.id, ()))
            bar = barred.get(graft.id)
            rows.append(FruitRow(graft, tree, span, away, scores, suggested.get(graft.id), bar, recorded))
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
    """What its fruit speaks for and why, when the first crop is to be expected, and every tasting, the last first."""
    graft, suggestion = row.graft, row.suggestion
    lines = [] if row.bar is None else wrapped(plain(row.bar.words), width)
    if row.recorded and row.span is not None:
        lines += wrapped(f"Ripe {' to '.join(map(_day, row.span))}, by the record of the variety.", width)
    lines += wrapped(plain(advice_words(suggestion)) or f"Judged: {graft.verdict}.", width)
    expected = first_crop_years(graft, south)
    if graft.state == "took" and expected is not None and suggestion is None:
        lines += wrapped(f"First crop to be expected in {expected[0]} or {expected[1]}.", width)
    lines += wrapped(plain(graft.note), width, "Note: ") if graft.note else []
    for tasting in row.tastings:
        score = "" if tasting.score is None else f"{tasting.score} of 5"
        said = ", ".join(filter(None, (score, tasting.ripe, tasting.use, tasting.note)))
        lines += wrapped(plain(f"{full_day(tasting.day)}: {said}"), width, "", "   ")
    return lines


def _noted(graft: Graft) -> tuple[tuple[int, int], tuple[int, int]] | None:
    first, last = graft.ripens_from or graft.ripens_to, graft.ripens_to or graft.ripens_from
    return None if first is None or last is None else (first, last)


def _away_days(span: tuple[tuple[int, int], tuple[int, int]], today: date, south: bool) -> int:
    """Days until it is ripe; 0 on every day of the span, which may pass the fruit year's end."""
    first, last = (day_of_fruit_year(day, south) for day in span)
    now = day_of_fruit_year((today.month, today.day), south)
    if (first <= now <= last) if first <= last else (now >= first or now <= last):
        return 0
    return (first - now) % _YEAR_DAYS


def _ripe_words(row: FruitRow) -> str:
    if row.span is None or row.away_days is None:
        return ""
    first, last = map(_day, row.span)
    if row.state == "barred":
        until = None if row.bar is None else row.bar.until
        return "not to be eaten" if until is None else f"not until {short_day(until, until)}"
    if row.state == "now":
        return f"now, to {last}"
    return f"in {row.away_days} days" if row.state == "soon" else f"{first}-{last}"


def _day(month_day: tuple[int, int]) -> str:
    day = date(2004, *month_day)
    return short_day(day, day)


def _key(row: FruitRow, order: str) -> tuple[object, ...]:
    own: object
    if order == "ripe":
        own = (row.state == "young", _YEAR_DAYS if row.away_days is None else row.away_days)
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
    south: bool,
    units: str,
    width: int,
    reference: VarietyReference = NO_REFERENCE,
    dates: Sequence[RipeDates] = (),
) -> str:
    """What ripens when and the gaps, when to pick (`dates`), what to keep or to cut, what comes off and is free,
    what blooms together.
    """
    reasons = verdict_reasons(records, dates, VarietyBook(records, reference), today, south)
    cut = "\n".join(
        line
        for graft in cut_list(records)
        for line in wrapped(plain(f"{graft.variety} ({graft.id}) on {graft.tree}"), width)
    )
    parts = (
        (
            "Ripe week by week",
            ripening_text(ripening(records, south), south, width, barred=barred_fruit(records, today, south)),
        ),
        *picking_part(records, dates, today, width, reference),
        ("Keep or cut", verdicts_text(verdict_rows(records, reasons), width)),
        ("To cut", cut or "No graft is judged to be cut."),
        ("Places", places_text(empty_places(records), width, units)),
        ("Bloom", known_bloom_text(records, width, reference)),
    )
    return "\n\n".join(f"{name}\n{text}" for name, text in parts)


def fruit_shape(
    records: Records,
    today: date,
    south: bool,
    reference: VarietyReference = NO_REFERENCE,
    dates: Sequence[RipeDates] = (),
) -> Shape:
    """`fruit --json`: ripening (spans and this season's `dates`), weeks and gaps of it, suggestions and the reasons
    for verdicts, grafts to cut, places, bloom, varieties.
    """
    spans = ripening(records, south)
    weeks = ripening_weeks(spans, south)
    book = VarietyBook(records, reference)
    reasons = verdict_reasons(records, dates, book, today, south)
    return {
        "ripening": ripening_rows(spans, dates, book),
        "weeks": json_rows(weeks),
        "gaps": json_rows(ripening_gaps(weeks, south)),
        "suggestions": json_rows(suggestions_of(reasons)),
        "verdicts": [verdict_shape(one) for one in reasons],
        "to_cut": [graft.id for graft in cut_list(records)],
        "places": json_rows(empty_places(records)),
        "bloom": json_rows(bloom_overlaps(records, book)),
        "barred": json_rows(barred_fruit(records, today, south)),
        "varieties": [variety_shape(known) for known in book.all_known()],
    }
