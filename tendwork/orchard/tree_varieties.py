"""Which trees are of a single variety: what is seen on one was seen of that variety, and its buds go by it."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft


def single_varieties(grafts: Iterable[Graft]) -> dict[str, str]:
    """The variety of each tree on which grafts of one alone have taken or bear, by the id of the tree."""
    varieties: dict[str, set[str]] = {}
    for graft in grafts:
        if graft.state in ("took", "bearing") and is_of_a_variety(graft):
            varieties.setdefault(graft.tree, set()).add(graft.variety)
    return {tree: next(iter(own)) for tree, own in varieties.items() if len(own) == 1}
