"""What speaks against a deed that no job asked for: eating fruit, grafting on a tree, using a bundle of wood."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Spray, Tasting
from tendwork.orchard.sprays import HARVEST, RETURN, bars_on, latest_sprays
from tendwork.planning.held_back import HeldBack
from tendwork.planning.hold_words import Bar


class Against(Struct, frozen=True):
    """What speaks against a deed, in whole sentences, and the first day on which it does no more, where one knows."""

    words: str
    until: date | None


class DeedBars(HeldBack):
    """The bars in the words in which jobs are held back; unlike a job, a deed may be of a day that is over."""

    def __init__(self, records: Records, south: bool, today: date) -> None:
        super().__init__(records, south, today)
        self._records = records
        self._sprays_ever: dict[str, list[Spray]] = {}
        for spray in latest_sprays(records.sprays):
            self._sprays_ever.setdefault(spray.tree, []).append(spray)

    def fruit(self, tree: str, day: date) -> Against | None:
        """Why a tree's fruit must not be eaten on a day."""
        bar = self._sprayed(tree, day, HARVEST)
        return None if bar is None else Against(self._words.whole((bar,)), bar.until)

    def barred_fruit(self) -> dict[str, Against]:
        """Every graft that bears and whose fruit must not be eaten today, by its id."""
        trees = {tree: self.fruit(tree, self._today) for tree in self._sprays}
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
                found += [self._sprayed(graft.tree, graft.set_on, RETURN), self._bundle_bar(graft.wood, graft.set_on)]
        return self._words.whole(bar for bar in found if bar is not None)

    def _sprayed(self, tree: str, day: date, kind: str) -> Bar | None:
        """The spray that bars a tree on a day for the longest time."""
        bars = bars_on(self._sprays_ever.get(tree, ()), tree, day, kind)
        return Bar(bars[0], bars[0].until if bars[0].noted else None) if bars else None
