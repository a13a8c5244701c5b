"""What is to be thought of before wood of a mother tree is used or given on: soft notes, never a refusal.

Prefer mother trees under eight to ten years (Michigan State University Extension, R. Perry, "Selecting and storing
scion wood for grafting", 2014); that older ones more often carry a virus is our reading of it. For stone fruit there is
a scheme of tested and certified mother trees, which are asked for first (European and Mediterranean Plant Protection
Organization, PM 4/30, undated). Each swapped stick on a tree of many varieties may add its viruses to all wood that is
taken from that tree later (common practice, no source).
"""

from __future__ import annotations

from datetime import date

from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.tree_names import TreesByWord, tree_names
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_sources import is_from_somebody
from tendwork.orchard.wording import counted
from tendwork.species import family_of

OLD_MOTHER_YEARS = 10
OFFICIALLY = ("certified", "tested")


def mother_words(bundle: Wood) -> str:
    """ "mother tree 12 years old, said healthy (P. Hill, 2025)"; empty where nothing is said of it."""
    said = [] if bundle.mother_years is None else [f"{counted(bundle.mother_years, 'year')} old"]
    by = f" ({bundle.health_by})" if bundle.health_by else ""
    said += [f"{bundle.mother_health}{by}"] if bundle.mother_health else [f"by {bundle.health_by}"] if by else []
    return f"mother tree {', '.join(said)}" if said else ""


class MotherTrees:
    """What is to be thought of wood from the trees here, and from those of others."""

    def __init__(self, records: Records) -> None:
        self._own, self._keys = TreesByWord(records.trees), variety_keys(records)
        self._trees = {tree.id: tree for tree in records.trees}
        self._names = tree_names(records.trees)
        self._came_from = {bundle.id: bundle.came_from for bundle in records.wood}
        self._grafts: dict[str, list[Graft]] = {}
        for graft in records.grafts:
            if graft.set_on is not None and graft.state not in ("planned", "failed", "removed"):
                self._grafts.setdefault(graft.tree, []).append(graft)

    def notes(self, bundle: Wood, today: date) -> tuple[str, ...]:
        """What speaks for caution with the mother tree of a bundle; nothing is refused for it."""
        trees = [self._trees[tree] for tree in self._own.meant(bundle.came_from)]
        years = _years(bundle, trees, today)
        notes = []
        if years is not None and years > OLD_MOTHER_YEARS and bundle.mother_health not in OFFICIALLY:
            notes.append(
                f"Its mother tree is over {OLD_MOTHER_YEARS} years old and has bloomed for years, so it is more likely"
                " infected: take wood from the youngest healthy source."
            )
        stone = bundle.species in family_of("plum")
        if stone and bundle.mother_health not in OFFICIALLY and is_from_somebody(bundle, self._own):
            notes.append("Untested stone fruit: ask for certified or tested wood first; a virus shows late or never.")
        notes += [words for tree in trees if (words := self.carries(tree))]
        return tuple(notes)

    def carries(self, tree: Tree) -> str:
        """That a tree carries wood from so many sources; empty for a tree of one variety.

        A source is what the bundles of its grafts came from; of a graft whose bundle is not noted it is not known.
        """
        grafts = self._grafts.get(tree.id, ())
        if len({self._keys.of(graft_species(graft, tree), graft.variety) for graft in grafts}) < 2:
            return ""
        came_from = self._came_from
        words = {came_from[graft.wood] for graft in grafts if came_from.get(graft.wood)}
        sources = {self._own.meant(word) or " ".join(word.split()).casefold() for word in words}
        unknown = sum(not came_from.get(graft.wood) for graft in grafts)
        known = [f"wood from {counted(len(sources), 'source')}"] if sources else []
        known += [f"{counted(unknown, 'graft')} of which no source is noted"] if unknown else []
        name = self._names[tree.id]
        return f"{name} carries {' and '.join(known)}; what you give away may carry what all of them had."


def _years(bundle: Wood, trees: list[Tree], today: date) -> int | None:
    """How old the mother tree is: as said, else by the year in which a tree here was planted."""
    if bundle.mother_years is not None:
        return bundle.mother_years
    planted = [tree.planted for tree in trees if tree.planted is not None]
    return today.year - min(planted) if planted else None
