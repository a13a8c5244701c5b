"""What the records leave open of living grafts and of sprays, so that a rule must guess or cannot speak at all."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from datetime import date

from msgspec.structs import replace

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.methods import BRIDGE, METHODS
from tendwork.orchard.records import Graft, Spray
from tendwork.orchard.rough_dates import first_day
from tendwork.orchard.sprays import days_not_noted, lacking_days
from tendwork.orchard.tree_size import crown_reaches_m
from tendwork.orchard.wording import listed_in_short
from tendwork.orchard.wraps import is_given_up
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.results import (
    ASKED,
    HEIGHT,
    NO_METHOD,
    SPRAY_DAYS,
    STILL_ON,
    TOOK,
    WRAP_GIVEN_UP,
    Gap,
    GapKind,
    WrapOn,
)
from tendwork.planning.said_of_grafts import take_is_asked
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import UNKNOWN, Template
from tendwork.planning.windows import Openings

GROWING = ("set", "took")
_SET = "set"
ANSWERED_BY_DAYS = 270  # our own choice: by then a spring graft has grown, and a bud has had its first spring


def gaps(
    orchard: Orchard, templates: Iterable[Template], openings: Openings, wraps: Iterable[WrapOn], today: date
) -> tuple[Gap, ...]:
    """The gaps, with the methods that are open for a planned graft that has none.

    Of a wrap that may be off long since nobody needs to know what it was.
    """
    rules, season = tuple(templates), season_of(today, orchard.south)
    asked = tuple(wrap.graft for wrap in wraps if wrap.state == ASKED)
    found = (_without(gap, asked) if gap.kind == "wrap" else gap for gap in open_questions(orchard, today))
    still_on = (Gap(STILL_ON, asked),) if asked else ()
    return still_on + tuple(
        replace(gap, methods=_open_methods(rules, openings, gap.species, _stock_of(orchard, gap), season, today))
        if gap.kind == NO_METHOD
        else gap
        for gap in found
        if gap.grafts or gap.kind == SPRAY_DAYS
    )


def open_questions(orchard: Orchard, today: date) -> tuple[Gap, ...]:
    """The gaps: sprays that close a tree, then what holds a graft back, each with its grafts in the order of entry."""
    found: dict[tuple[GapKind, str, str, str], list[Graft]] = {}
    for graft in orchard.records.grafts:
        tree = orchard.trees.get(graft.tree)
        if tree is None:
            continue
        for kind, word in _questions(orchard, graft, today):
            kinds = (orchard.species[graft.id], tree.species) if kind == NO_METHOD else ("", "")
            found.setdefault((kind, word, *kinds), []).append(graft)
    names = {tree.id: f"{tree.name} ({tree.id})" for tree in orchard.trees.values()}
    lacking: dict[tuple[str, date, str], list[Spray]] = {}
    for spray in lacking_days(orchard.records.sprays, today):
        if spray.tree in names:
            product = " ".join(spray.product.split()).casefold()
            lacking.setdefault((product, spray.day, days_not_noted(spray)), []).append(spray)
    sprayed = tuple(
        Gap(
            SPRAY_DAYS,
            (),
            sprays[0].product,
            tree=listed_in_short([names[spray.tree] for spray in sprays]),
            day=day,
            lacks=lacks,
            trees=len(sprays),
        )
        for (_, day, lacks), sprays in lacking.items()
    )
    order: tuple[GapKind, ...] = (NO_METHOD, TOOK, "take", "wrap", "wrap word", WRAP_GIVEN_UP, "method", "method word")
    return sprayed + tuple(
        Gap(kind, tuple(graft.id for graft in grafts), word, species)
        for (kind, word, species, _), grafts in sorted(
            found.items(), key=lambda entry: (order.index(entry[0][0]), entry)
        )
    )


def _without(gap: Gap, grafts: Collection[str]) -> Gap:
    return replace(gap, grafts=tuple(graft for graft in gap.grafts if graft not in grafts))


def heights_not_noted(orchard: Orchard) -> tuple[Gap, ...]:
    """Trees, and living grafts on them, that may be above anybody's reach for all that is noted; one gap, or none."""
    grafts = tuple(
        graft.id
        for graft in orchard.records.grafts
        if graft.height_m is None and graft.state != "removed" and _has_no_height(orchard, graft.tree)
    )
    trees = ", ".join(tree.name for tree in orchard.records.trees if crown_reaches_m(tree) is None)
    return (Gap(HEIGHT, grafts, tree=trees),) if grafts or trees else ()


def _has_no_height(orchard: Orchard, tree: str) -> bool:
    return tree in orchard.trees and crown_reaches_m(orchard.trees[tree]) is None


def _questions(orchard: Orchard, graft: Graft, today: date) -> Iterator[tuple[GapKind, str]]:
    unknown = orchard.words.unknown_of(graft)
    if graft.state == "planned" and "method" in unknown:
        yield NO_METHOD, graft.method
    if graft.state == "set" and graft.set_on is not None and (today - first_day(graft.set_on)).days > ANSWERED_BY_DAYS:
        yield "take", ""
    elif take_is_asked(orchard, graft):
        yield TOOK, ""
    if graft.state in GROWING and "method" in unknown:
        yield ("method word" if graft.method else "method"), graft.method
    if "wrap" in unknown and orchard.wrap_fates[graft.id].on:
        yield ("wrap word" if graft.wrap else "wrap"), graft.wrap
    if is_given_up(graft, orchard.wrap_fates[graft.id], today):
        yield WRAP_GIVEN_UP, ""


def _open_methods(
    templates: Iterable[Template], openings: Openings, species: str, stock: str, this: Season, today: date
) -> tuple[tuple[str, date, date], ...]:
    """The methods by which a species can still be set on a stock of a species this season, else next, by opening."""
    found: dict[str, tuple[date, date]] = {}
    for season in (this, this.following):
        for template in templates:
            where = template.where
            if _SET not in template.outcomes or (where.species is not None and species not in where.species):
                continue
            opening = openings.of(template, season).unit(_planned(species, stock, season))
            if opening is None or opening.window.lapses < today:
                continue
            window = opening.window
            days = (window.opens, window.closes if window.closes >= today else window.lapses)
            for method in sorted({*(where.method or METHODS)} - {UNKNOWN, BRIDGE}):
                if method not in found or (days < found[method] and season == this):
                    found[method] = days
    return tuple((method, *days) for method, days in sorted(found.items(), key=lambda entry: entry[1]))


def _planned(species: str, stock: str, season: Season) -> Subject:
    return Subject("", "", "", "", "", (species,), {"planned": season.start}, bud_species=(stock,))


def _stock_of(orchard: Orchard, gap: Gap) -> str:
    """The species of the trees on which the grafts of a gap are planned."""
    tree = next(graft.tree for graft in orchard.records.grafts if graft.id in gap.grafts)
    return orchard.trees[tree].species
