"""From which trees and from whom the wood of a variety may come."""

from __future__ import annotations

from collections.abc import Container

from msgspec import Struct

from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.variety_keys import variety_keys
from tendwork.species import family_of
from tendwork.variety_names import variety_key


class Source(Struct, frozen=True):
    """A tree that carries a variety, and the grafts of it there; without grafts the records only say it gave wood."""

    tree: Tree
    grafts: tuple[Graft, ...] = ()


def sources_of(records: Records, species: str, variety: str) -> tuple[Source, ...]:
    """The trees here on which the variety of this very species lives, under any of its names.

    Of several, the youngest tree is first: an older one has had more years to catch a virus.
    """
    keys, species_of = variety_keys(records), species_by_graft(records)
    wanted = keys.of(species, variety)
    grafts: dict[str, list[Graft]] = {}
    for graft in records.grafts:
        if graft.state in GROWS and species_of.get(graft.id) == species and keys.of(species, graft.variety) == wanted:
            grafts.setdefault(graft.tree, []).append(graft)
    found = [Source(tree, tuple(grafts[tree.id])) for tree in records.trees if tree.id in grafts]
    return tuple(sorted(found, key=lambda one: -(one.tree.planted or 0)))


def namesakes_of(records: Records, species: str, variety: str) -> tuple[tuple[Graft, str], ...]:
    """The grafts that live here under this name and are of another species of the family, each with its species.

    They give no wood of the variety: a plum and a cherry may have one name. Whoever noted the species wrongly sees it.
    """
    kin, species_of = family_of(species), species_by_graft(records)
    found = []
    for graft in records.grafts:
        own = species_of.get(graft.id, species)
        same = variety_key(species, graft.variety) == variety_key(species, variety)
        if same and graft.state in GROWS and own != species and own in kin:
            found.append((graft, own))
    return tuple(found)


def is_from_somebody(bundle: Wood, own: TreesByWord) -> bool:
    """Whether a bundle came, or is to come, from elsewhere: from a person or a place, and no tree of the records here.

    A name alone does not say which of the two it is, so a wild tree or a place is asked for as a person is.
    """
    return bool(bundle.came_from or bundle.asked_on) and not own.meant(bundle.came_from)


def giver_before(records: Records, species: str, variety: str, own: TreesByWord, not_of: Container[str] = ()) -> str:
    """Who gave wood of a variety before, the last one first; empty where nobody is noted. Those of `not_of` refused."""
    keys = variety_keys(records)
    wanted = keys.of(species, variety)
    given = [
        bundle
        for bundle in records.wood
        if keys.of(bundle.species, bundle.variety) == wanted
        and bundle.cut_on is not None
        and bundle.came_from
        and bundle.came_from not in not_of
        and is_from_somebody(bundle, own)
    ]
    return max(given, key=lambda bundle: str(bundle.cut_on)).came_from if given else ""
