"""From which day on the program knows of a tree, a graft or a bundle: what was due before that is not asked for.

A day is None for what is known from always: records of before this was noted, and what a file says so of by an empty
cell. A plan that is made for a day before it takes the thing as known from always, too, for it shows how that day would
have looked.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TypeVar

from msgspec.structs import replace

from tendwork.orchard.records import Graft, Record, Tree, Wood

_Any = TypeVar("_Any", bound=Record)


def entered(record: _Any, today: date) -> _Any:
    """The record as it comes in today, unless it says itself since when it is known."""
    if isinstance(record, Tree | Graft | Wood) and record.known_since is None:
        return replace(record, known_since=today)
    return record


def both_known(days: Iterable[date | None], today: date) -> date | None:
    """The day from which all of these are known."""
    return max((day for day in days if day is not None and day <= today), default=None)


def first_known(days: Iterable[date | None], today: date) -> date | None:
    """The day from which the first of these is known; None, from always, where one is, or there is none."""
    found = [None if day is None or day > today else day for day in days]
    return None if None in found else min((day for day in found if day is not None), default=None)
