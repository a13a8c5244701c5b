"""Which varieties bloom together, from what was seen or from their bloom groups; and when nothing is known, that.

A sighting of bloom is about a variety where its note names that variety, or where its tree carries only that one. A
graft's note may give its group as "bloom group 3". Groups that are the same or adjacent go together (Habitat Aid, on
pollination; BBC Gardeners' World, 2021).
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
from tendwork.orchard.wording import counted, listed

NEEDS_NO_PARTNER = frozenset({"quince", "medlar", "peach"})  # a UK nursery's list of self-set fruits
_FIRST, _LAST = "first bloom", "petal fall"
_IN_BLOOM = frozenset({_FIRST, "full bloom", _LAST})
_GROUP = re.compile(r"\bbloom group (\d+)\b", re.IGNORECASE)


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


def bloom_groups(records: Records) -> dict[tuple[str, str], int]:
    """For each (species, variety) the bloom group that the note of one of its grafts gives."""
    species_of = species_by_graft(records)
    groups = {}
    for graft in records.grafts:
        found = _GROUP.search(graft.note)
        if found and graft.id in species_of:
            groups[species_of[graft.id], graft.variety] = int(found.group(1))
    return groups


def with_bloom_group(note: str, group: int | None) -> str:
    """A graft's note with this bloom group in the place of the one it gave, or without any."""
    rest = re.sub(r"\s*[,;]?\s*" + _GROUP.pattern, "", note, flags=re.IGNORECASE).strip(" ,;")
    return rest if group is None else f"{rest}; bloom group {group}".removeprefix("; ")


def bloom_overlaps(records: Records) -> tuple[Overlap, ...]:
    """Every pair of living varieties of one species, where the species needs a partner at all."""
    seen, groups = blooms(records), bloom_groups(records)
    return tuple(_overlap(*pair, seen, groups) for pair in combinations(_growing(records), 2) if _may_pair(*pair))


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
    groups: Mapping[tuple[str, str], int],
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
    if one in groups and other in groups:
        near = abs(groups[one] - groups[other]) <= 1
        told = f"bloom groups {groups[one]} and {groups[other]}, {'same or adjacent' if near else 'not adjacent'}"
        return Overlap(species, *names, "together" if near else "apart", told)
    return Overlap(species, *names, "not known", "no year in which the bloom of both was seen, and no groups noted")


def _common_days(one: Bloom, other: Bloom) -> int:
    return max(0, (min(one.last, other.last) - max(one.first, other.first)).days + 1)
