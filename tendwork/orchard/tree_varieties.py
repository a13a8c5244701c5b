"""Of which variety something was seen: of the only one on its tree, whose buds go by it too, or of the one it names."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Sighting
from tendwork.plain_text import folded_name


def single_varieties(grafts: Iterable[Graft]) -> dict[str, str]:
    """The variety of each tree on which grafts of one alone have taken or bear, by the id of the tree."""
    varieties: dict[str, set[str]] = {}
    for graft in grafts:
        if graft.state in ("took", "bearing") and is_of_a_variety(graft):
            varieties.setdefault(graft.tree, set()).add(graft.variety)
    return {tree: next(iter(own)) for tree, own in varieties.items() if len(own) == 1}


class VarietiesSeen:
    """The variety that a sighting is of: the single one of its tree, or the one whose name alone is its note."""

    def __init__(self, grafts: Iterable[Graft]) -> None:
        grown = tuple(grafts)
        self._of_tree = single_varieties(grown)
        self._named = {folded_name(graft.variety): graft.variety for graft in grown if is_of_a_variety(graft)}

    def of(self, sighting: Sighting) -> str:
        """Its name; empty where the sighting is of the species."""
        return self._of_tree.get(sighting.tree) or self._named.get(folded_name(sighting.note), "")
