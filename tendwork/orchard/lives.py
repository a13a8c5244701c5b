"""The place and the lives in it: which acts speak of the graft that stands there now, and what is kept of those before.

A graft's id names a place in a crown. A life in it begins on the day it is set, or with being planned, and ends when
the place is given to the next one. What was ticked or tasted of an earlier life says nothing about the present one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date

import msgspec

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.records import Graft, Life, Records, Tick
from tendwork.orchard.rough_dates import Noted, first_day, last_day, may_be_on
from tendwork.orchard.standing_ticks import layers_standing
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wraps import CARE_ENDED

ENDED = ("failed", "removed")
ANOTHER_GRAFT_DAYS = 60  # our own choice: a day of setting moved by less is a slip that was mended, not another graft
SLIP_DAYS = 14  # our own choice: a graft that was set so lately and is planned again was never set
_OF_WHAT_WAS_SET = frozenset({"set", "took", "failed", "bearing", "removed", *CARE_ENDED})
_OF_THE_VARIETY = ("species", "chill", "ripens_from", "ripens_to", "note")


def passed_on(
    records: Records, before: Graft, after: Graft, today: date, given: Collection[str] = ()
) -> tuple[Graft, Life | None]:
    """A place as it is changed, and the life that this ends; None where the same graft still stands there.

    The next life takes over neither verdict nor wood, and nothing that was known of another variety, but for the fields
    that are `given`.
    """
    if before.set_on is None or before.state == "planned" or not _is_another(records, before, after, today):
        planned_again = after.state == "planned" != before.state
        return (msgspec.structs.replace(after, set_on=None) if planned_again else after), None
    life = Life(
        graft=before.id,
        variety=before.variety,
        method=before.method,
        wrap=before.wrap,
        seal=before.seal,
        state=before.state,
        set_on=before.set_on,
        ended_on=_ended_on(records, before) or (None if after.state == "planned" else after.set_on),
        wood=before.wood,
        verdict=before.verdict,
        note=before.note,
        species=before.species,
    )
    defaults = Graft(after.id, after.tree, after.variety)
    left_over = ["verdict", "wood", *(_OF_THE_VARIETY if not _same_variety(records, before, after) else ())]
    fresh = {name: getattr(defaults, name) for name in left_over if name not in given}
    if after.state == "planned":
        fresh["set_on"] = None
    return msgspec.structs.replace(after, **fresh), life


def _ended_on(records: Records, graft: Graft) -> date | None:
    """The day on which the present graft was ticked as failed or removed; None where nobody did."""
    days = [tick.day for _, tick in _standing(records.ticks) if tick.unit == graft.id and tick.outcome in ENDED]
    return max((day for day in days if graft.set_on is None or day >= first_day(graft.set_on)), default=None)


def _is_another(records: Records, before: Graft, after: Graft, today: date) -> bool:
    assert before.set_on is not None
    if after.state == "planned":
        return before.state != "set" or (today - first_day(before.set_on)).days > SLIP_DAYS
    if after.set_on is None or after.set_on == before.set_on or after.state in ENDED:
        return False
    if before.state in ENDED:
        return last_day(after.set_on) > first_day(before.set_on)
    later_days = (first_day(after.set_on) - last_day(before.set_on)).days
    if later_days <= 0:  # a date is mended, or known better now
        return False
    if after.state == "bearing":  # a graft that bears was not just set: its day or its name is mended
        return False
    return not _same_variety(records, before, after) or later_days >= ANOTHER_GRAFT_DAYS


def _same_variety(records: Records, before: Graft, after: Graft) -> bool:
    """Whether both are called by a name of one variety; of which species they are is no part of it here."""
    keys = variety_keys(records)
    species = species_by_graft(records).get(before.id, before.species)
    return keys.of(species, before.variety) == keys.of(species, after.variety)


def present(records: Records) -> Records:
    """The records with those ticks and tastings of grafts alone that speak of the lives of now.

    Ticks that were undone are left out with what undid them, so that each that is left stands.
    """
    if not records.ticks and not records.tastings:
        return records
    places = {graft.id: graft for graft in records.grafts}
    ended: dict[str, date] = {}
    for life in records.lives:
        if life.ended_on is not None:
            last = _ended_by(life.ended_on, places.get(life.graft))
            ended[life.graft] = max(last, ended.get(life.graft, last))
    standing = _standing(records.ticks)
    begun = _begun(standing, places)
    ticks = tuple(
        tick
        for number, tick in standing
        if number >= begun.get(tick.unit, 0) and tick.day >= ended.get(tick.unit, tick.day)
    )
    tastings = tuple(
        tasting
        for tasting in records.tastings
        if (graft := places.get(tasting.graft)) is None
        or (
            graft.state != "planned"
            and tasting.day >= (first_day(graft.set_on) if graft.set_on else ended.get(graft.id, tasting.day))
        )
    )
    return msgspec.structs.replace(records, ticks=ticks, tastings=tastings)


def _ended_by(ended_on: Noted, now: Graft | None) -> date:
    """The day by which an earlier life had ended: where it is not known, at the latest when the present one began."""
    last = last_day(ended_on)
    if isinstance(ended_on, date) or now is None or now.set_on is None or now.state == "planned":
        return last
    return min(last, first_day(now.set_on))


def present_of(records: Records, graft: Graft) -> Records:
    """The records of one place alone, of which only what speaks of its present life."""
    return present(
        Records(
            grafts=(graft,),
            ticks=tuple(tick for tick in records.ticks if tick.unit == graft.id),
            tastings=tuple(tasting for tasting in records.tastings if tasting.graft == graft.id),
            lives=tuple(life for life in records.lives if life.graft == graft.id),
        )
    )


def _standing(ticks: Iterable[Tick]) -> list[tuple[int, Tick]]:
    """Every tick that is not undone, by day and in the order of ticking, numbered."""
    ticks = tuple(ticks)
    places = (place for layer in layers_standing(ticks).values() for place in layer)
    left = sorted(places, key=lambda place: (ticks[place].day, place))
    return [(number, ticks[place]) for number, place in enumerate(left)]


def _begun(standing: list[tuple[int, Tick]], places: dict[str, Graft]) -> dict[str, int]:
    """The number from which on ticks speak of the present life: after the last word that only an earlier one can have.

    For a planned graft that is each word that only a set graft can have; for one that is set, those from before its
    day, and on its day those from before it was ticked as set.
    """
    begun: dict[str, int] = {}
    after_last: dict[str, int] = {}
    for number, tick in standing:
        graft = places.get(tick.unit)
        if graft is None or tick.outcome not in _OF_WHAT_WAS_SET:
            continue
        if graft.state == "planned" or (graft.set_on is not None and tick.day < first_day(graft.set_on)):
            begun[tick.unit] = number + 1
        elif tick.outcome == "set" and graft.set_on is not None and may_be_on(graft.set_on, tick.day):
            begun[tick.unit] = after_last.get(tick.unit, 0)
        after_last[tick.unit] = number + 1
    return begun
