"""A long list folded: what is to do now takes at most so many lines, and the rest of it is one line to unfold.

What has a tree or a graft at stake and is late or closing is never folded, however much of it there is.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.wording import listed
from tendwork.planning.urgency import CAN_WAIT, NO_TIME, Place
from tendwork.planning.vocabulary import GRAVE, STAKES
from tendwork.view.week import Group

MOST_LINES: Final = 12
"""So many lines of work to do now stand before what is held back or comes."""
MOST_MISSED: Final = 3
"""So many lines of what was missed stand after all others."""
_NOW: tuple[Place, ...] = (*STAKES, "open", NO_TIME, "waiting")


class Folded(Struct, frozen=True):
    """A list in three: the groups of `now`, cut to what is shown, what is `folded`, and the groups `after`.

    Folded are the rest of what is to do now, and what can wait.
    """

    now: tuple[Group, ...]
    folded: tuple[Group, ...]
    after: tuple[Group, ...]


def folded(groups: Sequence[Group], most: int = MOST_LINES) -> Folded:
    """The groups with at most `most` rows to do now, the most pressing; more only where what is grave presses."""
    now = [group for group in groups if group.place in _NOW]
    after = tuple(group for group in groups if group.place not in (*_NOW, CAN_WAIT))
    grave = sum(len(group.rows) for group in now if group.place in GRAVE)
    left = max(most, grave)
    kept: list[Group] = []
    away: list[Group] = []
    for group in now:  # they stand in the order of urgency, what is grave first
        kept.append(replace(group, rows=group.rows[:left]))
        away.append(replace(group, rows=group.rows[left:]))
        left = max(0, left - len(group.rows))
    away += [group for group in groups if group.place == CAN_WAIT]
    away += [replace(group, rows=group.rows[MOST_MISSED:]) for group in after if group.place == "missed"]
    after = tuple(
        replace(group, rows=group.rows[:MOST_MISSED]) if group.place == "missed" else group for group in after
    )
    return Folded(tuple(group for group in kept if group.rows), tuple(group for group in away if group.rows), after)


def folded_words(groups: Sequence[Group]) -> str:
    """ "9 more that can wait"; where some of them press, or the hours leave some out, it says so instead."""
    pressing = sum(len(group.rows) for group in groups if group.place in STAKES)
    without = sum(len(group.rows) for group in groups if group.place == NO_TIME)
    said = [f"{pressing} of them pressing"] if pressing else []
    said += [f"{without} without time this week"] if without else []
    missed = sum(len(group.rows) for group in groups if group.place == "missed")
    said += [f"{missed} missed"] if missed else []
    more = f"{sum(len(group.rows) for group in groups)} more"
    return f"{more}, {listed(said)}" if said else f"{more} that can wait"
