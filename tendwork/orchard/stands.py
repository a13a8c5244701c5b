"""Every graft that stands or ever stood at a place, so that what was ticked or tasted then is told of the right one."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.records import Graft, Life, Records
from tendwork.orchard.rough_dates import first_day, last_day
from tendwork.orchard.take_rates import fates


class Stand(Struct, frozen=True):
    """One graft at a place from the day on which it was set: `begins` and `ends` are None where nobody knows.

    `took` is None where that is not known.
    """

    graft: str
    tree: str
    species: str
    record: Graft | Life
    took: bool | None
    begins: date | None
    ends: date | None

    @property
    def variety(self) -> str:
        return self.record.variety


class Stands:
    """All that were ever set, in the order of entry, those of earlier lives first."""

    def __init__(self, records: Records) -> None:
        trees = {tree.id: tree for tree in records.trees}
        places = {graft.id: graft for graft in records.grafts}
        found = []
        for fate in fates(records):
            record, place = fate.record, places.get(fate.graft)
            if place is None or place.tree not in trees or record.state == "planned":
                continue
            species = graft_species(record, trees[place.tree])
            begins = None if record.set_on is None else first_day(record.set_on)
            ended = record.ended_on if isinstance(record, Life) else None
            ends = None if ended is None else last_day(ended)
            found.append(Stand(fate.graft, place.tree, species, record, fate.took, begins, ends))
        self.all = tuple(found)
        self._at: dict[str, list[Stand]] = {}
        for stand in found:
            self._at.setdefault(stand.graft, []).append(stand)

    def on(self, graft: str, day: date) -> Stand | None:
        """The one that stood at a place on a day: of several that may have, the one that was set last."""
        held = [stand for stand in self._at.get(graft, ()) if _stood(stand, day)]
        return max(held, key=lambda stand: (stand.begins or date.min, isinstance(stand.record, Graft)), default=None)


def _stood(stand: Stand, day: date) -> bool:
    return (stand.begins is None or stand.begins <= day) and (stand.ends is None or day <= stand.ends)
