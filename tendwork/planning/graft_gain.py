"""What a candidate brings: weeks with fruit, a partner in bloom, and how it suits a place.

The season is counted from what is kept: every variety that grows or is planned and is neither judged "cut" nor spoken
against by its tastings. A variety whose bloom is known and that needs a partner has one where another of its species
blooms at most a group apart and is not known to give no pollen, or was seen to bloom with it; where the bloom is not
known, whether it has one is not known either, and counts for nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from msgspec import Struct

from tendwork.orchard.bloom_overlap import bloom_overlaps, needs_no_partner
from tendwork.orchard.compatibility import DEPENDS, NOT, SHORT, UNKNOWN
from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.pollen import pollen_of
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.unions import graft_union, union_words
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.verdicts import suggestions
from tendwork.planning.graft_candidates import Candidate, SeasonDates
from tendwork.planning.graft_places import OpenPlace
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.season_cover import weeks_of
from tendwork.variety_names import Key


class Suits(Struct, frozen=True):
    """How a candidate suits a place: the number of things against it, None where it cannot stand there; and why."""

    misfit: int | None
    against: tuple[str, ...] = ()
    speaks_for: tuple[str, ...] = ()


class Bloomer(Struct, frozen=True):
    """A variety as a partner in bloom: its group, None where not known, and whether it gives pollen and needs any."""

    key: Key
    species: str
    variety: str
    group: float | None
    gives: bool | None
    needs: bool


class Blooms(Struct, frozen=True):
    """Who is whose partner. By candidate: whether it `needs` one still, and its `partners` among the candidates.

    `waiting` are the kept varieties whose bloom is known and that have no partner here, each with the candidates that
    would be one. `not_known` counts the kept ones of which nobody can say.
    """

    needs: tuple[bool, ...]
    partners: tuple[frozenset[int], ...]
    waiting: tuple[tuple[str, frozenset[int]], ...]
    not_known: int


class KeptSeason(Struct, frozen=True):
    """The weeks of the season that what is kept fills, and the names of what fills none.

    `unknown` are varieties of which nobody knows when they ripen, `poor` those that their tastings speak against.
    """

    weeks: frozenset[int]
    unknown: tuple[str, ...] = ()
    poor: tuple[str, ...] = ()


def kept_season(
    records: Records, today: date, south: bool, book: VarietyBook, dates: Sequence[RipeDates]
) -> KeptSeason:
    """The weeks in which there is ripe fruit of what is kept, or will be once it bears."""
    species = species_by_graft(records)
    against = {one.graft for one in suggestions(records, today, south) if one.suggested == "cut"}
    kept: dict[Key, str] = {}
    poor: dict[Key, str] = {}
    for graft in _kept(records):
        if graft.id in species:
            held = poor if graft.id in against else kept
            held.setdefault(book.key(species[graft.id], graft.variety), graft.variety)
    season = SeasonDates(dates, book, today, south)
    return KeptSeason(
        frozenset(week for key in kept for week in weeks_of(season.span(key))),
        tuple(sorted(name for key, name in kept.items() if season.fruit(key) is None)),
        tuple(sorted(name for key, name in poor.items() if key not in kept)),
    )


def _kept(records: Records) -> Iterable[Graft]:
    return (
        graft
        for graft in records.grafts
        if graft.state in ("planned", *GROWS) and graft.verdict != "cut" and is_of_a_variety(graft)
    )


def blooms_of(records: Records, found: Sequence[Candidate], book: VarietyBook) -> Blooms:
    """Who would be whose partner, among what is kept and the candidates."""
    species = species_by_graft(records)
    kept: dict[Key, Bloomer] = {}
    for graft in _kept(records):
        if graft.id in species:
            key = book.key(species[graft.id], graft.variety)
            kept.setdefault(key, _bloomer(key, species[graft.id], graft.variety, book))
    seen: set[tuple[Key, Key]] = set()
    apart: set[tuple[Key, Key]] = set()
    for pair in bloom_overlaps(records, book):
        if pair.days is not None:
            one, other = book.key(pair.species, pair.one), book.key(pair.species, pair.other)
            (seen if pair.verdict == "together" else apart).update({(one, other), (other, one)})

    def is_partner(of: Bloomer, other: Bloomer) -> bool:
        if of.key == other.key or of.species != other.species or other.gives is False:
            return False
        pair = of.key, other.key
        if pair in seen or pair in apart:
            return pair in seen
        return of.group is not None and other.group is not None and abs(of.group - other.group) <= 1

    own = [kept.get(one.key) or _bloomer(one.key, one.species, one.variety, book) for one in found]
    served = [one.key in kept or any(is_partner(one, other) for other in kept.values()) for one in own]
    waiting: list[tuple[str, frozenset[int]]] = []
    not_known = 0
    for bloomer in kept.values():
        if not bloomer.needs or any(is_partner(bloomer, other) for other in kept.values()):
            continue
        if bloomer.group is None:
            not_known += 1
            continue
        partners = frozenset(number for number, other in enumerate(own) if is_partner(bloomer, other))
        waiting.append((bloomer.variety, partners))
    return Blooms(
        tuple(one.needs and one.group is not None and not served[number] for number, one in enumerate(own)),
        tuple(
            frozenset(number for number, other in enumerate(own) if other.key not in kept and is_partner(one, other))
            for one in own
        ),
        tuple(sorted(waiting, key=lambda held: held[0])),
        not_known,
    )


def _bloomer(key: Key, species: str, variety: str, book: VarietyBook) -> Bloomer:
    place, pollen = book.bloom_place(species, variety), pollen_of(book.said_of(species, variety, "pollen"))
    needs = not needs_no_partner(species, pollen)
    return Bloomer(key, species, variety, None if place is None else place.group, pollen.gives, needs)


def suits(candidate: Candidate, place: OpenPlace, trees: Mapping[str, Tree], today: date) -> Suits:
    """How a candidate suits a place, by what takes there and by how strongly both grow.

    Strong ones low or in the shade and beside strong ones, weak ones high or in the sun and beside weak ones (common
    practice, from memory). What is not known speaks neither for nor against.
    """
    if candidate.home == place.tree:
        return Suits(None, (f"it stands on {place.tree_name} already",))
    tree = trees[place.tree]
    own = "" if candidate.species == tree.species else candidate.species
    graft = Graft(place.id, place.tree, candidate.variety, place.method, height_m=place.place.height_m, species=own)
    union = graft_union(graft, tree, today)
    if union.verdict in (NOT, SHORT):
        return Suits(None, (union_words(union),))
    against, speaks_for = [], []
    if union.verdict in (DEPENDS, UNKNOWN):
        against.append(f"whether {candidate.species} takes on {union.on_what} is not sure")
    if candidate.vigour == "strong":
        if place.upper is True and place.shaded is not True:
            against.append("it grows strongly and the place is high in the crown")
        elif place.upper is False or place.shaded is True:
            speaks_for.append("strong growth low or in the shade")
    if candidate.vigour == "weak":
        if place.upper is False and place.shaded is not False:
            against.append("it grows weakly and the place is low and not in the sun")
        elif place.upper is True or place.shaded is False:
            speaks_for.append("weak growth high or in the sun")
    if {candidate.vigour, place.beside_vigour} == {"strong", "weak"}:
        against.append(f"{place.beside} beside it grows {_ADVERB[place.beside_vigour]}")
    elif candidate.vigour == place.beside_vigour and candidate.vigour in _ADVERB:
        speaks_for.append(f"{candidate.vigour} beside {candidate.vigour} ({place.beside})")
    return Suits(len(against), tuple(against), tuple(speaks_for))


_ADVERB = {"strong": "strongly", "weak": "weakly"}
