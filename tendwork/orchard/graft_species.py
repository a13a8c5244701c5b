"""What species a graft is of: its own where that is noted, else that of the tree that carries it.

What grows from the scion (its buds, bloom, fruit, wood and wraps) follows this; what the roots and the frame do
(suckers, sap and bark, the shape of the tree, its guards) follows the tree's.
"""

from __future__ import annotations

from tendwork.orchard.records import Graft, Life, Records, Tree

GROWS = ("set", "took", "bearing")
"""The states of a graft that stands and lives, as far as is known."""


def graft_species(graft: Graft | Life, tree: Tree) -> str:
    """The species of a graft, or of an earlier life, on this tree."""
    return graft.species or tree.species


def variety_words(graft: Graft, tree: Tree) -> str:
    """The variety, with its species where that is not the tree's: "Early Peach, peach"."""
    species = graft_species(graft, tree)
    return graft.variety if species == tree.species else f"{graft.variety}, {species}"


def stock_words(tree: Tree) -> str:
    """What a tree stands on: "seedling, interstem M.9"; empty where neither is noted."""
    between = f"interstem {tree.interstem}" if tree.interstem.casefold() not in ("", "none") else ""
    return ", ".join(filter(None, (tree.stock, between)))


def species_by_graft(records: Records) -> dict[str, str]:
    """The species of each graft, by its id; a graft whose tree is not on file is left out."""
    trees = {tree.id: tree for tree in records.trees}
    return {graft.id: graft_species(graft, trees[graft.tree]) for graft in records.grafts if graft.tree in trees}


def species_on(records: Records, tree: Tree) -> tuple[str, ...]:
    """The species of a tree, then those of what grows on it."""
    grafted = (graft_species(graft, tree) for graft in records.grafts if graft.tree == tree.id and graft.state in GROWS)
    return tuple(dict.fromkeys((tree.species, *grafted)))


def species_grown(records: Records) -> frozenset[str]:
    """The species of all trees and of what grows on them."""
    of_graft = species_by_graft(records)
    grafted = (of_graft.get(graft.id, "") for graft in records.grafts if graft.species and graft.state in GROWS)
    return frozenset({*(tree.species for tree in records.trees), *grafted} - {""})
