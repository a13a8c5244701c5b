"""What wood is still to be asked of others, what was asked, and what they promised: a bundle without a day of cutting.

A wish is never stored twice: what is missing follows from the planned grafts (`wood_balance`), and once somebody is
asked the bundle itself holds of whom, when, how many sticks and the answer.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal, get_args

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.edits import Add, Change, Replace
from tendwork.orchard.ids import free_id
from tendwork.orchard.records import REFUSED, Records, Wood
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.troubles import FirstDay, bar_on, barred_wood
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_balance import sticks_for_buds, wood_balance
from tendwork.orchard.wood_sources import Source, Sources, is_from_somebody, last_giver
from tendwork.variety_names import Key

WishState = Literal["to ask for", "buds to ask for", "unanswered", "promised"]
WISH_STATES: tuple[WishState, ...] = get_args(WishState)
TO_ASK_FOR: WishState = "to ask for"
BUDS_TO_ASK_FOR: WishState = "buds to ask for"
UNANSWERED: WishState = "unanswered"


class Wish(Struct, frozen=True):
    """Sticks of a variety that are to come from somebody else: winter wood, or bud sticks of this summer.

    `who` is empty where nobody is known who has it. `bundle` is the id of the bundle that holds it, empty for what is
    needed and stands nowhere yet; `grafts` counts the planned grafts that wait for it. Bud sticks are used within days,
    so that no bundle need hold them.
    """

    state: WishState
    species: str
    variety: str
    sticks: int
    who: str
    bundle: str = ""
    asked_on: date | None = None
    grafts: int = 0


def wish_state(bundle: Wood, own: TreesByWord, today: date) -> WishState | Literal["refused", ""]:
    """How far the asking for a bundle has come; "" for one that is here, or that no person is to give."""
    if (bundle.cut_on is not None and bundle.cut_on <= today) or not is_from_somebody(bundle, own):
        return ""
    if bundle.answer:
        return bundle.answer
    return TO_ASK_FOR if bundle.asked_on is None else UNANSWERED


def wood_wishes(records: Records, today: date, first_day: FirstDay) -> tuple[Wish, ...]:
    """Every wish, by species and variety; of one variety what is still to be asked for stands first.

    What lives on a tree here that may give wood is cut, not asked for. `first_day` gives the first day of the season.
    """
    own = TreesByWord(records.trees)
    balances = wood_balance(records, today, barred_wood(records, today, first_day))
    keys = variety_keys(records)
    grafts = {keys.of(one.species, one.variety): one.grafts for one in balances}
    found = []
    for one in records.wood:
        state = wish_state(one, own, today)
        if state and state != REFUSED and one.sticks:
            waiting = grafts.get(keys.of(one.species, one.variety), 0)
            found.append(
                Wish(state, one.species, one.variety, one.sticks, one.came_from, one.id, one.asked_on, waiting)
            )
    sources, held = Sources(records), _by_variety(records)
    for short in balances:
        species, variety = short.species, short.variety
        winter, buds = short.missing if short.needed else 0, sticks_for_buds(short.summer_buds)
        if not (winter or buds) or _may_give(sources.of(species, variety), records, today, first_day):
            continue
        bundles = held.get(keys.of(species, variety), ())
        refused = frozenset(bundle.came_from for bundle in bundles if bundle.answer == REFUSED)
        who = last_giver(bundles, own, refused)
        if winter:
            found.append(Wish(TO_ASK_FOR, species, variety, winter, who, grafts=short.grafts))
        if buds:
            found.append(Wish(BUDS_TO_ASK_FOR, species, variety, buds, who, grafts=short.summer_buds))
    return tuple(sorted(found, key=lambda one: (*keys.of(one.species, one.variety), WISH_STATES.index(one.state))))


def asked(records: Records, species: str, variety: str, today: date, first_day: FirstDay) -> tuple[Change, ...]:
    """What follows from having asked for a variety today: its bundles are asked for, and there is one if none was."""
    changes: list[Change] = []
    held, keys = {bundle.id: bundle for bundle in records.wood}, variety_keys(records)
    for wish in wood_wishes(records, today, first_day):
        if wish.state != TO_ASK_FOR or keys.of(wish.species, wish.variety) != keys.of(species, variety):
            continue
        if wish.bundle:
            changes.append(Replace(replace(held[wish.bundle], asked_on=today)))
        elif (waiting := _without_a_source(records, wish)) is not None:
            sticks = max(waiting.sticks, wish.sticks)
            changes.append(Replace(replace(waiting, sticks=sticks, came_from=wish.who, asked_on=today)))
        else:
            identity = free_id(records, "wood")
            changes.append(Add(Wood(identity, wish.variety, species, wish.sticks, came_from=wish.who, asked_on=today)))
    return tuple(changes)


def _without_a_source(records: Records, wish: Wish) -> Wood | None:
    """The bundle that was entered without a word on where it is to come from."""
    keys = variety_keys(records)
    for bundle in records.wood:
        is_it = keys.of(bundle.species, bundle.variety) == keys.of(wish.species, wish.variety)
        if is_it and bundle.cut_on is None and not bundle.came_from and bundle.asked_on is None and not bundle.answer:
            return bundle
    return None


def _may_give(sources: Iterable[Source], records: Records, today: date, first_day: FirstDay) -> bool:
    """Whether one of these trees may give wood, by what was seen on it."""
    return any(bar_on(records.troubles, source.tree.id, today, first_day) is None for source in sources)


def _by_variety(records: Records) -> dict[Key, list[Wood]]:
    """The bundles of each variety."""
    keys, found = variety_keys(records), dict[Key, list[Wood]]()
    for bundle in records.wood:
        found.setdefault(keys.of(bundle.species, bundle.variety), []).append(bundle)
    return found
