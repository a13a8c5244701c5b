"""A long list folded: what is to do now takes at most so many lines, and the rest of it is one line to unfold.

What has a tree or a graft at stake and is late or closing is never folded, however much of it there is.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from tendwork.planning.urgency import Place
from tendwork.planning.vocabulary import GRAVE, STAKES
from tendwork.view.week import Group, WeekRow

MOST_LINES: Final = 12
"""So many lines of work to do now stand before what is held back or comes."""
_NOW: tuple[Place, ...] = (*STAKES, "open", "waiting")


class Folded(Struct, frozen=True):
    """A list in two: the groups of `now`, cut to what is shown, what was `folded` away, and the groups `after` them."""

    now: tuple[Group, ...]
    folded: tuple[WeekRow, ...]
    after: tuple[Group, ...]


def folded(groups: Sequence[Group], most: int = MOST_LINES) -> Folded:
    """The groups with at most `most` rows to do now, the most pressing; more only where what is grave presses."""
    now = [group for group in groups if group.place in _NOW]
    after = tuple(group for group in groups if group.place not in _NOW)
    grave = sum(len(group.rows) for group in now if group.place in GRAVE)
    left = max(most, grave)
    kept: list[Group] = []
    away: list[WeekRow] = []
    for group in now:  # they stand in the order of urgency, what is grave first
        kept.append(replace(group, rows=group.rows[:left]))
        away += group.rows[left:]
        left = max(0, left - len(group.rows))
    return Folded(tuple(group for group in kept if group.rows), tuple(away), after)


def folded_words(rows: Sequence[WeekRow]) -> str:
    """ "9 more that can wait"; where some of them are late or closing, it says so instead."""
    pressing = sum(row.state in ("late", "closing") for row in rows)
    if not pressing:
        return f"{len(rows)} more that can wait"
    return f"{len(rows)} more" + (", late or closing" if pressing == len(rows) else f", {pressing} late or closing")
