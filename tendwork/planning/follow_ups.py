"""What follows from a tick in the records: a graft is set, wood is asked for, cut or used up, a sign noted."""

from __future__ import annotations

from collections.abc import Container
from datetime import date
from functools import partial

from msgspec.structs import replace

from tendwork.almanac.seasons import season_of
from tendwork.orchard.edits import Add, EditUnderWay, Replace
from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.ids import free_id
from tendwork.orchard.methods import is_summer_bud
from tendwork.orchard.outcomes import graft_after, trouble_after, wood_after
from tendwork.orchard.records import Graft, Records, Tick, Wood
from tendwork.orchard.series import set_graft
from tendwork.orchard.standing_ticks import template_of
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_balance import GRAFTS_A_STICK
from tendwork.orchard.wood_wishes import asked
from tendwork.planning.results import Unit
from tendwork.planning.vocabulary import Each

STICKS_SPARE = 1  # from memory: a spare stick is cut with those that the grafts need


def graft_of(records: Records, each: Each, unit: Unit) -> Graft | None:
    """The graft that a unit of such a job is."""
    return next((graft for graft in records.grafts if graft.id == unit.id), None) if each == "graft" else None


def follow(
    edit: EditUnderWay,
    each: Each,
    unit: Unit,
    tick: Tick,
    wrap: str | None,
    barred: Container[str],
    south: bool = False,
) -> bool:
    """Make what follows from a tick on a unit of such a job; True where a graft was set whose wrap is not noted.

    `wrap` is what a graft that is set was wrapped in, "" where that is not known; None leaves what was planned. Of the
    bundles `barred`, by id, none is chosen for a graft that names no wood.
    """
    records = edit.records
    graft = graft_of(records, each, unit)
    bundle = next((held for held in records.wood if held.id == unit.id), None) if each == "wood" else None
    if graft is not None:
        return _follow_on_graft(edit, graft, tick, wrap, barred)
    if bundle is not None:
        edit.make(Replace(wood_after(bundle, tick.outcome)))
    elif each == "variety" and tick.outcome == "cut":
        _cut(edit, unit, tick.day)
    elif each == "variety" and tick.outcome == "asked":
        first_day = partial(_first_day, south)
        edit.make(*asked(records, unit.species, unit.variety, tick.day, first_day))
    else:
        sign = trouble_after(template_of(tick), unit.id, tick.outcome, tick.day)
        if sign is not None and sign not in records.troubles:
            edit.make(Add(sign))
    return False


def _follow_on_graft(edit: EditUnderWay, graft: Graft, tick: Tick, wrap: str | None, barred: Container[str]) -> bool:
    if tick.outcome != "set" or graft.state == "set":
        edit.make(Replace(graft_after(graft, tick.outcome, tick.day)))
        return False
    graft = graft if wrap is None else replace(graft, wrap=wrap)
    if graft.state != "planned":
        edit.make(Replace(graft_after(graft, tick.outcome, tick.day)))
        return not graft.wrap
    done, bundle = set_graft(edit.records, graft, tick.day, barred=barred)
    edit.make(Replace(done), *(() if bundle is None else (Replace(bundle),)))
    return not graft.wrap


def _cut(edit: EditUnderWay, unit: Unit, today: date) -> None:
    """Cut wood for a variety: the bundle that waits to be cut is cut now, else a new one is made."""
    keys = variety_keys(edit.records)
    wanted = keys.of(unit.species, unit.variety)
    for bundle in edit.records.wood:
        if bundle.cut_on is None and keys.of(bundle.species, bundle.variety) == wanted:
            edit.make(Replace(replace(bundle, cut_on=today)))
            return
    identity = free_id(edit.records, "wood")
    sticks = _sticks_for(edit.records, unit)
    edit.make(Add(Wood(identity, unit.variety, unit.species, sticks, cut_on=today)))


def _first_day(south: bool, day: date) -> date:
    return season_of(day, south).start


def _sticks_for(records: Records, unit: Unit) -> int:
    """The sticks for the grafts of a variety that wait for wood, and those to spare."""
    species_of, keys = species_by_graft(records), variety_keys(records)
    wanted = keys.of(unit.species, unit.variety)
    waiting = sum(
        graft.state == "planned"
        and not is_summer_bud(graft)
        and graft.id in species_of
        and keys.of(species_of[graft.id], graft.variety) == wanted
        for graft in records.grafts
    )
    return -(-max(waiting, 1) // GRAFTS_A_STICK) + STICKS_SPARE
