"""From which trees and from whom the wood of a variety may come."""

from __future__ import annotations

from collections.abc import Container

from msgspec import Struct

from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.tree_names import TreesByWord
from tendwork.species import family_of


class Source(Struct, frozen=True):
    """A tree that carries a variety, and the grafts of it there; without grafts the records only say it gave wood."""

    tree: Tree
    grafts: tuple[Graft, ...] = ()


def folded(variety: str) -> str:
    """A variety's name as it is compared."""
    return " ".join(variety.split()).casefold()


def sources_of(records: Records, species: str, variety: str) -> tuple[Source, ...]:
    """The trees here on which the variety lives, of this species first, then of its family.

    Of several, the youngest tree is first: an older one has had more years to catch a virus.
    """
    wanted, kin, species_of = folded(variety), (species, *family_of(species)), species_by_graft(records)
    grafts: dict[str, list[Graft]] = {}
    for graft in records.grafts:
        if graft.state in GROWS and folded(graft.variety) == wanted and species_of.get(graft.id) in kin:
            grafts.setdefault(graft.tree, []).append(graft)
    nearest = {tree: min(kin.index(species_of[graft.id]) for graft in held) for tree, held in grafts.items()}
    found = [Source(tree, tuple(grafts[tree.id])) for tree in records.trees if tree.id in grafts]
    return tuple(sorted(found, key=lambda one: (nearest[one.tree.id], -(one.tree.planted or 0))))


def is_from_somebody(bundle: Wood, own: TreesByWord) -> bool:
    """Whether a bundle came, or is to come, from elsewhere: from a person or a place, and no tree of the records here.

    A name alone does not say which of the two it is, so a wild tree or a place is asked for as a person is.
    """
    return bool(bundle.came_from or bundle.asked_on) and not own.meant(bundle.came_from)


def giver_before(records: Records, species: str, variety: str, own: TreesByWord, not_of: Container[str] = ()) -> str:
    """Who gave wood of a variety before, the last one first; empty where nobody is noted. Those of `not_of` refused."""
    wanted = folded(variety), species
    given = [
        bundle
        for bundle in records.wood
        if (folded(bundle.variety), bundle.species) == wanted
        and bundle.cut_on is not None
        and bundle.came_from
        and bundle.came_from not in not_of
        and is_from_somebody(bundle, own)
    ]
    return max(given, key=lambda bundle: str(bundle.cut_on)).came_from if given else ""
