"""What is known of varieties, and from whom: the person's record first, field by field, then the published lists.

Nothing is guessed: a field of which neither speaks is unknown.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import Literal, get_args

from msgspec import Struct

from tendwork.orchard.graft_species import species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Variety
from tendwork.orchard.variety_keys import VarietyKeys
from tendwork.orchard.variety_reference import (
    NO_REFERENCE,
    BloomPlace,
    ListedField,
    ListedVariety,
    Said,
    VarietyReference,
)
from tendwork.orchard.variety_words import bloom_group, bloom_words, group_words, names_in, span_text
from tendwork.orchard.wording import listed
from tendwork.variety_names import Key, listed_names, variety_key

KnownField = Literal["bloom", "pollen", "ripens", "keeps", "vigour", "chill", "use"]
KNOWN_FIELDS: tuple[KnownField, ...] = get_args(KnownField)
"""What may be known of a variety, as the fields of its record."""
YOU = "you"
_GROWING = ("planned", "set", "took", "bearing")


class KnownVariety(Struct, frozen=True):
    """One variety: `said` holds for each field that is known what is said of it, the person's word alone where it is.

    `days` is what lists say of the days from bloom to picking. `trees` are those that it grows on or is planned on,
    `bundles` those of its wood.
    """

    species: str
    variety: str
    also: tuple[str, ...]
    said: Mapping[KnownField, tuple[Said, ...]]
    days: tuple[Said, ...] = ()
    record: Variety | None = None
    is_listed: bool = False
    trees: tuple[str, ...] = ()
    bundles: tuple[str, ...] = ()

    @property
    def unknown(self) -> tuple[KnownField, ...]:
        """The fields of which nothing is known."""
        return tuple(field for field in KNOWN_FIELDS if field not in self.said)


class VarietyBook:
    """The varieties of some records beside the published lists."""

    def __init__(self, records: Records, reference: VarietyReference = NO_REFERENCE) -> None:
        self._records = records
        self._reference = reference
        self._keys = VarietyKeys(records.varieties, self._listed_names)

    def record(self, species: str, name: str) -> Variety | None:
        """The person's record of the variety that this is a name of."""
        return self._keys.record(species, name)

    def in_lists(self, species: str, name: str) -> ListedVariety | None:
        """What lists say of it, also where only the person's record knows the name."""
        names = (name, *self._keys.names(species, name))
        return next((found for one in names if (found := self._reference.find(species, one)) is not None), None)

    def key(self, species: str, name: str) -> Key:
        """What is the same for all names of one variety."""
        return self._keys.of(species, name)

    def _listed_names(self, species: str, name: str) -> tuple[str, ...]:
        return _names_of(self._reference.find(species, name)) or listed_names(species, name)

    def bloom_place(self, species: str, name: str) -> BloomPlace | None:
        """Where it blooms, by the person's record, else the bloom order that the almanac goes by, else hobby lists."""
        own, found = self.record(species, name), self.in_lists(species, name)
        group = None if own is None else bloom_group(own.bloom)
        if own is not None and group is not None:
            return BloomPlace(group, bloom_words(own.bloom), noted=True)
        if found is None or found.bloom is not None:
            return None if found is None else found.bloom
        said = [(one, group) for one in found.said.get("bloom", ()) if (group := bloom_group(one.value)) is not None]
        if not said:
            return None
        mean = sum(group for _, group in said) / len(said)
        return BloomPlace(mean, listed(one.words for one, _ in said) if len(said) == 1 else _words(mean, said))

    def known(self, species: str, name: str) -> KnownVariety:
        """What is known of one variety; what is noted on its grafts is the person's word, too."""
        own, found = self.record(species, name), self.in_lists(species, name)
        said: dict[KnownField, tuple[Said, ...]] = {}
        for field in KNOWN_FIELDS:
            if held := self._said(species, name, field, own, found):
                said[field] = held
        called = name if own is None else own.variety
        others = (*(names_in(own.also) if own else ()), *_names_of(found), name)
        also = {variety_key(species, other): other for other in reversed(others)}
        also.pop(variety_key(species, called), None)
        key = self.key(species, name)
        return KnownVariety(
            species,
            called,
            tuple(reversed(also.values())),
            said,
            () if found is None else found.said.get("days from bloom", ()),
            own,
            found is not None,
            tuple(dict.fromkeys(graft.tree for graft in self._grafts.get(key, ()))),
            tuple(self._bundles.get(key, ())),
        )

    def said_of(self, species: str, name: str, field: KnownField) -> tuple[Said, ...]:
        """What is said of one field of a variety, the person's word alone where it is."""
        return self._said(species, name, field, self.record(species, name), self.in_lists(species, name))

    def all_known(self) -> tuple[KnownVariety, ...]:
        """Every variety on the trees, planned or in wood, or of which there is a record, by species and name."""
        names: dict[Key, tuple[str, str]] = {}
        records = self._records
        for species, name in (
            *((one.species, one.variety) for one in records.varieties),
            *((species, graft.variety) for species, graft in _grafts(records)),
            *((bundle.species, bundle.variety) for bundle in records.wood),
        ):
            names.setdefault(self.key(species, name), (species, name))
        return tuple(self.known(*names[key]) for key in sorted(names))

    def _on_grafts(self, species: str, name: str, field: KnownField) -> tuple[Said, ...]:
        """What is noted on grafts of a variety: the chill it needs, and when it ripens."""
        values: dict[str, list[str]] = {}
        for graft in self._grafts.get(self.key(species, name), ()):
            if field == "chill" and graft.chill is not None:
                values.setdefault(f"{graft.chill:g} portions", []).append(graft.id)
            elif field == "ripens" and (graft.ripens_from or graft.ripens_to):
                values.setdefault(span_text(graft.ripens_from, graft.ripens_to), []).append(graft.id)
        return tuple(Said(value, f"{YOU}, on {listed(grafts)}", own=True) for value, grafts in values.items())

    @cached_property
    def _grafts(self) -> dict[Key, list[Graft]]:
        grafts: dict[Key, list[Graft]] = {}
        for species, graft in _grafts(self._records):
            grafts.setdefault(self.key(species, graft.variety), []).append(graft)
        return grafts

    @cached_property
    def _bundles(self) -> dict[Key, list[str]]:
        bundles: dict[Key, list[str]] = {}
        for bundle in self._records.wood:
            bundles.setdefault(self.key(bundle.species, bundle.variety), []).append(bundle.id)
        return bundles

    def _said(
        self, species: str, name: str, field: KnownField, own: Variety | None, found: ListedVariety | None
    ) -> tuple[Said, ...]:
        """What is noted on grafts, for this place, goes first, as in `ripening`, and the record after it."""
        noted = self._on_grafts(species, name, field)
        value = None if own is None else getattr(own, field)
        if own is not None and value not in (None, ""):
            by = f"{YOU}, from {own.source}" if own.source else YOU
            shown = f"{value:g} portions" if field == "chill" else bloom_words(value) if field == "bloom" else value
            noted = tuple(said for said in noted if said.value != shown)
            return (*noted, Said(shown, by, own=True))
        if noted:
            return noted
        as_listed: dict[KnownField, ListedField] = {
            "bloom": "bloom", "pollen": "pollen", "ripens": "ripens", "keeps": "keeps", "vigour": "vigour",
        }  # fmt: skip
        return () if found is None or field not in as_listed else found.said.get(as_listed[field], ())


def twice_named(records: Records) -> tuple[tuple[Variety, Variety, str], ...]:
    """Pairs of records of which one has the other's name, or they share one, among their other names; and that name."""
    first: dict[Key, Variety] = {variety_key(one.species, one.variety): one for one in records.varieties}
    pairs = []
    for one in records.varieties:
        for name in names_in(one.also):
            other = first.setdefault(variety_key(one.species, name), one)
            if other is not one:
                pairs.append((other, one, name))
    return tuple(pairs)


def _grafts(records: Records) -> Iterator[tuple[str, Graft]]:
    """The living and planned grafts of varieties, each with its species."""
    species_of = species_by_graft(records)
    for graft in records.grafts:
        if graft.state in _GROWING and graft.id in species_of and is_of_a_variety(graft):
            yield species_of[graft.id], graft


def _names_of(found: ListedVariety | None) -> tuple[str, ...]:
    return () if found is None else (found.variety, *(one.value for one in found.also))


def _words(mean: float, said: Iterable[tuple[Said, float]]) -> str:
    return f"{group_words(mean)} [mean of {listed(one.words for one, _ in said)}]"
