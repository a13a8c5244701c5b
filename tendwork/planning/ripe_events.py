"""When the fruit of a graft ripens, is picked and keeps in one season: the days that rules of the part fruit go by.

What ripens comes once in every season, as a stage does, so that a job which hangs on it is of that season, also where
its fruit is eaten out of the store in the next.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Records, Tick
from tendwork.orchard.standing_ticks import season_of_tick
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import VarietyReference
from tendwork.planning.day_format import day_and_month
from tendwork.planning.ripening_dates import PickDates, RipeDates, ripening_dates

RipeOfGrafts = Mapping[Season, Mapping[str, RipeDates]]
"""By season, and in it by the id of the graft; a graft of whose variety nothing is known is not there."""
NOTHING_KNOWN: RipeOfGrafts = {}

RIPE_EVENTS = {
    "look": "a week before the fruit may be ripe",
    "ripe from": "the first day on which the fruit may be ripe",
    "ripens": "the day on which the fruit is likely to be ripe",
    "hangs": "the last day on which the fruit is likely to hang ripe",
    "eat": "the first day on which the fruit is good to eat once it is picked",
    "eat later": "the first day on which the fruit is good to eat out of the store",
    "use by": "the last day on which the fruit is known to be good in store",
}
"""The events that follow from a variety's dates, each as what its day is."""
TICKED_EVENTS = ("picked", "no fruit", "none left")
"""What a job of the season says of a graft's fruit, and so answers for every job that may be answered so."""
SEASON_EVENTS = frozenset({*RIPE_EVENTS, *TICKED_EVENTS, "stored"})
"""All that comes once in a season, so that the jobs which hang on it are of that season."""
NOT_KNOWN = {"use by": "how long it keeps is not known"}
"""Why an event has no day, where it is not that nobody knows when the variety ripens."""
RIPENS_UNKNOWN = "when it ripens is not known"

KEEPS_DAYS = 14  # of what keeps for less nobody has to be told to eat it (our own choice)
STORED_DAYS = 40  # K-State: look through fruit in store every 30 to 40 days; what keeps for less is eaten before
_STORED_SPECIES = ("apple", "pear", "quince", "medlar")  # of which it may keep where nobody says for how long
_EARLY_UNTIL = (9, 1)
"""Early kinds keep for days to two weeks (intermountainfruit.org); which are early is our own choice: those picked
before this day, in the north."""


def ripening_of(
    records: Records, reference: VarietyReference, almanac: PickDates, south: bool, today: date
) -> RipeOfGrafts:
    """The dates of this season and of the one before it, of which fruit is still in store."""
    season, book = season_of(today, south), VarietyBook(records, reference)
    return {
        which: ripe_of_grafts(records, book, ripening_dates(records, reference, almanac, south, today, which))
        for which in (season.previous, season)
    }


def ripe_of_grafts(records: Records, book: VarietyBook, rows: Iterable[RipeDates]) -> dict[str, RipeDates]:
    """One season's dates by graft."""
    by_key = {book.key(row.species, row.variety): row for row in rows}
    species = species_by_graft(records)
    found = {}
    for graft in records.grafts:
        if graft.id in species and is_of_a_variety(graft):
            row = by_key.get(book.key(species[graft.id], graft.variety))
            if row is not None:
                found[graft.id] = row
    return found


def ripe_events(dates: RipeDates) -> dict[str, date]:
    """The days of RIPE_EVENTS, as far as there are such.

    It hangs until the end of the range, where that is later: nobody is to be told that it is over before it was ripe.
    "eat later" is for what is not good off the tree, "use by" for what keeps some weeks.
    """
    events = {
        "look": dates.look,
        "ripe from": dates.pick_low,
        "ripens": dates.pick,
        "hangs": max(dates.hangs, dates.pick_high),
        "eat": dates.eat,
    }
    if dates.eat > dates.hangs:
        events["eat later"] = dates.eat
    until = _keeps_until(dates)
    if until is not None and until - dates.pick >= timedelta(days=KEEPS_DAYS):
        events["use by"] = until
    return events


def _keeps_until(dates: RipeDates) -> date | None:
    """Until when it is known to keep; None where no more is said than how long it hangs ripe."""
    return None if dates.until is None or dates.until <= max(dates.hangs, dates.pick_high) else dates.until


def fruit_events(species: str, dates: RipeDates | None, ticks: Iterable[Tick], season: Season) -> dict[str, date]:
    """All that is known of a graft's fruit in a season: of what ripens, and of what was ticked of it."""
    events = {} if dates is None else ripe_events(dates)
    for tick in ticks:
        if tick.outcome in TICKED_EVENTS and season_of_tick(tick) == season.name:
            events[tick.outcome] = max(tick.day, events.get(tick.outcome, tick.day))
    picked, until = events.get("picked"), None if dates is None else _keeps_until(dates)
    if picked is not None:
        may_keep = species in _STORED_SPECIES and picked >= season.on(*_EARLY_UNTIL)
        if may_keep if until is None else until - picked >= timedelta(days=STORED_DAYS):
            events["stored"] = picked
    return events


def ripe_words(event: str, dates: RipeDates | None) -> str:
    """What the day of an event is, with the name of the variety, and the picking day with its range."""
    words = RIPE_EVENTS[event]
    if dates is not None:
        words = words.replace("the fruit", f"{dates.variety} fruit", 1)
    if event == "ripens" and dates is not None and dates.pick_low < dates.pick_high:
        words += f" ({day_and_month(dates.pick_low)} to {day_and_month(dates.pick_high)})"
    return words
