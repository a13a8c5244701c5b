"""How a variety is called as a unit: by its name and species, and formerly by its place among all recorded ones.

One that has several names is one unit, called by the first of those that its grafts have; what was ticked under any
other name of it counts.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cached_property
from hashlib import blake2b

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.records import Records
from tendwork.orchard.variety_keys import shown_names, variety_keys
from tendwork.variety_names import Key


class VarietyIds:
    """The ids of the varieties that the grafts of some records are of."""

    def __init__(self, records: Records) -> None:
        species = species_by_graft(records)
        self._keys = variety_keys(records)
        self._named = {(species[one.id], one.variety) for one in records.grafts if one.id in species}
        self._shown = shown_names(self._keys, self._named)

    def of(self, species: str, name: str) -> str:
        """The id of the variety that this is a name of."""
        return variety_id(self._shown.get(self._keys.of(species, name), name), species)

    def all_of(self, species: str, name: str) -> tuple[str, ...]:
        """Its id, then those that it had or would have under its other names."""
        named = self._names.get(self._keys.of(species, name), [])
        names = (*named, name, *self._keys.names(species, name))
        return tuple(dict.fromkeys((self.of(species, name), *(variety_id(one, species) for one in names))))

    def by_place(self, accepted: Iterable[str] | None) -> dict[Key, tuple[str, ...]]:
        """The ids that varieties of the species accepted, all for None, had by their place among all recorded ones."""
        kinds = None if accepted is None else frozenset(accepted)
        found: dict[Key, tuple[str, ...]] = {}
        grown = ((name, species) for species, name in self._named if kinds is None or species in kinds)
        for (name, species), identity in former_variety_ids(grown).items():
            key = self._keys.of(species, name)
            found[key] = (*found.get(key, ()), identity)
        return found

    @cached_property
    def _names(self) -> dict[Key, list[str]]:
        names: dict[Key, list[str]] = {}
        for species, name in sorted(self._named):
            names.setdefault(self._keys.of(species, name), []).append(name)
        return names


def variety_id(variety: str, species: str) -> str:
    """A variety's id, which can be typed and is the same whoever else is there: "clapp.pear".

    A name whose letters do not give it back, such as "Clapp's", has a mark of its own: "clapp-s-3f2a.pear".
    """
    slug = _slug(variety)
    if slug.replace("-", " ") != variety.casefold():
        slug += f"-{blake2b(variety.casefold().encode(), digest_size=2).hexdigest()}"
    return f"{slug}.{species.replace(' ', '-')}"


def former_variety_ids(varieties: Iterable[tuple[str, str]]) -> dict[tuple[str, str], str]:
    """The ids that varieties, each a name and a species, had by their place among them: ticks under them still count.

    The second of two names that look alike had a number.
    """
    taken: set[str] = set()
    return {variety: _free_slug(variety[0], taken) for variety in sorted(varieties)}


def may_be_former_id(unit: str) -> bool:
    """Whether varieties may have been ticked under this id before ids had their species in them."""
    return unit == _slug(unit)


def _slug(name: str) -> str:
    return re.sub(r"[^\w]+", "-", name.casefold()).strip("-") or "variety"


def _free_slug(name: str, taken: set[str]) -> str:
    slug = _slug(name)
    free, number = slug, 2
    while free in taken:
        free, number = f"{slug}-{number}", number + 1
    taken.add(free)
    return free
