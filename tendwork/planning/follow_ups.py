"""What follows from a tick in the records: a graft is set, wood is asked for, cut or used up, a sign noted."""

from __future__ import annotations

from collections.abc import Container
from datetime import date
from functools import partial

from msgspec.structs import replace

from tendwork.almanac.seasons import season_of
from tendwork.orchard.edits import Add, EditUnderWay, Replace
from tendwork.orchard.ids import free_id
from tendwork.orchard.outcomes import graft_after, trouble_after, wood_after
from tendwork.orchard.records import PROMISED, Graft, Records, Tick, Wood
from tendwork.orchard.series import set_graft
from tendwork.orchard.standing_ticks import template_of
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.variety_keys import VarietyKeys, variety_keys
from tendwork.orchard.wood_sources import is_from_somebody, sources_of
from tendwork.orchard.wood_wishes import TO_ASK_FOR, UNANSWERED, asked, wish_state
from tendwork.planning.cutting_list import Cutting, cutting_list
from tendwork.planning.results import Unit
from tendwork.planning.vocabulary import Each


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
        _cut(edit, unit, tick.day, south)
    elif each == "variety" and tick.outcome == "got from elsewhere":
        _arrived(edit, unit, tick.day)
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


def _cut(edit: EditUnderWay, unit: Unit, today: date, south: bool) -> None:
    """Cut a variety as the cutting list has it: the bundles that wait for it are cut now, what they lack is a new one.

    What somebody else is to give stays to come. The tree that gives it is noted where there is one alone, so that what
    is seen on it later bars the wood.
    """
    records, own = edit.records, TreesByWord(edit.records.trees)
    keys = variety_keys(records)
    lines = [line for line in cutting_list(records, today, south) if _is_of(unit, line, keys)]
    giving = {line.tree for line in lines if line.tree}
    trees = giving or {source.tree.id for source in sources_of(records, unit.species, unit.variety)}
    only = next(iter(trees)) if len(trees) == 1 else ""
    waiting = [one for one in _uncut(records, unit) if not one.answer and not is_from_somebody(one, own)]
    for bundle in waiting:
        is_known = not trees.isdisjoint(own.meant(bundle.came_from))
        came_from = bundle.came_from if is_known or not only else only
        edit.make(Replace(replace(bundle, cut_on=today, came_from=came_from)))
    left = sum(line.sticks for line in lines) - sum(bundle.sticks for bundle in waiting)
    if left > 0 or not waiting:
        identity = free_id(records, "wood")
        edit.make(Add(Wood(identity, unit.variety, unit.species, max(left, 1), cut_on=today, came_from=only)))


def _arrived(edit: EditUnderWay, unit: Unit, today: date) -> None:
    """Note that wood of somebody else is here: what was promised, else what was asked for, else what was to be."""
    own = TreesByWord(edit.records.trees)
    held = _uncut(edit.records, unit)
    for state in (PROMISED, UNANSWERED, TO_ASK_FOR):
        came = [bundle for bundle in held if wish_state(bundle, own, today) == state]
        if came:
            edit.make(*(Replace(replace(bundle, cut_on=today)) for bundle in came))
            return


def _uncut(records: Records, unit: Unit) -> list[Wood]:
    """The bundles of a variety that have no day of cutting."""
    keys = variety_keys(records)
    return [one for one in records.wood if one.cut_on is None and _is_of(unit, one, keys)]


def _is_of(unit: Unit, of: Wood | Cutting, keys: VarietyKeys) -> bool:
    """Whether a bundle or a line of the cutting list is of the variety of a unit, under any of its names."""
    return keys.of(of.species, of.variety) == keys.of(unit.species, unit.variety)


def _first_day(south: bool, day: date) -> date:
    return season_of(day, south).start
