"""What the almanac says: plain frozen results that planning, view and JSON share."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from msgspec import Struct

StageState = Literal["past", "seen", "predicted", "unreached"]


class SeenStage(Struct, frozen=True):
    """A bud stage that somebody saw: a fact of its own season.

    `variety` is empty where the sighting speaks for the whole species.
    """

    day: dt.date
    species: str
    stage: str
    variety: str = ""


class StageDate(Struct, frozen=True):
    """When one species reaches one stage in one season.

    `low` and `high` bound the 80 % range. `state` is "past" (predicted, and its date is over), "seen" (a sighting),
    "predicted" (still to come) or "unreached" (no date can be given; the fields are None).
    """

    stage: str
    bbch: int
    state: StageState
    date: dt.date | None
    low: dt.date | None
    high: dt.date | None
    because: tuple[str, ...] = ()


class Reached(Struct, frozen=True):
    """When a heat sum is reached: median day and the 80 % range. None if not within the days held."""

    day: dt.date | None
    low: dt.date | None
    high: dt.date | None


class CallusWeather(Struct, frozen=True):
    """How many of the coming `days` (a mean over the ways the weather may go on) are right for a graft to knit.

    A day is, if its maximum is from `lowest_c` to `highest_c`, the published range of the species.
    """

    species: str
    warm_days: float
    days: int
    lowest_c: float
    highest_c: float
    source: str


class FrostNight(Struct, frozen=True):
    """A coming night that can hurt buds, in °C, beside the published 10 % and 90 % kill temperatures."""

    night: dt.date
    species: str
    stage: str
    tmin_c: float
    kill10_c: float
    kill90_c: float | None
    source: str


class SpeciesStages(Struct, frozen=True):
    """One species and its stage dates of one season."""

    species: str
    stages: tuple[StageDate, ...]
