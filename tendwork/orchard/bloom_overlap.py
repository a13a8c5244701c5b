"""Which varieties bloom together, from what was seen or from their bloom groups; and when nothing is known, that.

A sighting of bloom is about a variety where its note names that variety, or where its tree carries only that one. Its
place among others is by the person's record of it, else by published lists (`VarietyBook.bloom_place`). Groups that are
the same or adjacent go together (Habitat Aid, on pollination; BBC Gardeners' World, 2021).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from itertools import combinations
from typing import Literal

from msgspec import Struct

from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Records, Sighting
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_reference import BloomPlace
from tendwork.orchard.wording import counted, listed

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
    """

    species: str
    one: str
    other: str
    verdict: BloomVerdict
    because: str
    days: int | None = None


def blooms(records: Records) -> dict[tuple[str, str], tuple[Bloom, ...]]:
    """For each (species, variety) the bloom seen, oldest year first."""
    species_of = species_by_graft(records)
    carried: dict[tuple[str, str], set[str]] = {}
    for graft in records.grafts:
        if graft.state in GROWS and is_of_a_variety(graft) and graft.id in species_of:
            carried.setdefault((graft.tree, species_of[graft.id]), set()).add(graft.variety)
    grown = {(species, variety) for (_, species), names in carried.items() for variety in names}
    seen: dict[tuple[str, str], list[Sighting]] = {}
    for sighting in records.sightings:
        if sighting.stage in _IN_BLOOM:
            here = carried.get((sighting.tree, sighting.species), set())
            for key in grown:
                if key[0] == sighting.species and _is_about(sighting, key[1], here):
                    seen.setdefault(key, []).append(sighting)
    return {key: _by_year(sightings) for key, sightings in sorted(seen.items())}


def bloom_overlaps(records: Records, book: VarietyBook | None = None) -> tuple[Overlap, ...]:
    """Every pair of living varieties of one species, where the species needs a partner at all.

    Without a `book`, which knows the published lists, only the records speak.
    """
    book = book or VarietyBook(records)
    seen, growing = blooms(records), _growing(records)
    places = {key: place for key in growing if (place := book.bloom_place(*key)) is not None}
    return tuple(_overlap(*pair, seen, places) for pair in combinations(growing, 2) if _may_pair(*pair))


def _growing(records: Records) -> list[tuple[str, str]]:
    species_of = species_by_graft(records)
    living = (graft for graft in records.grafts if graft.state in GROWS and is_of_a_variety(graft))
    return sorted({(species_of[graft.id], graft.variety) for graft in living if graft.id in species_of})


def _may_pair(one: tuple[str, str], other: tuple[str, str]) -> bool:
    return one[0] == other[0] and one[0] not in NEEDS_NO_PARTNER


def _is_about(sighting: Sighting, variety: str, carried: set[str]) -> bool:
    named = re.search(rf"(?<!\w){re.escape(variety)}(?!\w)", sighting.note, re.IGNORECASE)
    return named is not None or carried == {variety}


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
