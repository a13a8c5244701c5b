"""What is noted of trees and can hardly be so, as questions: nothing is refused for it, for a person may know better.

A crown grows on after it was measured, so a graft may be a metre beyond it before that is asked about (common practice,
no source).
"""

from __future__ import annotations

from collections.abc import Iterator

from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.tree_size import LEAST_CROWN_M, crown_reaches_m, crown_width_m

_GROWN_SINCE_M = 1.0


def doubts_of_trees(records: Records) -> tuple[str, ...]:
    """A sentence for each size, place or year that can hardly be so. Lengths are in metres."""
    trees = {tree.id: tree for tree in records.trees}
    return (
        *(doubt for tree in records.trees for doubt in _of_tree(tree)),
        *(doubt for graft in records.grafts if graft.tree in trees for doubt in _of_graft(graft, trees[graft.tree])),
    )


def _of_tree(tree: Tree) -> Iterator[str]:
    if tree.height_m is not None and tree.height_m < LEAST_CROWN_M:
        yield (
            f"{_called(tree)}: its crown is noted as {tree.height_m:g} m high, which is no crown, so its height counts"
            " as not known. Note how high it is, in metres, or leave it empty."
        )
    if tree.spread_m is not None and tree.spread_m < LEAST_CROWN_M:
        yield (
            f"{_called(tree)}: its crown is noted as {tree.spread_m:g} m wide, which is no crown, so its width counts"
            " as not known. Note how wide it is, in metres, or leave it empty."
        )
    if tree.planted is not None and tree.crown_since is not None and tree.crown_since < tree.planted:
        yield (
            f"{_called(tree)}: its crown is noted as growing since {tree.crown_since}, but it was planted in"
            f" {tree.planted}. Are both years right?"
        )


def _of_graft(graft: Graft, tree: Tree) -> Iterator[str]:
    reaches_m, wide_m = crown_reaches_m(tree), crown_width_m(tree)
    if graft.height_m is not None and reaches_m is not None and graft.height_m > reaches_m + _GROWN_SINCE_M:
        yield (
            f"Graft {graft.id} ({graft.variety}) is noted {graft.height_m:g} m up, but the crown of {_called(tree)}"
            f" reaches {reaches_m:g} m. Mend the one that is wrong."
        )
    if graft.out_m is not None and wide_m is not None and graft.out_m > wide_m / 2 + _GROWN_SINCE_M:
        yield (
            f"Graft {graft.id} ({graft.variety}) is noted {graft.out_m:g} m from the trunk, but the crown of"
            f" {_called(tree)} is {wide_m:g} m wide. Mend the one that is wrong."
        )


def _called(tree: Tree) -> str:
    return f"{tree.name} ({tree.id})"
