"""The unions of an orchard against what takes on what (compatibility.py): two of them, each judged by itself.

A tree's own species stands on its stock, with the interstem between where one is noted. Where that is of
another kind of wood there are two unions, of which the worse counts; where nobody knows what it is, whether it takes is
not known. A graft stands on a limb of the tree's species; one that is noted no higher than 0.3 m on a tree with a stock
stands on that stock, where trees are worked (common practice, no source). Nothing is refused for it: a person may know
better.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

import msgspec
from msgspec import Struct

from tendwork.orchard.compatibility import (
    DEPENDS,
    NOT,
    PROVEN_YEARS,
    SHORT,
    TAKES,
    UNKNOWN,
    Grade,
    Pair,
    Said,
    Varietal,
    Verdict,
    names_any,
    pair_of,
    varietal_of,
)
from tendwork.orchard.graft_species import GROWS, graft_species
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.stocks import Kind, own_kind, species_of, stock_named
from tendwork.orchard.wording import listed, listed_in_short

AT_STOCK_TO_M = 0.3

_SAYS = {
    TAKES: "takes",
    DEPENDS: "takes with some varieties and not with others",
    SHORT: "takes, but is short-lived or unreliable",
    NOT: "does not take",
    UNKNOWN: "is not in the table of unions, so whether it takes is not known",
}
_WORSE = (TAKES, DEPENDS, UNKNOWN, SHORT, NOT)


class Union(Struct, frozen=True):
    """A scion of `species` on `on`, the stock as the person wrote it or a limb in words, and what is known of it.

    `pair` is the row of the table, None for a stock that the program does not know; `varietal` is what sources say of
    the very variety. `between` is the interstem as noted, and `is_bridged` whether sources use it there. `years` is how
    long it has stood, None where that is not noted.
    """

    species: str
    on: str
    verdict: Verdict
    pair: Pair | None = None
    varietal: Varietal | None = None
    between: str = ""
    is_bridged: bool = False
    years: int | None = None
    kind: str = ""

    @property
    def on_what(self) -> str:
        """The stock or limb with the kind of its wood, where that is another species and its name does not say so."""
        is_told = not self.kind or self.kind == own_kind(self.species) or self.kind in self.on.casefold()
        return self.on if is_told else f"{self.on} ({self.kind})"

    @property
    def fails_late(self) -> bool:
        """Whether it may fail years after it took, or lives where sources say that it does not."""
        return self.verdict in (SHORT, NOT) or (self.verdict == DEPENDS and not self._is_proven)

    @property
    def _is_proven(self) -> bool:
        """Whether it has stood so long that its variety must be one of those that take."""
        after = PROVEN_YEARS if self.pair is None or self.pair.fails_after is None else self.pair.fails_after[1]
        return self.years is not None and self.years > after


def tree_union(tree: Tree, today: date) -> Union | None:
    """A tree's species on its stock; None where no stock is noted."""
    if not tree.stock.strip():
        return None
    years = None if tree.planted is None else today.year - tree.planted
    return _on_stock(tree.species, "", tree, years)


def graft_union(graft: Graft, tree: Tree, today: date) -> Union:
    """A graft on the limb that bears it, or on the stock where it stands that low."""
    species = graft_species(graft, tree)
    years = None if graft.set_on is None else today.year - graft.set_on.year
    variety = graft.variety if is_of_a_variety(graft) else ""
    if graft.height_m is not None and graft.height_m <= AT_STOCK_TO_M and tree.stock.strip():
        return _on_stock(species, variety, tree, years)
    article = "an" if tree.species[:1] in "aeiou" else "a"
    return _judged(species, variety, f"{article} {tree.species} limb", pair_of(species, own_kind(tree.species)), years)


def _on_stock(species: str, variety: str, tree: Tree, years: int | None) -> Union:
    stock = stock_named(tree.stock, tree.species)
    if stock is None:
        return Union(species, tree.stock, UNKNOWN, years=years)
    kind = stock.kind or own_kind(tree.species)
    pair = pair_of(species, kind)
    between = "" if tree.interstem.strip().casefold() == "none" else tree.interstem.strip()
    names = [name for one in pair.varieties if set(one.names) & set(pair.bridges) for name in one.names]
    if between and names_any(between, tuple(names), species):
        return Union(species, tree.stock, TAKES, pair, between=between, is_bridged=True, years=years, kind=kind)
    within = _wood_between(between, tree.species)
    if within not in (None, kind, own_kind(species)):
        above = _judged(species, variety, f"the interstem {between}", pair_of(species, within), years)
        under = _judged(f"the interstem {between}", "", tree.stock, pair_of(species_of(within), kind), years)
        under = msgspec.structs.replace(under, kind=kind)
        return max(above, under, key=lambda union: _WORSE.index(union.verdict))
    judged = _judged(species, variety, tree.stock, pair, years, between)
    if between and within is None and judged.verdict == TAKES:
        return Union(species, tree.stock, UNKNOWN, pair, between=between, years=years, kind=kind)
    return msgspec.structs.replace(judged, kind=kind)


def _wood_between(interstem: str, species: str) -> Kind | None:
    """The kind of an interstem's wood; None where there is none, or its name is of no stock and no species."""
    found = stock_named(interstem, species) if interstem else None
    return None if found is None else found.kind or own_kind(species)


