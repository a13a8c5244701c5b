"""What speaks against a deed that no job asked for: eating fruit, grafting on a tree, using a bundle of wood."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Tasting
from tendwork.orchard.sprays import HARVEST, RETURN, bars_on
from tendwork.planning.held_back import Bar, HeldBack


class DeedBars(HeldBack):
    """The bars of one day in the words in which jobs are held back."""

    def __init__(self, records: Records, south: bool, today: date) -> None:
        super().__init__(records, south, today)
        self._records = records

    def fruit(self, tree: str, day: date) -> Bar | None:
        """Why a tree's fruit must not be eaten on a day."""
        bars = bars_on(self._sprays, tree, day, HARVEST)
        return self._spray_bar(bars[0]) if bars else None

    def work(self, tree: str, day: date) -> Bar | None:
        """Why nobody should be in a tree on a day."""
        bars = bars_on(self._sprays, tree, day, RETURN)
        return self._spray_bar(bars[0]) if bars else None

    def barred_fruit(self) -> dict[str, Bar]:
        """Every graft that bears and whose fruit must not be eaten today, by its id."""
        if not self._sprays:
            return {}
        trees = {tree: self.fruit(tree, self._today) for tree in self._trees}
        bearing = (graft for graft in self._records.grafts if graft.state == "bearing" and is_of_a_variety(graft))
        return {graft.id: bar for graft in bearing if (bar := trees.get(graft.tree)) is not None}

    def against_tasting(self, tasting: Tasting) -> str:
        """Why the fruit should not have been eaten, as sentences; empty where nothing says so."""
        graft = self._grafts.get(tasting.graft)
        bar = None if graft is None else self.fruit(graft.tree, tasting.day)
        return "" if bar is None else bar.words

    def against_setting(self, grafts: Iterable[Graft]) -> str:
        """Why these grafts should not be set on their day: their tree, or their wood; empty where nothing says so."""
        found = []
        for graft in grafts:
            if graft.state == "set" and graft.set_on is not None:
                found += [self.work(graft.tree, graft.set_on), self._bundle_bar(graft.wood, graft.set_on)]
        return " ".join(dict.fromkeys(bar.words for bar in found if bar is not None))
