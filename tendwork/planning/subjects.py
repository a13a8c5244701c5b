"""Which units a template is about: trees, grafts, bundles, varieties or the site, each with its record's events."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from datetime import date
from functools import partial

from msgspec.structs import replace

from tendwork.almanac.seasons import Season
from tendwork.orchard.crown import place_of, place_words
from tendwork.orchard.known_since import both_known, first_known
from tendwork.orchard.named_templates import SEND_PROMISED_WOOD
from tendwork.orchard.records import Graft, Tree
from tendwork.orchard.rough_dates import RoughDate, rough_words
from tendwork.orchard.tree_size import crown_reaches_m
from tendwork.planning.ages import grows_by_itself
from tendwork.planning.conditions import Conditions, accepts, asks_about_grafts
from tendwork.planning.crown_heights import crown_height_m, crown_heights_m
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.record_events import graft_events, graft_events_from_start, tree_events
from tendwork.planning.ripe_events import NOTHING_KNOWN, RipeOfGrafts, fruit_events, ripe_events
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.subject import SITE, Subject
from tendwork.planning.visits import is_walk
from tendwork.planning.vocabulary import Template, Where
from tendwork.planning.wood_subjects import WoodSubjects


class Subjects:
    """The units of all templates of a plan, found in one `orchard`."""

    def __init__(self, orchard: Orchard, ripe: RipeOfGrafts = NOTHING_KNOWN) -> None:
        self.orchard = orchard
        self._ripe = ripe
        self._conditions = Conditions(orchard)
        self._of_wood = WoodSubjects(orchard, self._conditions)
        self._graft_events: dict[str, dict[str, date]] = {}
        self._made: dict[tuple[str, int, bool], Subject] = {}

    def of(self, template: Template, season: Season, but_not: Collection[str] = ()) -> Iterator[Subject]:
        """The units of the template's kind whose conditions hold now, and those that do not match but were ticked.

        Trees and grafts on trees of `but_not` are left out.
        """
        makers: dict[str, Callable[[Where, Season], Iterator[Subject]]] = {
            "site": self._site,
            "tree": partial(self._trees, but_not),
            "graft": partial(self._grafts, but_not, is_walk(template.visit)),
            "wood": self._of_wood.wood,
            "variety": self._of_wood.varieties,
        }
        found = makers[template.each](template.where, season)
        if template.id == SEND_PROMISED_WOOD:
            found = map(self._of_wood.to_send, found)
        return self._with_a_wrap(found) if template.takes_wraps_off else found

    def buds_of(self, where: Where) -> frozenset[str]:
        """The species whose buds may decide about units that the conditions let in: theirs and their trees'."""
        orchard = self.orchard
        grown = orchard.grown.union(orchard.species[graft.id] for graft in orchard.on_others)
        if where.species is None:
            return grown
        others = (graft for graft in orchard.on_others if orchard.species[graft.id] in where.species)
        return grown.intersection(where.species).union(orchard.trees[graft.tree].species for graft in others)

    def _with_a_wrap(self, subjects: Iterable[Subject]) -> Iterator[Subject]:
        """Grafts that bear are asked about only while their wrap is known to be on."""
        orchard = self.orchard
        for subject in subjects:
            if orchard.states[subject.id] != "bearing" or orchard.wrap_fates[subject.id].on:
                yield subject
            elif subject.id in orchard.standing.events:
                yield replace(subject, matches=False)

    def _site(self, where: Where, season: Season) -> Iterator[Subject]:
        orchard = self.orchard
        species = tuple(sorted(kind for kind in orchard.grown if accepts(where.species, kind)))
        if not species:
            return
        fits = self._conditions.graft_fitting(where, season)
        if asks_about_grafts(where) and not any(map(fits, orchard.records.grafts)):
            return
        height_m, highest_m = crown_heights_m(orchard, species)
        yield Subject(
            SITE,
            "the orchard",
            SITE,
            "",
            "",
            species,
            {},
            height_m=height_m,
            highest_m=highest_m,
            known_since=first_known((tree.known_since for tree in orchard.carrying(species)), orchard.today),
        )

    def _trees(self, but_not: Collection[str], where: Where, season: Season) -> Iterator[Subject]:
        orchard, fits = self.orchard, self._conditions.tree_fitting(where, season)
        for tree in orchard.records.trees:
            if tree.id in but_not or not accepts(where.species, tree.species):
                continue
            matches = fits(tree)
            if orchard.may_have_a_task(tree.id, matches):
                height_m = crown_height_m(orchard, tree)
                first = self._first_ripe(tree, season)
                yield Subject(
                    tree.id,
                    tree.name,
                    tree.id,
                    orchard.tree_names[tree.id],
                    tree.place,
                    (tree.species,),
                    tree_events(orchard, tree, season) | ({} if first is None else ripe_events(first)),
                    bud_variety=orchard.variety_of.get((tree.id, tree.species), ""),
                    height_m=height_m,
                    highest_m=None if crown_reaches_m(tree) is None else height_m,
                    matches=matches,
                    known_since=both_known((tree.known_since,), orchard.today),
                    ripe=first,
                )

    def _first_ripe(self, tree: Tree, season: Season) -> RipeDates | None:
        """The dates of the variety that ripens first of those that bear on a tree."""
        ripe = self._ripe.get(season, {})
        bearing = (graft.id for graft in self.orchard.grafts_of[tree.id] if graft.state == "bearing")
        known = [ripe[graft] for graft in bearing if graft in ripe]
        return min(known, key=lambda dates: (dates.pick, dates.variety), default=None)

    def _grafts(self, but_not: Collection[str], as_walked: bool, where: Where, season: Season) -> Iterator[Subject]:
        """Of each tree; `as_walked` as one comes to them on the way round it."""
        orchard, events = self.orchard, self.orchard.standing.events
        if not events and not self._conditions.any_graft_may_fit(where, season):
            return
        fits = self._conditions.fitting(where, season)
        for tree in orchard.records.trees:
            if tree.id in but_not:
                continue
            for graft in orchard.as_walked(tree.id) if as_walked else orchard.grafts_of[tree.id]:
                if not accepts(where.species, orchard.species[graft.id]):
                    continue
                matches = fits(graft)
                if matches or graft.id in events:  # as may_have_a_task has it, spelt out: it is asked of every graft
                    yield self._graft(tree, graft, season, matches)

    def _graft(self, tree: Tree, graft: Graft, season: Season, matches: bool) -> Subject:
        key = (graft.id, season.name, matches)
        made = self._made.get(key)
        if made is None:
            orchard = self.orchard
            grows = grows_by_itself(graft, season)
            species, own = orchard.species[graft.id], orchard.bud_names[graft.id]
            dates = self._ripe.get(season, {}).get(graft.id)
            of_fruit = fruit_events(species, dates, orchard.standing.of(graft.id), season)
            made = self._made[key] = Subject(
                graft.id,
                graft.variety,
                tree.id,
                orchard.tree_names[tree.id],
                place_words(place_of(graft)),
                (species,),
                self._events(graft) | graft_events_from_start(graft, season) | of_fruit,
                variety=graft.variety,
                bud_species=() if grows or species == tree.species else (tree.species,),
                bud_variety=own if grows else orchard.variety_of.get((tree.id, tree.species), ""),
                height_m=graft.height_m,
                highest_m=crown_reaches_m(tree) if graft.height_m is None else graft.height_m,
                crown_m=None if crown_reaches_m(tree) is None else crown_height_m(orchard, tree),
                matches=matches,
                known_since=orchard.known_since[graft.id],
                set_in=rough_words(graft.set_on) if isinstance(graft.set_on, RoughDate) else "",
                ripe=dates,
            )
        return made

    def _events(self, graft: Graft) -> dict[str, date]:
        known = self._graft_events.get(graft.id)
        if known is None:
            known = self._graft_events[graft.id] = graft_events(self.orchard, graft)
        return known
