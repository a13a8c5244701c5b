"""When the fruit of the grafts ripens by one almanac, kept as long as nothing that it follows from changes."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.seasons import season_of
from tendwork.folder.variety_lists import variety_reference
from tendwork.orchard.records import Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.ripe_events import RipeOfGrafts, ripe_of_grafts
from tendwork.planning.ripening_dates import ripening_dates


class KeptRipening:
    """The dates of this season and the one before it, of which fruit is still in store; a tick changes nothing."""

    def __init__(self, almanac: Almanac, south: bool, today: date) -> None:
        self._almanac = almanac
        self._south = south
        self._today = today
        self._held: tuple[Records, RipeOfGrafts] | None = None

    def of(self, records: Records) -> RipeOfGrafts:
        """By season and graft."""
        told = replace(records, wood=(), sightings=(), ticks=(), troubles=(), sprays=())
        if self._held is None or self._held[0] != told:
            reference, season = variety_reference(), season_of(self._today, self._south)
            book = VarietyBook(records, reference)
            found = {
                which: ripe_of_grafts(
                    records,
                    book,
                    ripening_dates(told, reference, self._almanac, self._south, self._today, which),
                )
                for which in (season.previous, season)
            }
            self._held = told, found
        return self._held[1]
