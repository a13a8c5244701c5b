"""How high crowns reach, in metres: as noted of the tree, and never lower than the highest graft in it."""

from __future__ import annotations

from tendwork.orchard.records import Tree
from tendwork.orchard.tree_size import crown_reaches_m
from tendwork.planning.indexed_records import Orchard


def highest_graft_m(orchard: Orchard, tree: str) -> float | None:
    """How high the highest graft of a tree is; None where that is noted of none."""
    return max((one.height_m for one in orchard.grafts_of[tree] if one.height_m is not None), default=None)


def crown_height_m(orchard: Orchard, tree: Tree) -> float | None:
    """How high a crown reaches; None where nothing is known."""
    known = (crown_reaches_m(tree), highest_graft_m(orchard, tree.id))
    return max((height_m for height_m in known if height_m is not None), default=None)


def crown_heights_m(orchard: Orchard, species: tuple[str, ...]) -> tuple[float | None, float | None]:
    """How high the crowns of some species are known to reach, and how high they may; None is not known."""
    trees = orchard.carrying(species)
    known = max((height_m for tree in trees if (height_m := crown_height_m(orchard, tree)) is not None), default=None)
    return known, None if any(crown_reaches_m(tree) is None for tree in trees) else known