def _judged(species: str, variety: str, on: str, pair: Pair, years: int | None, between: str = "") -> Union:
    """By what is said of the variety, or else of the species; a variety of which sources disagree depends."""
    varietal = varietal_of(pair, variety) if variety else None
    verdict = pair.verdict
    if varietal is not None:
        takes = {said.takes for said in varietal.said}
        verdict = DEPENDS if len(takes) > 1 else TAKES if takes == {True} else SHORT
    return Union(species, on, verdict, pair, varietal, between, years=years)


def union_words(union: Union) -> str:
    """The union in one sentence: what becomes of it, why, who says so, how late it shows, and what bridges it."""
    what = f"{union.species} on {union.on_what}"
    pair = union.pair
    if pair is None:
        return f"{_capital(union.species)} on {union.on}: the stock is not one that the program knows."
    if union.is_bridged:
        return f"{_capital(what)} is bridged by {union.between} ({_source(pair.source, pair.grade)})."
    if union.verdict == UNKNOWN and union.between:
        return (
            f"{_capital(what)}: the interstem {union.between} is no stock and no species that the program knows, so"
            f' whether it takes is not known; of a variety name the species, too: "{union.between} {union.species}".'
        )
    varietal = union.varietal
    if varietal is None:
        said = [f"{_capital(what)} {_SAYS[union.verdict]}"]
        if union.verdict != UNKNOWN:
            said[0] += f" ({_source(pair.source, pair.grade)})"
            said += [pair.why] if pair.why else []
            said += [f"others: {pair.others[0]} ({pair.others[1]})"] if pair.others else []
    else:
        said = [f"{varietal.names[0]} ({union.species}) on {union.on_what} {_varietal_words(varietal, pair.grade)}"]
    if union.verdict not in (TAKES, UNKNOWN):
        said += _late_words(pair)
        if union.between:
            said.append(f"that {union.between} bridges it is in no source that we know")
        if pair.bridges:
            said.append(f"used as a bridge (interstem): {' or '.join(pair.bridges)}")
    return "; ".join(said) + "."


def _varietal_words(varietal: Varietal, grade: Grade) -> str:
    for_it, against = ([one for one in varietal.said if one.takes is takes] for takes in (True, False))
    if for_it and against:
        return (
            f"is said to take ({_sources(for_it)}) and not to take ({_sources(against)}; both grade {grade}):"
            " sources disagree"
        )
    if for_it:
        return f"takes ({_sources(for_it)}; grade {grade})"
    return f"does not last without an interstem ({_sources(against)}; grade {grade})"


def _sources(said: Iterable[Said]) -> str:
    return "; ".join(one.source for one in said)


def _source(source: str, grade: Grade) -> str:
    return f"{source}; grade {grade}" if grade else source


def _late_words(pair: Pair) -> list[str]:
    if pair.fails_after is None:
        return []
    first, last = pair.fails_after
    span = f"{first} to {last}" if last > first else str(first)
    return [f"a failure may show only after {span} years (grade {pair.late_grade})"]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def planned_hint(graft: Graft, tree: Tree, today: date) -> str:
    """What speaks against a planned graft, one sentence: its own union, else that of the tree to be grafted."""
    own = graft_union(graft, tree, today)
    if own.fails_late or own.verdict == UNKNOWN:
        return union_words(own)
    below = tree_union(tree, today)
    return union_words(below) if below is not None and below.verdict in (SHORT, NOT) else ""


def living_hint(graft: Graft, tree: Tree, today: date) -> str:
    """What is to be known of the union of a graft that grows; empty where nothing speaks against it."""
    union = graft_union(graft, tree, today)
    return union_words(union) if union.fails_late else ""


def graft_hint(graft: Graft, tree: Tree, today: date) -> str:
    """The hint of a graft that is planned or grows; empty for one that is gone."""
    if graft.state == "planned":
        return planned_hint(graft, tree, today)
    return living_hint(graft, tree, today) if graft.state in GROWS else ""


def tree_hint(tree: Tree, today: date) -> str:
    """What is to be known of a tree on its stock; empty where nothing speaks against it, or no stock is noted."""
    union = tree_union(tree, today)
    return union_words(union) if union is not None and (union.fails_late or union.verdict == UNKNOWN) else ""


def hints(records: Records, grafts: Iterable[Graft], today: date) -> tuple[str, ...]:
    """The hints of these grafts, those that are alike in one: "Union of g41 and g42: ..."."""
    trees = {tree.id: tree for tree in records.trees}
    found: dict[str, list[str]] = {}
    for graft in grafts:
        if graft.tree in trees and (hint := graft_hint(graft, trees[graft.tree], today)):
            found.setdefault(hint, []).append(graft.id)
    return tuple(f"Union of {listed_in_short(ids)}: {hint}" for hint, ids in found.items())


def late_trees(records: Records, today: date) -> tuple[Tree, ...]:
    """The trees that are known to fail late on their stock."""
    return tuple(tree for tree in records.trees if (union := tree_union(tree, today)) and union.fails_late)


def tree_hints(trees: Iterable[Tree], today: date) -> tuple[str, ...]:
    """The hints of these trees, those that are alike in one."""
    found: dict[str, list[str]] = {}
    for tree in trees:
        if hint := tree_hint(tree, today):
            found.setdefault(hint, []).append(f"{tree.name} ({tree.id})")
    return tuple(f"Stock of {listed(names)}: {hint}" for hint, names in found.items())
