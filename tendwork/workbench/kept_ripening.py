"""When the fruit of the grafts ripens by one almanac, kept as long as nothing that it follows from changes."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from tendwork.almanac.almanac import Almanac
from tendwork.folder.variety_lists import variety_reference
from tendwork.orchard.records import Records
from tendwork.planning.ripe_events import RipeOfGrafts, ripening_of
from tendwork.planning.ripe_known import PICKED


class KeptRipening:
    """The dates of this season and the one before it, of which fruit is still in store; of ticks "picked" counts."""

    def __init__(self, almanac: Almanac, south: bool, today: date) -> None:
        self._almanac = almanac
        self._south = south
        self._today = today
        self._held: tuple[Records, RipeOfGrafts] | None = None

    def of(self, records: Records) -> RipeOfGrafts:
        """By season and graft."""
        picked = tuple(tick for tick in records.ticks if tick.outcome == PICKED)
        told = replace(records, wood=(), sightings=(), ticks=picked, troubles=(), sprays=())
        if self._held is None or self._held[0] != told:
            found = ripening_of(told, variety_reference(), self._almanac, self._south, self._today)
            self._held = told, found
        return self._held[1]
