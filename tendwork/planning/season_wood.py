"""Wood that others gave in a season and wood that they were given, by person: whom to thank."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import REFUSED, Records, Wood
from tendwork.orchard.standing_ticks import season_of_tick, standing_ticks
from tendwork.orchard.stands import Stands
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.wood_sources import is_from_somebody
from tendwork.orchard.wording import NOBODY_NOTED

SENT = "sent"


class Given(Struct, frozen=True):
    """A bundle that somebody was promised: `sent_on` is the day it was ticked as sent, None where nobody did.

    `sticks` are those still promised; 0 of a bundle that was sent, whose number nobody keeps.
    """

    who: str
    species: str
    variety: str
    sticks: int
    sent_on: date | None


class Received(Struct, frozen=True):
    """A bundle that came from somebody: `sticks` are left of it, `grafts` were set from it, and so many took."""

    who: str
    species: str
    variety: str
    day: date
    sticks: int
    grafts: int
    took: int


class Awaited(Struct, frozen=True):
    """Wood that was asked for that season and did not come: refused, promised, or without an answer ("")."""

    who: str
    species: str
    variety: str
    sticks: int
    answer: str


class Thanks(Struct, frozen=True):
    """A person with the varieties that they gave and, of those, the ones that took."""

    who: str
    gave: tuple[str, ...]
    took: tuple[str, ...]


class SeasonWood(Struct, frozen=True):
    """All by person. `own_bundles` and `own_sticks` are those cut here."""

    received: tuple[Received, ...]
    given: tuple[Given, ...]
    awaited: tuple[Awaited, ...]
    own_bundles: int
    own_sticks: int
    thanks: tuple[Thanks, ...]


def season_wood(records: Records, season: Season) -> SeasonWood:
    """Of the bundles cut, asked for or sent in the season."""
    own = TreesByWord(records.trees)
    sent = {
        tick.unit: tick.day
        for tick in standing_ticks(records.ticks)
        if tick.outcome == SENT and season_of_tick(tick) == season.name
    }
    stands = Stands(records).all
    received, given, awaited, cut_here = [], [], [], []
    for bundle in records.wood:
        who = bundle.came_from or NOBODY_NOTED
        is_of_season = bundle.cut_on is not None and bundle.cut_on in season
        if is_from_somebody(bundle, own):
            if is_of_season and bundle.cut_on is not None:
                fates = [stand.took for stand in stands if stand.record.wood == bundle.id]
                received.append(
                    Received(
                        who, bundle.species, bundle.variety, bundle.cut_on, bundle.sticks, len(fates), fates.count(True)
                    )
                )
            elif bundle.cut_on is None and bundle.asked_on is not None and bundle.asked_on in season:
                awaited.append(Awaited(who, bundle.species, bundle.variety, bundle.sticks, bundle.answer))
        elif is_of_season:
            cut_here.append(bundle)
        if bundle.promised_to and (bundle.id in sent or (bundle.promised_sticks and is_of_season)):
            given.append(_given(bundle, sent.get(bundle.id)))
    return SeasonWood(
        tuple(sorted(received, key=lambda one: (one.who, one.day, one.variety))),
        tuple(sorted(given, key=lambda one: (one.who, one.variety))),
        tuple(sorted(awaited, key=lambda one: (one.answer == REFUSED, one.who, one.variety))),
        len(cut_here),
        sum(bundle.sticks for bundle in cut_here),
        _thanks(received),
    )


def _given(bundle: Wood, sent_on: date | None) -> Given:
    return Given(bundle.promised_to, bundle.species, bundle.variety, bundle.promised_sticks, sent_on)


def _thanks(received: list[Received]) -> tuple[Thanks, ...]:
    people = sorted({one.who for one in received} - {NOBODY_NOTED})
    return tuple(
        Thanks(
            who,
            tuple(dict.fromkeys(one.variety for one in received if one.who == who)),
            tuple(dict.fromkeys(one.variety for one in received if one.who == who and one.took)),
        )
        for who in people
    )
