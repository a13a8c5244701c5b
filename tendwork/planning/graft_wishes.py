"""Changes of what a person wants of a proposal: each gives new wishes, in which nothing contradicts what came last."""

from __future__ import annotations

from collections.abc import Collection

from msgspec.structs import replace

from tendwork.planning.choosing import Wishes
from tendwork.planning.graft_picks import Pick


def with_pin(wishes: Wishes, pick: Pick) -> Wishes:
    """A variety goes to a place; other pins of either give way, and so does what forbids it."""
    return replace(
        wishes,
        pins=(*(pin for pin in wishes.pins if pin.variety != pick.variety and pin.place != pick.place), pick),
        forbids=tuple(forbid for forbid in wishes.forbids if not _bars(forbid, pick)),
    )


def without_pin(wishes: Wishes, pick: Pick) -> Wishes:
    """A variety may go to another place again, and another to its place."""
    return replace(wishes, pins=tuple(pin for pin in wishes.pins if pin != pick))


def with_forbid(wishes: Wishes, forbid: Pick) -> Wishes:
    """A variety goes nowhere, a place gets nothing, or the two do not come together; pins against that give way."""
    return replace(
        wishes,
        pins=tuple(pin for pin in wishes.pins if not _bars(forbid, pin)),
        forbids=(*(held for held in wishes.forbids if held != forbid), forbid),
    )


def without_forbid(wishes: Wishes, forbid: Pick) -> Wishes:
    """What was forbidden may be again."""
    return replace(wishes, forbids=tuple(held for held in wishes.forbids if held != forbid))


def with_swap(wishes: Wishes, one: Pick, other: Pick) -> Wishes:
    """Two varieties change places, and are pinned there."""
    return with_pin(with_pin(wishes, Pick(one.variety, other.place)), Pick(other.variety, one.place))


def with_new(wishes: Wishes, proposed: int, step: int, places: int) -> Wishes:
    """One graft fewer than are `proposed`, or one more than were wanted; as many as there are places is no limit."""
    limit = proposed if wishes.new is None else wishes.new
    wanted = max(min(limit, proposed) + step if step < 0 else limit + step, 0)
    return replace(wishes, new=None if step > 0 and (wishes.new is None or wanted >= places) else wanted)


def still_held(wishes: Wishes, varieties: Collection[str], places: Collection[str]) -> Wishes:
    """Those wishes that are about varieties and places which there still are; the records may have changed."""

    def stands(pick: Pick) -> bool:
        return (not pick.variety or pick.variety in varieties) and (not pick.place or pick.place in places)

    return replace(wishes, pins=tuple(filter(stands, wishes.pins)), forbids=tuple(filter(stands, wishes.forbids)))


def _bars(forbid: Pick, pin: Pick) -> bool:
    return forbid.variety in ("", pin.variety) and forbid.place in ("", pin.place)
