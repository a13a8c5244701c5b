"""Where a graft can go next spring: places that are free, limbs judged "cut", and how much each crown can take.

A place is known by the graft that stands or stood there. Trees on which a disease was seen that bars their wood take
none: what is grafted on them may catch it.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from msgspec import Struct

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.crown import CrownPlace, distance_m, place_of
from tendwork.orchard.fruit_year import first_growing_year
from tendwork.orchard.graft_species import GROWS
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.rough_dates import middle_day
from tendwork.orchard.tree_size import crown_reaches_m
from tendwork.orchard.troubles import bar_on, sign_of
from tendwork.orchard.verdicts import cut_list, empty_places

SHARE = 3
"""At most a third of a crown is changed in one year (from memory; published: a third to a half on an old tree). Every
graft and free place that is noted on a tree counts as one part of its crown, and one place may always be grafted."""
BESIDE_M = 1.0  # our own bound: two grafts so near are beside each other
_BUDDED = ("peach",)  # winter grafts usually fail, so it is budded in summer (a US nursery's rootstock page, undated)


class OpenPlace(Struct, frozen=True):
    """A place for a graft. `id` is the graft that stands or stood there, `free_now` false while it is still there.

    `method` is what suits the limb. `upper` says that it is in the upper half of what is noted of its crown, `shaded`
    that it faces away from the sun; None where that is not known. `beside` is the nearest graft that stays, if near,
    and `beside_vigour` how it grows, empty where that is not known.
    """

    id: str
    tree: str
    tree_name: str
    species: str
    place: CrownPlace
    was: str
    free_now: bool
    method: str
    upper: bool | None = None
    shaded: bool | None = None
    beside: str = ""
    beside_vigour: str = ""


class TreeRoom(Struct, frozen=True):
    """How many more grafts a tree takes for the spring to come.

    `room` is a third of its `parts`, less those that are `planned`, or set already.
    """

    tree: str
    tree_name: str
    parts: int
    planned: int
    room: int


class OpenPlaces(Struct, frozen=True):
    """The places, the room in each of their trees, and in sentences which places are not used, and why."""

    places: tuple[OpenPlace, ...]
    rooms: tuple[TreeRoom, ...]
    closed: tuple[str, ...] = ()


def open_places(records: Records, today: date, south: bool, vigour: Mapping[str, str]) -> OpenPlaces:
    """Every place in the order of trees and ids; `vigour` is "strong", "middle" or "weak" by graft, where known."""
    trees = {tree.id: tree for tree in records.trees}
    grafts = {graft.id: graft for graft in records.grafts}
    going = {graft.id for graft in cut_list(records)}
    free = {empty.was: empty.free_now for empty in empty_places(records)}
    free |= {graft: False for graft in going if grafts[graft].facing is None}
    free = {graft: is_free for graft, is_free in free.items() if not _has_heir(graft, records.grafts)}
    order = {tree: number for number, tree in enumerate(trees)}
    held = sorted(
        (grafts[graft] for graft in free if grafts[graft].tree in trees), key=lambda one: (order[one.tree], one.id)
    )
    sick = {
        tree: words
        for tree in dict.fromkeys(graft.tree for graft in held)
        if (words := _sick(records, trees[tree], today, south))
    }
    places = tuple(
        _place(graft, trees[graft.tree], free[graft.id], records, going, vigour, south)
        for graft in held
        if graft.tree not in sick and is_of_a_variety(graft)
    )
    rooms = tuple(
        _room(trees[tree], records, sum(free[one.id] for one in held if one.tree == tree), today, south)
        for tree in dict.fromkeys(place.tree for place in places)
    )
    return OpenPlaces(places, rooms, tuple(sick.values()))


def spring_to_come(today: date, south: bool) -> Season:
    """The season for which is planned: that in which a graft set today would first grow."""
    return Season(first_growing_year(today, south), south)


def _has_heir(place: str, grafts: tuple[Graft, ...]) -> bool:
    """Whether another graft is there, or planned, to take over this place, as its note says."""
    return any(other.state in ("planned", *GROWS) and heir_note(place) in other.note.split("; ") for other in grafts)


def heir_note(graft: str) -> str:
    """What the note of a planned graft says of the one whose limb it takes over."""
    return f"in the place of {graft}"


def _sick(records: Records, tree: Tree, today: date, south: bool) -> str:
    bar = bar_on(records.troubles, tree.id, today, lambda day: season_of(day, south).start)
    if bar is None:
        return ""
    seen = f"{sign_of(bar.trouble)} was seen on {tree.name} ({tree.id}) on {bar.trouble.day.isoformat()}"
    return f"No place on {tree.name}: {seen}, and what is grafted on it may catch it."


def _place(
    graft: Graft,
    tree: Tree,
    free_now: bool,
    records: Records,
    going: set[str],
    vigour: Mapping[str, str],
    south: bool,
) -> OpenPlace:
    place = place_of(graft)
    stay = [
        other
        for other in records.grafts
        if other.tree == tree.id and other.state in GROWS and other.id not in going and other.id != graft.id
    ]
    near = sorted((metres, other.id) for other in stay if (metres := distance_m(place, place_of(other))) is not None)
    beside = near[0][1] if near and near[0][0] <= BESIDE_M else ""
    return OpenPlace(
        graft.id,
        tree.id,
        tree.name,
        tree.species,
        place,
        graft.variety,
        free_now,
        _method(graft, tree, free_now),
        _upper(place, tree, records),
        _shaded(place, south),
        beside,
        vigour.get(beside, ""),
    )


def _method(graft: Graft, tree: Tree, free_now: bool) -> str:
    """What suits the limb: a bark graft on the stub of one that bore, else a whip (common practice, no source)."""
    if tree.species in _BUDDED:
        return "chip bud"
    return "bark" if not free_now and graft.state == "bearing" else "whip and tongue"


def _upper(place: CrownPlace, tree: Tree, records: Records) -> bool | None:
    """Whether a place is in the upper half between the lowest graft noted and the top of the crown."""
    if place.height_m is None:
        return None
    noted = [graft.height_m for graft in records.grafts if graft.tree == tree.id and graft.height_m is not None]
    top = max(filter(None, (crown_reaches_m(tree), *noted)), default=place.height_m)
    return None if top <= min(noted) else place.height_m > (top + min(noted)) / 2


def _shaded(place: CrownPlace, south: bool) -> bool | None:
    """Whether a place faces the shaded half: north, or south on the southern hemisphere."""
    if place.facing is None:
        return None
    from_sun = abs((place.facing - (0 if south else 180) + 180) % 360 - 180)
    return from_sun > 90


def _room(tree: Tree, records: Records, free: int, today: date, south: bool) -> TreeRoom:
    season = spring_to_come(today, south)
    own = [graft for graft in records.grafts if graft.tree == tree.id and is_of_a_variety(graft)]
    growing = [graft for graft in own if graft.state in GROWS]
    planned = [graft for graft in own if graft.state == "planned"]
    new = [graft for graft in growing if graft.set_on is not None and middle_day(graft.set_on) in season]
    parts, changed = len(growing) + len(planned) + free, len(planned) + len(new)
    return TreeRoom(tree.id, tree.name, parts, changed, max(0, max(1, parts // SHARE) - changed))
