"""Which names mean one variety: the one key of it, by the person's records first, then the lists' other names.

Whatever puts grafts, bundles, sightings and records of a variety together goes by this key and by nothing else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import lru_cache

from tendwork.orchard.records import Records, Variety
from tendwork.orchard.variety_words import names_in
from tendwork.variety_names import Key, listed_names, variety_key


class VarietyKeys:
    """The names of varieties by some of their records; `in_lists` gives all names of a variety that lists have."""

    def __init__(
        self, varieties: Iterable[Variety], in_lists: Callable[[str, str], tuple[str, ...]] = listed_names
    ) -> None:
        held = tuple(varieties)
        self._in_lists = in_lists
        self._own: dict[Key, Variety] = {}
        self._keys: dict[tuple[str, str], Key] = {}
        for one in held:
            self._own.setdefault(variety_key(one.species, one.variety), one)
        for one in held:
            for name in names_in(one.also):
                self._own.setdefault(variety_key(one.species, name), one)
        for one in held:
            for name in in_lists(one.species, one.variety):
                self._own.setdefault(variety_key(one.species, name), one)

    def record(self, species: str, name: str) -> Variety | None:
        """The person's record of the variety that this is a name of."""
        return self._own.get(variety_key(species, name))

    def of(self, species: str, name: str) -> Key:
        """What is the same for all names of one variety, and for no other's."""
        key = self._keys.get((species, name))
        if key is None:
            key = self._keys[species, name] = variety_key(species, next(iter(self.names(species, name))))
        return key

    def names(self, species: str, name: str) -> tuple[str, ...]:
        """All names of the variety that this is a name of, the one that it goes by first."""
        own = self.record(species, name)
        noted = (name,) if own is None else (own.variety, *names_in(own.also))
        listed = next((found for one in (name, *noted) if (found := self._in_lists(species, one))), ())
        return tuple(dict.fromkeys((*listed, name) if own is None else (*noted, *listed, name)))


@lru_cache(maxsize=16)
def _keys_by(varieties: tuple[Variety, ...]) -> VarietyKeys:
    return VarietyKeys(varieties)


def variety_keys(records: Records) -> VarietyKeys:
    """The names of varieties by these records; made once for the same records of varieties."""
    return _keys_by(records.varieties)


def shown_names(keys: VarietyKeys, named: Iterable[tuple[str, str]]) -> dict[Key, str]:
    """By variety the name that stands for all that are written, each with its species: the first by the alphabet."""
    shown: dict[Key, str] = {}
    for species, name in named:
        key = keys.of(species, name)
        shown[key] = min(name, shown.get(key, name))
    return shown
