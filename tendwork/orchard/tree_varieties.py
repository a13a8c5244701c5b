"""Which trees are of a single variety: what is seen on one was seen of that variety, and its buds go by it."""

from __future__ import annotations

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Records


def single_varieties(records: Records) -> dict[tuple[str, str], str]:
    """The variety of each species on a tree of which grafts of one alone have taken or bear, by (tree id, species)."""
    species_of = species_by_graft(records)
    varieties: dict[tuple[str, str], set[str]] = {}
    for graft in records.grafts:
        if graft.state in ("took", "bearing") and is_of_a_variety(graft) and graft.id in species_of:
            varieties.setdefault((graft.tree, species_of[graft.id]), set()).add(graft.variety)
    return {key: next(iter(own)) for key, own in varieties.items() if len(own) == 1}
