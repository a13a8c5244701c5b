"""When each variety is to be looked at, picked and eaten up, out of the records, the lists and the almanac."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import Protocol

from msgspec import Struct

from tendwork.almanac.ripe_evidence import PickDate, RipeEvidence
from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.keeping import kept_until
from tendwork.orchard.records import Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import VarietyReference
from tendwork.orchard.variety_words import ripe_span, span_days
from tendwork.planning.ripe_known import RipeKnown

LOOK_BEFORE = timedelta(days=7)
"""Fruit is looked at and tasted about weekly until it is ripe, so a round is made before the first likely day (common
practice, no source)."""


class RipeDates(Struct, frozen=True):
    """One variety in one season: look and taste from, pick between and about, good until; None where not known."""

    species: str
    variety: str
    look: date
    pick_low: date
    pick: date
    pick_high: date
    until: date | None
    because: tuple[str, ...]


class PickDates(Protocol):
    """What an almanac must do for this: give the picking dates of a season."""

    def pick_dates(self, evidence: Iterable[RipeEvidence], season: Season) -> tuple[PickDate, ...]: ...


def ripening_dates(
    records: Records, reference: VarietyReference, almanac: PickDates, south: bool, today: date
) -> tuple[RipeDates, ...]:
    """This season's, the earliest first, of every variety grown, planned or recorded of which enough is known."""
    book = VarietyBook(records, reference)
    known = RipeKnown(records, book, today)
    own = {(one.species, one.variety) for one in known.own}
    dates = almanac.pick_dates((*known.own, *known.others), season_of(today, south))
    rows = [_row(book, found) for found in dates if (found.species, found.variety) in own]
    return tuple(sorted(rows, key=lambda row: (row.pick, row.species, row.variety)))


def _row(book: VarietyBook, found: PickDate) -> RipeDates:
    until, why = _until(book, found)
    look = found.low - LOOK_BEFORE
    because = (*found.because, why) if why else found.because
    return RipeDates(found.species, found.variety, look, found.low, found.pick, found.high, until, because)


def _until(book: VarietyBook, found: PickDate) -> tuple[date | None, str]:
    """By what is said of its keeping, the soonest of several; else by how long the person noted that it is ripe."""
    said = book.said_of(found.species, found.variety, "keeps")
    ends = [(until, one.words) for one in said if (until := kept_until(one.value, found.pick)) is not None]
    if ends:
        until, words = min(ends)
        more = "; others say longer" if any(other > until for other, _ in ends) else ""
        return max(until, found.high), f"keeps: {words}{more}"
    spans = [span for one in book.said_of(found.species, found.variety, "ripens") if (span := ripe_span(one.value))]
    if spans:
        days = max(map(span_days, spans))
        return max(found.pick + timedelta(days=days), found.high), f"ripe for {days} days, as you noted"
    return None, "how long it keeps is not known"
