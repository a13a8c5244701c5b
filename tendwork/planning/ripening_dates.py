"""When each variety is to be looked at, picked and eaten up, out of the records, the lists and the almanac."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import Protocol

from msgspec import Struct

from tendwork.almanac.ripe_evidence import PickDate, RipeEvidence
from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.keeping import keeps_not, kept_until, used_from
from tendwork.orchard.records import Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import Said, VarietyReference
from tendwork.orchard.variety_words import ripe_span, span_days
from tendwork.planning.ripe_known import RipeKnown

LOOK_BEFORE = timedelta(days=7)
"""Fruit is looked at and tasted about weekly until it is ripe, so a round is made before the first likely day (common
practice, no source)."""


_HANGS_DAYS = 7
"""For how long fruit is ripe on the tree where nobody noted it (common practice, no source)."""
_MELLOWS_DAYS = {"pear": 7, "medlar": 21}
"""From picking to eating, of what is picked hard: pears 5 to 10 days in the warm after the cold (Colorado State
University), medlars about three weeks (a nursery)."""


class RipeDates(Struct, frozen=True):
    """One variety in one season: look and taste from, pick between and about, good until; None where not known.

    `usual` is the day of picking in a season as usual, `hangs` the last day on which it is usually ripe on the tree,
    `eat` the first on which it is good to eat: for most the day of picking.
    """

    species: str
    variety: str
    look: date
    pick_low: date
    pick: date
    pick_high: date
    until: date | None
    because: tuple[str, ...]
    usual: date
    hangs: date
    eat: date


class PickDates(Protocol):
    """What an almanac must do for this: give the picking dates of a season."""

    def pick_dates(self, evidence: Iterable[RipeEvidence], season: Season) -> tuple[PickDate, ...]: ...


def ripening_dates(
    records: Records,
    reference: VarietyReference,
    almanac: PickDates,
    south: bool,
    today: date,
    season: Season | None = None,
) -> tuple[RipeDates, ...]:
    """A season's, else this one's, the earliest first, of every variety grown, planned or recorded and known enough.

    This season's fruit ripens in the summer to come: in winter, what is in store is of the season before.
    """
    book = VarietyBook(records, reference)
    known = RipeKnown(records, book, today)
    own = {(one.species, one.variety) for one in known.own}
    dates = almanac.pick_dates((*known.own, *known.others), season or season_of(today, south))
    rows = [_row(book, found) for found in dates if (found.species, found.variety) in own]
    return tuple(sorted(rows, key=lambda row: (row.pick, row.species, row.variety)))


def _row(book: VarietyBook, found: PickDate) -> RipeDates:
    keeps = book.said_of(found.species, found.variety, "keeps")
    spans = [span for one in book.said_of(found.species, found.variety, "ripens") if (span := ripe_span(one.value))]
    hangs = found.pick + timedelta(days=max(map(span_days, spans), default=_HANGS_DAYS))
    until, why = _until(keeps, found, hangs, is_noted=bool(spans))
    return RipeDates(
        found.species,
        found.variety,
        found.low - LOOK_BEFORE,
        found.low,
        found.pick,
        found.high,
        until,
        (*found.because, why),
        found.usual,
        hangs,
        _eat(keeps, found),
    )


def _until(keeps: Sequence[Said], found: PickDate, hangs: date, is_noted: bool) -> tuple[date | None, str]:
    """By what is said of its keeping, the soonest of several; else by how long the person noted that it is ripe.

    What does not keep is good while it hangs.
    """
    ends = [(until, one.words) for one in keeps if (until := kept_until(one.value, found.pick)) is not None]
    if ends:
        until, words = min(ends)
        more = "; others say longer" if any(other > until for other, _ in ends) else ""
        return max(until, found.high), f"keeps: {words}{more}"
    if any(keeps_not(one.value) for one in keeps):
        return max(hangs, found.high), "does not keep"
    if is_noted:
        return max(hangs, found.high), f"ripe for {(hangs - found.pick).days} days, as you noted"
    return None, "how long it keeps is not known"


def _eat(keeps: Sequence[Said], found: PickDate) -> date:
    """From the first month that is said of its use ("Nov-Feb"), the soonest of several; else as its species does."""
    starts = [start for one in keeps if (start := used_from(one.value, found.pick)) is not None]
    return min(starts, default=found.pick + timedelta(days=_MELLOWS_DAYS.get(found.species, 0)))
