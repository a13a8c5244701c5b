"""Of which variety something was seen: of the only one on its tree, whose buds go by it too, or of the one it names."""

from __future__ import annotations

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Records, Sighting
from tendwork.orchard.variety_keys import shown_names, variety_keys


def single_varieties(records: Records) -> dict[tuple[str, str], str]:
    """The variety of each species on a tree of which grafts of one alone have taken or bear, by (tree id, species)."""
    species_of, called = species_by_graft(records), names_on_grafts(records)
    varieties: dict[tuple[str, str], set[str]] = {}
    for graft in records.grafts:
        if graft.state in ("took", "bearing") and is_of_a_variety(graft) and graft.id in species_of:
            varieties.setdefault((graft.tree, species_of[graft.id]), set()).add(called[graft.id])
    return {key: next(iter(own)) for key, own in varieties.items() if len(own) == 1}


def names_on_grafts(records: Records) -> dict[str, str]:
    """For each graft, by its id, the name by which its variety is told from others, however this one is written."""
    keys, species_of = variety_keys(records), species_by_graft(records)
    named = [(species_of.get(graft.id, ""), graft.variety) for graft in records.grafts]
    shown = shown_names(keys, named)
    return {graft.id: shown[keys.of(*name)] for graft, name in zip(records.grafts, named, strict=True)}


class VarietiesSeen:
    """The variety that a sighting is of: the single one of its species on its tree, or the one that its note names."""

    def __init__(self, records: Records) -> None:
        self._of_tree = single_varieties(records)
        self._keys, species_of, called = variety_keys(records), species_by_graft(records), names_on_grafts(records)
        self._named = {
            self._keys.of(species_of.get(graft.id, ""), graft.variety): called[graft.id]
            for graft in records.grafts
            if is_of_a_variety(graft)
        }

    def of(self, sighting: Sighting) -> str:
        """Its name; empty where the sighting is of the species."""
        single = self._of_tree.get((sighting.tree, sighting.species))
        return single or self._named.get(self._keys.of(sighting.species, sighting.note), "")
