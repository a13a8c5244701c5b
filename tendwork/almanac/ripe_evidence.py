"""What may be known of when a variety is ripe, each piece with who says it, and the picking date that follows."""

from __future__ import annotations

import datetime as dt

from msgspec import Struct

UNRIPE, RIPE, OVER = "unripe", "ripe", "over"
STORED = "stored"
"""Ripe, but so late that the day says only by when it was picked."""


class Tasted(Struct, frozen=True):
    """That fruit of one graft was unripe, ripe, over or ripe in the store on a day."""

    day: dt.date
    ripe: str
    graft: str = ""


class NotedDay(Struct, frozen=True):
    """A day of the year on which the variety is said to ripen: of this place, or (not `here`) of another one.

    `span_days` is the length of a span, such as a month, of which the day is the middle and no more is said.
    """

    month: int
    day: int
    by: str
    here: bool = True
    span_days: int = 0


class DaysFromBloom(Struct, frozen=True):
    """Days from full bloom to picking, as somebody says."""

    days: float
    by: str


class AgainstOther(Struct, frozen=True):
    """Days by which the variety ripens after another of its species, as somebody says; negative is before."""

    variety: str
    days: float
    by: str


class RipeEvidence(Struct, frozen=True):
    """All that is known of one variety; `variety` in `against` is the name that its own evidence goes by."""

    species: str
    variety: str
    tasted: tuple[Tasted, ...] = ()
    noted: tuple[NotedDay, ...] = ()
    from_bloom: tuple[DaysFromBloom, ...] = ()
    against: tuple[AgainstOther, ...] = ()


class PickDate(Struct, frozen=True):
    """When a variety is to be picked in one season: the middle, and the 80 % range.

    `seen` where its fruit was tasted ripe in that season, which is then the day. `usual` is the day of a season
    as usual.
    """

    species: str
    variety: str
    low: dt.date
    pick: dt.date
    high: dt.date
    seen: bool
    because: tuple[str, ...]
    usual: dt.date
