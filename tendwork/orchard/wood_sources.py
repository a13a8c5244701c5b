"""From which trees and from whom the wood of a variety may come."""

from __future__ import annotations

from collections.abc import Container, Iterable

from msgspec import Struct

from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.variety_keys import variety_keys
from tendwork.species import family_of
from tendwork.variety_names import Key, variety_key


class Source(Struct, frozen=True):
    """A tree that carries a variety, and the grafts of it there; without grafts the records only say it gave wood."""

    tree: Tree
    grafts: tuple[Graft, ...] = ()


class Sources:
    """The trees here on which varieties live, found once for many varieties."""

    def __init__(self, records: Records) -> None:
        self._trees = {tree.id: (place, tree) for place, tree in enumerate(records.trees)}
        self._species, self._keys = species_by_graft(records), variety_keys(records)
        self._living: dict[Key, list[Graft]] = {}
        self._named: dict[Key, list[Graft]] = {}
        for graft in records.grafts:
            if graft.state in GROWS and (species := self._species.get(graft.id)) is not None:
                self._living.setdefault(self._keys.of(species, graft.variety), []).append(graft)
                self._named.setdefault(variety_key("", graft.variety), []).append(graft)

    def of(self, species: str, variety: str) -> tuple[Source, ...]:
        """The trees on which the variety of this very species lives, under any of its names.

        Of several, the youngest tree is first: an older one has had more years to catch a virus.
        """
        grafts: dict[str, list[Graft]] = {}
        for graft in self._living.get(self._keys.of(species, variety), ()):
            grafts.setdefault(graft.tree, []).append(graft)
        found = sorted((self._trees[tree] for tree in grafts), key=lambda one: one[0])
        sources = (Source(tree, tuple(grafts[tree.id])) for _, tree in found)
        return tuple(sorted(sources, key=lambda one: -(one.tree.planted or 0)))

    def namesakes(self, species: str, variety: str) -> tuple[tuple[Graft, str], ...]:
        """The grafts that live here under this name and are of another species of the family, each with its species.

        They give no wood of the variety: a plum and a cherry may have one name. Whoever noted the species wrongly sees
        it.
        """
        kin = set(family_of(species)) - {species}
        named = self._named.get(variety_key("", variety), ())
        return tuple((graft, own) for graft in named if (own := self._species[graft.id]) in kin)


def sources_of(records: Records, species: str, variety: str) -> tuple[Source, ...]:
    """The trees here on which one variety lives, as `Sources` has them."""
    return Sources(records).of(species, variety)


def is_from_somebody(bundle: Wood, own: TreesByWord) -> bool:
    """Whether a bundle came, or is to come, from elsewhere: from a person or a place, and no tree of the records here.

    A name alone does not say which of the two it is, so a wild tree or a place is asked for as a person is.
    """
    return bool(bundle.came_from or bundle.asked_on) and not own.meant(bundle.came_from)


def giver_before(records: Records, species: str, variety: str, own: TreesByWord) -> str:
    """Who gave wood of a variety before, the last one first; empty where nobody is noted."""
    keys = variety_keys(records)
    wanted = keys.of(species, variety)
    return last_giver((one for one in records.wood if keys.of(one.species, one.variety) == wanted), own)


def last_giver(bundles: Iterable[Wood], own: TreesByWord, not_of: Container[str] = ()) -> str:
    """Who gave the last of these bundles; empty where nobody is noted. Those of `not_of` refused."""
    given = [
        bundle
        for bundle in bundles
        if bundle.cut_on is not None
        and bundle.came_from
        and bundle.came_from not in not_of
        and is_from_somebody(bundle, own)
    ]
    return max(given, key=lambda bundle: str(bundle.cut_on)).came_from if given else ""
