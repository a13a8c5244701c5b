"""From which trees and from whom the wood of a variety may come."""

from __future__ import annotations

from collections.abc import Container, Iterable

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


class Sources:
    """The trees here on which varieties live, found once for many varieties."""

    def __init__(self, records: Records) -> None:
        self._trees = {tree.id: (place, tree) for place, tree in enumerate(records.trees)}
        self._species = species_by_graft(records)
        self._living: dict[str, list[Graft]] = {}
        for graft in records.grafts:
            if graft.state in GROWS and graft.id in self._species:
                self._living.setdefault(folded(graft.variety), []).append(graft)

    def of(self, species: str, variety: str) -> tuple[Source, ...]:
        """The trees on which a variety lives, of this species first, then of its family.

        Of several, the youngest tree is first: an older one has had more years to catch a virus.
        """
        kin = (species, *family_of(species))
        grafts: dict[str, list[Graft]] = {}
        for graft in self._living.get(folded(variety), ()):
            if self._species[graft.id] in kin:
                grafts.setdefault(graft.tree, []).append(graft)
        nearest = {tree: min(kin.index(self._species[graft.id]) for graft in held) for tree, held in grafts.items()}
        found = sorted((self._trees[tree] for tree in grafts), key=lambda one: one[0])
        sources = (Source(tree, tuple(grafts[tree.id])) for _, tree in found)
        return tuple(sorted(sources, key=lambda one: (nearest[one.tree.id], -(one.tree.planted or 0))))


def sources_of(records: Records, species: str, variety: str) -> tuple[Source, ...]:
    """The trees here on which one variety lives, as `Sources` has them."""
    return Sources(records).of(species, variety)


def is_from_somebody(bundle: Wood, own: TreesByWord) -> bool:
    """Whether a bundle came, or is to come, from a person and not from a tree here."""
    return bool(bundle.came_from or bundle.asked_on) and not own.meant(bundle.came_from)


def giver_before(
    wood: Iterable[Wood], species: str, variety: str, own: TreesByWord, not_of: Container[str] = ()
) -> str:
    """Who gave wood of a variety before, the last one first; empty where nobody is noted. Those of `not_of` refused."""
    wanted = folded(variety), species
    given = [
        bundle
        for bundle in wood
        if (folded(bundle.variety), bundle.species) == wanted
        and bundle.cut_on is not None
        and bundle.came_from
        and bundle.came_from not in not_of
        and is_from_somebody(bundle, own)
    ]
    return max(given, key=lambda bundle: str(bundle.cut_on)).came_from if given else ""
