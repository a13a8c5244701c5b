"""The records of an orchard, indexed once for all templates of a plan."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date

from tendwork.almanac.seasons import season_of
from tendwork.orchard.graft_species import GROWS, species_by_graft, species_grown
from tendwork.orchard.known_since import both_known
from tendwork.orchard.lives import present
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.rough_dates import first_day
from tendwork.orchard.standing_ticks import Standing
from tendwork.orchard.tree_names import tree_names
from tendwork.orchard.tree_varieties import names_on_grafts, single_varieties
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.vigour import growth_noted, usual_vigour
from tendwork.orchard.wraps import wrap_fate
from tendwork.planning.rule_words import RuleWords
from tendwork.planning.variety_ids import VarietyIds
from tendwork.planning.vocabulary import Template
from tendwork.variety_names import Key


class Orchard:
    """The records, indexed once for all `templates` of a plan; of earlier lives only what they are is in them."""

    def __init__(self, records: Records, templates: Iterable[Template], south: bool, today: date) -> None:
        templates = tuple(templates)
        records = self.records = present(records)
        standing = self.standing = Standing(records.ticks)
        self.south = south
        self.today = today
        self.rules = {template.id: template for template in templates}
        self.words = RuleWords(templates)
        self.wrap_rules = frozenset(template.id for template in templates if template.takes_wraps_off)
        self.take_rules = frozenset(template.id for template in templates if "took" in template.outcomes)
        self.trees = {tree.id: tree for tree in records.trees}
        self.tree_names = tree_names(records.trees)
        self.species = species_by_graft(records)
        self.grown = species_grown(records)
        self.on_others = tuple(
            graft
            for graft in records.grafts
            if graft.id in self.species and self.species[graft.id] != self.trees[graft.tree].species
        )
        self.grafts_of: dict[str, list[Graft]] = {tree.id: [] for tree in records.trees}
        for graft in records.grafts:
            self.grafts_of.setdefault(graft.tree, []).append(graft)
        self._as_walked: dict[str, list[Graft]] = {}
        self.variety_keys = variety_keys(records)
        self.variety_ids = VarietyIds(records)
        self.variety_of = single_varieties(records)
        self.bud_names = names_on_grafts(records)
        self.states = {graft.id: graft.state for graft in records.grafts}
        self.set_on = {graft.id: first_day(graft.set_on) for graft in records.grafts if graft.set_on is not None}
        self.tasted: dict[str, date] = {}
        for tasting in records.tastings:
            self.tasted[tasting.graft] = max(tasting.day, self.tasted.get(tasting.graft, tasting.day))
        self.cut_of: dict[Key, date] = {}
        for bundle in records.wood:
            if bundle.cut_on is not None:
                key = self.variety_keys.of(bundle.species, bundle.variety)
                self.cut_of[key] = max(bundle.cut_on, self.cut_of.get(key, bundle.cut_on))
        self.growth = growth_noted(records)
        self.usual_vigour = usual_vigour(records)
        self.known_since = {
            graft.id: both_known((graft.known_since, self.trees[graft.tree].known_since), today)
            for graft in records.grafts
            if graft.tree in self.trees
        }
        self.wrap_fates = {graft.id: wrap_fate(graft, standing.of(graft.id), today) for graft in records.grafts}

    def all_of(self, tree: Tree) -> tuple[object, ...]:
        """All that the units of one tree hang on beside the rules and the day: its own records, and none of others."""
        grafts = tuple(self.grafts_of[tree.id])
        ticks = self.standing
        return (
            tree,
            ticks.of(tree.id),
            grafts,
            [(ticks.of(one.id), self.tasted.get(one.id)) for one in grafts],  # growth is noted by ticks
            [self.bud_names[one.id] for one in grafts],  # grafts elsewhere may write the variety otherwise
        )

    def may_have_a_task(self, unit: str, matches: bool) -> bool:
        """Whether a unit is shown: one that the conditions leave out shows only what was ticked of it."""
        return matches or unit in self.standing.events

    def as_walked(self, tree: str) -> list[Graft]:
        """The grafts of a tree as one comes to them who walks round it from the north, on each side the lowest first.

        Those whose side or height nobody noted stand behind.
        """
        if tree not in self._as_walked:
            self._as_walked[tree] = sorted(self.grafts_of[tree], key=_on_the_way)
        return self._as_walked[tree]

    def carrying(self, species: Collection[str]) -> list[Tree]:
        """The trees that are of some species, or carry it."""
        others = (graft for graft in self.on_others if graft.state in GROWS)
        carrying = {graft.tree for graft in others if self.species[graft.id] in species}
        return [tree for tree in self.records.trees if tree.species in species or tree.id in carrying]

    def season_start(self, day: date) -> date:
        """The first day of the season in which a day falls."""
        return season_of(day, self.south).start


def _on_the_way(graft: Graft) -> tuple[bool, int, bool, float]:
    """Its side, as one of eight, and its height."""
    side = 0 if graft.facing is None else round(graft.facing / 45) % 8
    return graft.facing is None, side, graft.height_m is None, graft.height_m or 0
