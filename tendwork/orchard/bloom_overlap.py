"""Which varieties bloom together, from what was seen or from their bloom groups; and when nothing is known, that.

A sighting of bloom is about a variety where its note names that variety, or where its tree carries only that one. Its
place among others is by the person's record of it, else by published lists (`VarietyBook.bloom_place`). Groups that are
the same or adjacent go together (Habitat Aid, on pollination; BBC Gardeners' World, 2021). To bloom together is not
enough: of a pair it is told beside that which of the two gives pollen.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from datetime import date
from itertools import combinations
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.pollen import NOT_KNOWN, Pollen, pollen_of
from tendwork.orchard.records import Records, Sighting
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_keys import shown_names, variety_keys
from tendwork.orchard.variety_reference import BloomPlace
from tendwork.orchard.wording import counted, listed
from tendwork.plain_text import without_accents
from tendwork.variety_names import Key

NEEDS_NO_PARTNER = frozenset({"quince", "medlar", "peach"})  # a UK nursery's list of self-set fruits
_FIRST, _LAST = "first bloom", "petal fall"
_IN_BLOOM = frozenset({_FIRST, "full bloom", _LAST})


class Bloom(Struct, frozen=True):
    """The days on which a variety was surely in bloom in one year; `whole` if both its first and its last were seen."""

    year: int
    first: date
    last: date
    whole: bool


BloomVerdict = Literal["together", "apart", "not known"]


class Overlap(Struct, frozen=True):
    """Whether two varieties of one species bloom together: "together", "apart" or "not known", and from what.

    `days` is the least number of days in common in the years in which they met; None where no sighting decided.
    `one_gives` and `other_gives` say whether that variety has pollen for the other; None is not known.
    """

    species: str
    one: str
    other: str
    verdict: BloomVerdict
    because: str
    days: int | None = None
    one_gives: bool | None = None
    other_gives: bool | None = None


def blooms(records: Records) -> dict[tuple[str, str], tuple[Bloom, ...]]:
    """For each (species, variety) that lives here, as `grown_varieties` calls it, the bloom seen, oldest year first."""
    keys, species_of = variety_keys(records), species_by_graft(records)
    carried: dict[tuple[str, str], set[Key]] = {}
    names: dict[Key, set[str]] = {}
    for graft in records.grafts:
        if graft.state in GROWS and is_of_a_variety(graft) and graft.id in species_of:
            species = species_of[graft.id]
            key = keys.of(species, graft.variety)
            carried.setdefault((graft.tree, species), set()).add(key)
            names.setdefault(key, set()).update((graft.variety, *keys.names(species, graft.variety)))
    seen: dict[Key, list[Sighting]] = {}
    for sighting in records.sightings:
        if sighting.stage in _IN_BLOOM:
            here = carried.get((sighting.tree, sighting.species), set())
            for key, called in names.items():
                if key[0] == sighting.species and (here == {key} or _is_named(sighting, called)):
                    seen.setdefault(key, []).append(sighting)
    shown = dict(grown_varieties(records))
    return dict(sorted(((key[0], shown[key]), _by_year(sightings)) for key, sightings in seen.items()))


def grown_varieties(records: Records) -> tuple[tuple[Key, str], ...]:
    """Every living variety, by species and name: its key, and the name that stands for all that its grafts have."""
    species_of = species_by_graft(records)
    living = (graft for graft in records.grafts if graft.state in GROWS and is_of_a_variety(graft))
    named = ((species_of[graft.id], graft.variety) for graft in living if graft.id in species_of)
    return tuple(sorted(shown_names(variety_keys(records), named).items(), key=lambda one: (one[0][0], one[1])))


def needs_no_partner(species: str, pollen: Pollen = NOT_KNOWN) -> bool:
    """Whether a variety sets fruit by itself: all of its species do, or it is said to be self-fertile."""
    return species in NEEDS_NO_PARTNER or pollen.needs_none


def bloom_overlaps(records: Records, book: VarietyBook | None = None) -> tuple[Overlap, ...]:
    """Every pair of living varieties of one species, where the species needs a partner at all.

    Without a `book`, which knows the published lists, only the records speak.
    """
    book = book or VarietyBook(records)
    seen, growing = blooms(records), [(key[0], name) for key, name in grown_varieties(records)]
    places = {one: place for one in growing if (place := book.bloom_place(*one)) is not None}
    pollen = {one: pollen_of(book.said_of(*one, "pollen")).gives for one in growing}
    return tuple(
        replace(_overlap(*pair, seen, places), one_gives=pollen[pair[0]], other_gives=pollen[pair[1]])
        for pair in combinations(growing, 2)
        if _may_pair(*pair)
    )


def _may_pair(one: tuple[str, str], other: tuple[str, str]) -> bool:
    return one[0] == other[0] and one[0] not in NEEDS_NO_PARTNER


def _is_named(sighting: Sighting, names: Collection[str]) -> bool:
    """Whether the note has one of the names in it, as a word of its own and however it is accented."""
    note = without_accents(sighting.note)
    return bool(note) and any(
        name in note and re.search(rf"(?<!\w){re.escape(name)}(?!\w)", note) for name in map(without_accents, names)
    )


def _by_year(sightings: list[Sighting]) -> tuple[Bloom, ...]:
    """In both hemispheres a bloom lies within one calendar year."""
    years: dict[int, list[Sighting]] = {}
    for sighting in sightings:
        years.setdefault(sighting.day.year, []).append(sighting)
    return tuple(
        Bloom(
            year,
            min(sighting.day for sighting in seen),
            max(sighting.day for sighting in seen),
            {_FIRST, _LAST} <= {sighting.stage for sighting in seen},
        )
        for year, seen in sorted(years.items())
    )


def _overlap(
    one: tuple[str, str],
    other: tuple[str, str],
    seen: Mapping[tuple[str, str], tuple[Bloom, ...]],
    places: Mapping[tuple[str, str], BloomPlace],
) -> Overlap:
    species, names = one[0], (one[1], other[1])
    theirs = {bloom.year: bloom for bloom in seen.get(other, ())}
    pairs = [(bloom, theirs[bloom.year]) for bloom in seen.get(one, ()) if bloom.year in theirs]
    common = {mine.year: _common_days(mine, its) for mine, its in pairs}
    sure = {mine.year for mine, its in pairs if common[mine.year] > 0 or (mine.whole and its.whole)}
    if sure:
        met = [common[year] for year in sorted(sure) if common[year]]
        told = f"in bloom together in {len(met)} of {counted(len(sure), 'year')} seen ({listed(sorted(sure))})"
        if 2 * len(met) >= len(sure):
            return Overlap(species, *names, "together", f"{told}, at least {counted(min(met), 'day')}", min(met))
        return Overlap(species, *names, "apart", told, 0)
    if one in places and other in places:
        near = abs(places[one].group - places[other].group) <= 1
        return Overlap(
            species, *names, "together" if near else "apart", _places_words(places[one], places[other], near)
        )
    return Overlap(species, *names, "not known", "no year in which the bloom of both was seen, and no groups known")


def _places_words(one: BloomPlace, other: BloomPlace, near: bool) -> str:
    if all(place.noted and place.words.removeprefix("group ").isdecimal() for place in (one, other)):
        numbers = (place.words.removeprefix("group ") for place in (one, other))
        return f"bloom groups {' and '.join(numbers)}, {'same or adjacent' if near else 'not adjacent'}"
    said = (f"{place.words} [you]" if place.noted else place.words for place in (one, other))
    return f"bloom {' and '.join(said)}: {'at most one group' if near else 'more than a group'} apart"


def _common_days(one: Bloom, other: Bloom) -> int:
    return max(0, (min(one.last, other.last) - max(one.first, other.first)).days + 1)
