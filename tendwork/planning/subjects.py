"""Which units a template is about: trees, grafts, bundles, varieties or the site, each with its record's events."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator
from datetime import date, timedelta
from functools import cached_property, partial
from hashlib import blake2b

import msgspec
from msgspec import Struct

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.crown import place_of, place_words
from tendwork.orchard.fruit_year import first_growing_year
from tendwork.orchard.graft_species import GROWS, species_by_graft, species_grown
from tendwork.orchard.known_since import both_known, first_known
from tendwork.orchard.lives import present
from tendwork.orchard.methods import BENCH, BRIDGE, BUD_WORDS, METHODS, SAME_METHODS, is_summer_bud
from tendwork.orchard.named_templates import SEND_PROMISED_WOOD
from tendwork.orchard.outcomes import STILL_OPEN, WORK_WORDS
from tendwork.orchard.records import GNAWED, STORM, Graft, Records, Tree, Wood
from tendwork.orchard.rough_dates import RoughDate, day_known, first_day, last_day, middle_day, rough_words
from tendwork.orchard.standing_ticks import Standing, season_of_tick, template_of
from tendwork.orchard.tree_names import tree_names
from tendwork.orchard.tree_size import TreeSize, tree_size
from tendwork.orchard.tree_varieties import single_varieties
from tendwork.orchard.troubles import counts_from, fire_blight_first_seen, sign_named, signs_seen
from tendwork.orchard.unions import graft_union, tree_union
from tendwork.orchard.vigour import growth_noted, usual_vigour
from tendwork.orchard.wood_sources import folded
from tendwork.orchard.wood_wishes import REFUSED, Wish, wood_wishes
from tendwork.orchard.wording import counted
from tendwork.orchard.wraps import LEFT_ON, SAME_WRAPS, WRAP_OFF, WRAPS, wrap_fate
from tendwork.planning.vocabulary import FAILS_LATE, UNKNOWN, AnyOf, Template, Ticked, Where

SITE = "site"

_WINTER_DAYS = 120
SEEN_EVENTS = frozenset({GNAWED, STORM})
"""Signs on a tree that raise a job on the day on which they were noted; each new one raises it again."""
ASSUMED_TAKE_DAYS = (
    28  # common practice, no source: four weeks to a visible take, used only where no take check was ticked
)

TAKE_SEEN_DAYS = 42  # our own choice: six weeks; by then the usual take checks of spring grafts and of buds have closed


_Kind = tuple[str, str, str, str, int | None]
"""What conditions ask of a graft beside its height: state, method, wrap, verdict and the season in which it was set."""


class Subject(Struct, frozen=True):
    """One unit before any date is known: `events` maps the words of `after` to days, `group` is the task's subject.

    `formerly` is the id under which a variety was ticked before ids had its species in them. `height_m` is how high the
    work is known to go, `highest_m` how high it may go, `crown_m` how high its tree is; None is not known.
    `bud_species` are the species whose buds decide, where those are not the unit's own: of a graft that does not grow
    by itself yet, that of its tree. `bud_variety` is the variety whose buds decide, empty where those of the species
    do: of a tree, and of such a graft, the single one of the tree. `known_since` is the day from which the program
    knows of the unit; None is from always. `set_in` is the month or year in which a graft was set, in words, where its
    day is not known: `events` then have the first day that it may have been, so that nothing is looked at too late.
    """

    id: str
    label: str
    group: str
    group_name: str
    place: str
    species: tuple[str, ...]
    events: dict[str, date]
    variety: str = ""
    bud_variety: str = ""
    height_m: float | None = None
    highest_m: float | None = None
    crown_m: float | None = None
    matches: bool = True
    formerly: str = ""
    known_since: date | None = None
    bud_species: tuple[str, ...] = ()
    set_in: str = ""

    @property
    def buds(self) -> tuple[str, ...]:
        """The species whose buds decide."""
        return self.bud_species or self.species


class Orchard:
    """The records, indexed once for all `templates` of a plan; of earlier lives only what they are is in them."""

    def __init__(self, records: Records, templates: Iterable[Template], south: bool, today: date) -> None:
        templates = tuple(templates)
        records = self.records = present(records)
        standing = self.standing = Standing(records.ticks)
        self._words = _Words(templates)
        self.trees = {tree.id: tree for tree in records.trees}
        self.species = species_by_graft(records)
        self._grown = species_grown(records)
        self._on_others = tuple(
            graft
            for graft in records.grafts
            if graft.id in self.species and self.species[graft.id] != self.trees[graft.tree].species
        )
        self.tree_names = tree_names(records.trees)
        self.grafts_of: dict[str, list[Graft]] = {tree.id: [] for tree in records.trees}
        for graft in records.grafts:
            self.grafts_of.setdefault(graft.tree, []).append(graft)
        self._variety_of = single_varieties(records)
        self._states = {graft.id: graft.state for graft in records.grafts}
        self.set_on = {graft.id: first_day(graft.set_on) for graft in records.grafts if graft.set_on is not None}
        self.tasted: dict[str, date] = {}
        for tasting in records.tastings:
            self.tasted[tasting.graft] = max(tasting.day, self.tasted.get(tasting.graft, tasting.day))
        self.cut_of: dict[tuple[str, str], date] = {}
        for bundle in records.wood:
            if bundle.cut_on is not None:
                key = (bundle.species, bundle.variety.casefold())
                self.cut_of[key] = max(bundle.cut_on, self.cut_of.get(key, bundle.cut_on))
        self.growth = growth_noted(records)
        self.usual_vigour = usual_vigour(records)
        self.south = south
        self._today = today
        self._wrap_rules = frozenset(template.id for template in templates if template.takes_wraps_off)
        self._take_rules = frozenset(template.id for template in templates if "took" in template.outcomes)
        self.known_since = {
            graft.id: both_known((graft.known_since, self.trees[graft.tree].known_since), today)
            for graft in records.grafts
            if graft.tree in self.trees
        }
        self.wrap_fates = {graft.id: wrap_fate(graft, standing.of(graft.id), today) for graft in records.grafts}
        self._kinds = {graft.id: _kind_of(graft, south) for graft in records.grafts}
        self._all_kinds = frozenset(self._kinds.values())
        self._graft_events: dict[str, dict[str, date]] = {}
        self._made: dict[tuple[str, int, bool], Subject] = {}

    def all_of(self, tree: Tree) -> tuple[object, ...]:
        """All that the units of one tree hang on beside the rules and the day: its own records, and none of others."""
        grafts = tuple(self.grafts_of[tree.id])
        ticks = self.standing
        return (
            tree,
            ticks.of(tree.id),
            grafts,
            [(ticks.of(one.id), self.tasted.get(one.id)) for one in grafts],  # growth is noted by ticks
        )

    def subjects(self, template: Template, season: Season, but_not: Collection[str] = ()) -> Iterator[Subject]:
        """The units of the template's kind whose conditions hold now, and those that do not match but were ticked.

        Trees and grafts on trees of `but_not` are left out.
        """
        makers: dict[str, Callable[[Where, Season], Iterator[Subject]]] = {
            "site": self._site,
            "tree": partial(self._trees, but_not),
            "graft": partial(self._grafts, but_not),
            "wood": self._wood,
            "variety": self._varieties,
        }
        found = makers[template.each](template.where, season)
        if template.id == SEND_PROMISED_WOOD:
            found = map(self._to_send, found)
        return self._with_a_wrap(found) if template.takes_wraps_off else found

    def buds_of(self, where: Where) -> frozenset[str]:
        """The species whose buds may decide about units that the conditions let in: theirs and their trees'."""
        grown = self._grown.union(self.species[graft.id] for graft in self._on_others)
        if where.species is None:
            return grown
        trees = (self.trees[graft.tree].species for graft in self._on_others if self.species[graft.id] in where.species)
        return grown.intersection(where.species).union(trees)

    def _with_a_wrap(self, subjects: Iterable[Subject]) -> Iterator[Subject]:
        """Grafts that bear are asked about only while their wrap is known to be on."""
        for subject in subjects:
            if self._states[subject.id] != "bearing" or self.wrap_fates[subject.id].on:
                yield subject
            elif subject.id in self.standing.events:
                yield msgspec.structs.replace(subject, matches=False)

    def was_never_unwrapped(self, graft: str) -> bool:
        """Whether nobody ever said that a graft's wrap is off, or that it had none. Film that was left on is on."""
        fate = self.wrap_fates[graft]
        return fate.on or fate.word in ("", LEFT_ON)

    def wrap_said_on(self, graft: str) -> bool:
        """Whether somebody who looked said that a wrap was still on, since the graft came in."""
        since = self.known_since.get(graft)
        said = (tick for tick in self.standing.of(graft) if tick.outcome == STILL_OPEN)
        return any(template_of(tick) in self._wrap_rules and (since is None or tick.day >= since) for tick in said)

    def wrap_is_asked(self, graft: str) -> bool:
        """Whether a graft came in with a wrap of which nobody has said since then whether it is still on."""
        return self.known_since.get(graft) is not None and self.wrap_fates[graft].on and not self.wrap_said_on(graft)

    def take_is_asked(self, graft: Graft) -> bool:
        """Whether a graft came in as set when its take could be seen, and nobody who looked has said anything since."""
        since = self.known_since.get(graft.id)
        if since is None or graft.state != "set" or graft.set_on is None:
            return False
        looked = (tick for tick in self.standing.of(graft.id) if template_of(tick) in self._take_rules)
        is_seen = (since - first_day(graft.set_on)).days > TAKE_SEEN_DAYS
        return is_seen and not any(tick.day >= since for tick in looked)

    def unknown_words(self, graft: Graft) -> tuple[str, ...]:
        """Which of "method" and "wrap" no rule knows of this graft: empty, or a word that nobody gave a rule."""
        return tuple(field for field in ("method", "wrap") if not self._words.knows(field, getattr(graft, field)))

    def _site(self, where: Where, season: Season) -> Iterator[Subject]:
        species = tuple(sorted(kind for kind in self._grown if _accepts(where.species, kind)))
        if species and (
            not _asks_about_grafts(where) or any(map(self._graft_fitting(where, season), self.records.grafts))
        ):
            height_m, highest_m = self._heights(species)
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
                known_since=first_known((tree.known_since for tree in self._carrying(species)), self._today),
            )

    def _trees(self, but_not: Collection[str], where: Where, season: Season) -> Iterator[Subject]:
        of_grafts = msgspec.structs.replace(where, union=None)  # of a tree it is its own on the stock
        asks, fits = _asks_about_grafts(of_grafts), self._fitting(of_grafts, season, aged=False)
        for tree in self.records.trees:
            if tree.id in but_not or not _accepts(where.species, tree.species):
                continue
            planted = self._planted_in(tree)
            matches = (
                _age_fits(where, None if planted is None else season.name - planted)
                and (not asks or any(map(fits, self.grafts_of[tree.id])))
                and (where.any_of is None or self._has_any(where.any_of, tree, season))
                and (where.union is None or (where.union == FAILS_LATE) == self._tree_fails_late(tree))
            )
            if self._may_have_a_task(tree.id, matches):
                yield Subject(
                    tree.id,
                    tree.name,
                    tree.id,
                    self.tree_names[tree.id],
                    tree.place,
                    (tree.species,),
                    self._tree_events(tree, season),
                    bud_variety=self._variety_of.get((tree.id, tree.species), ""),
                    height_m=self._height_m(tree),
                    highest_m=None if tree.height_m is None else self._height_m(tree),
                    matches=matches,
                    known_since=both_known((tree.known_since,), self._today),
                )

    def _tree_events(self, tree: Tree, season: Season) -> dict[str, date]:
        """What happened to a tree: it was planted, harm was noted of it, and its first fruit ripens this season.

        Gnawed bark is no event any more once a bridge was planned, or set since.
        """
        events = {} if tree.planted is None else {"planted": date(tree.planted, 1, 1)}
        for trouble in self.records.troubles:
            sign = sign_named(trouble.what) if trouble.tree == tree.id else ""
            if sign in SEEN_EVENTS:
                events[sign] = max(trouble.day, events.get(sign, trouble.day))
        blighted = fire_blight_first_seen(self.records.troubles, tree.id, season.__contains__, self._first_day)
        if blighted is not None:
            events["fire blight"] = blighted
        grafts = self.grafts_of[tree.id]
        if GNAWED in events and any(_bridges_since(graft, events[GNAWED]) for graft in grafts):
            del events[GNAWED]
        ripe = [graft.ripens_from for graft in grafts if graft.state == "bearing" and graft.ripens_from is not None]
        if ripe:
            events["ripens"] = min(_ripe_on(day, season) for day in ripe)
        return events

    def _planted_in(self, tree: Tree) -> int | None:
        """The year in which a tree began to grow where it stands: as noted, else that of the bench graft that it is."""
        if tree.planted is not None:
            return tree.planted
        benched = (graft for graft in self.grafts_of[tree.id] if graft.method.casefold() == BENCH)
        return min((year for graft in benched if (year := self._kinds[graft.id][-1]) is not None), default=None)

    def _has_any(self, signs: AnyOf, tree: Tree, season: Season) -> bool:
        """Whether a tree has one of the signs: of its age, of what was seen."""
        planted = self._planted_in(tree)
        if signs.age_unknown if planted is None else _is_within(signs.age_years, season.name - planted):
            return True
        if signs.ticked is not None and self._was_ticked(signs.ticked, tree.id, season):
            return True
        return bool(signs.seen) and not self._signs_of(tree.id, signs.seen_years, season).isdisjoint(signs.seen)

    def _signs_of(self, tree: str, years: tuple[int, int] | None, season: Season) -> frozenset[str]:
        noted = self.records.troubles
        if years is None:
            return signs_seen(noted, tree)
        grew = ((held, season_of(counts_from(held, self._first_day), self.south)) for held in noted)
        return signs_seen((held for held, its in grew if _is_within(years, season.name - its.name)), tree)

    def _first_day(self, day: date) -> date:
        return season_of(day, self.south).start

    def _was_ticked(self, wanted: Ticked, tree: str, season: Season) -> bool:
        """Whether one of the jobs was done on the tree itself, in time and so many seasons ago."""
        for tick in self.standing.of(tree):
            name = season_of_tick(tick)
            if tick.outcome not in WORK_WORDS or template_of(tick) not in wanted.jobs or name is None:
                continue
            in_time = wanted.until is None or tick.day <= Season(name, self.south).on_written(wanted.until)
            if in_time and _is_within(wanted.years, season.name - name):
                return True
        return False

    def _grafts(self, but_not: Collection[str], where: Where, season: Season) -> Iterator[Subject]:
        fits, events = self._fitting(where, season), self.standing.events
        if not events and not any(self._kind_fits(where, kind, season, aged=True) for kind in self._all_kinds):
            return
        for tree in self.records.trees:
            if tree.id in but_not:
                continue
            for graft in self.grafts_of[tree.id]:
                if not _accepts(where.species, self.species[graft.id]):
                    continue
                matches = fits(graft)
                if matches or graft.id in events:  # as _may_have_a_task has it, spelt out: it is asked of every graft
                    yield self._graft(tree, graft, season, matches)

    def _graft(self, tree: Tree, graft: Graft, season: Season, matches: bool) -> Subject:
        key = (graft.id, season.name, matches)
        made = self._made.get(key)
        if made is None:
            grows = self._grows_by_itself(graft, season)
            species = self.species[graft.id]
            made = self._made[key] = Subject(
                graft.id,
                graft.variety,
                tree.id,
                self.tree_names[tree.id],
                place_words(place_of(graft)),
                (species,),
                self._events(graft, season),
                variety=graft.variety,
                bud_species=() if grows or species == tree.species else (tree.species,),
                bud_variety=graft.variety if grows else self._variety_of.get((tree.id, tree.species), ""),
                height_m=graft.height_m,
                highest_m=tree.height_m if graft.height_m is None else graft.height_m,
                crown_m=None if tree.height_m is None else self._height_m(tree),
                matches=matches,
                known_since=self.known_since[graft.id],
                set_in=rough_words(graft.set_on) if isinstance(graft.set_on, RoughDate) else "",
            )
        return made

    def _grows_by_itself(self, graft: Graft, season: Season) -> bool:
        """Whether its own buds decide: from the year after the one in which it first grew. Until then its tree's do.

        What is set has slept in the cold, or is a bud that the stock must wake, so that the sap and the bark of the
        stock say when it starts.
        """
        if graft.state not in ("took", "bearing"):
            return False
        return graft.set_on is None or first_growing_year(middle_day(graft.set_on), self.south) < season.name

    def _carrying(self, species: Collection[str]) -> list[Tree]:
        """The trees that are of some species, or carry it."""
        others = (graft for graft in self._on_others if graft.state in GROWS)
        carrying = {graft.tree for graft in others if self.species[graft.id] in species}
        return [tree for tree in self.records.trees if tree.species in species or tree.id in carrying]

    def _height_m(self, tree: Tree) -> float | None:
        """How high the crown reaches: as noted, and never lower than its highest graft; None where nothing is known."""
        known = [graft.height_m for graft in self.grafts_of[tree.id] if graft.height_m is not None]
        return max(known if tree.height_m is None else [*known, tree.height_m], default=None)

    def size_of(self, tree: str, season: int) -> TreeSize:
        """How large one of the trees is in a season, named by its year."""
        highest = max((one.height_m for one in self.grafts_of[tree] if one.height_m is not None), default=None)
        return tree_size(self.trees[tree], season, highest)

    def _heights(self, species: tuple[str, ...]) -> tuple[float | None, float | None]:
        """How high the crowns of some species are known to reach, and how high they may; None is not known."""
        trees = self._carrying(species)
        known = max((height_m for tree in trees if (height_m := self._height_m(tree)) is not None), default=None)
        return known, None if any(tree.height_m is None for tree in trees) else known

    def _may_have_a_task(self, unit: str, matches: bool) -> bool:
        """A unit that the conditions leave out shows only what was ticked of it."""
        return matches or unit in self.standing.events

    def _wood(self, where: Where, season: Season) -> Iterator[Subject]:
        wished = None if where.wood is None else {wish.bundle for wish in self._wishes if wish.state == where.wood}
        for bundle in self.records.wood:
            matches = bundle.sticks > 0 and (wished is None or bundle.id in wished)
            if _accepts(where.species, bundle.species) and self._may_have_a_task(bundle.id, matches):
                asked = f", asked of {bundle.came_from}" if wished is not None and bundle.came_from else ""
                yield Subject(
                    bundle.id,
                    f"{self._told_apart(bundle)} ({counted(bundle.sticks, 'stick')}){asked}",
                    SITE,
                    "",
                    bundle.kept,
                    (bundle.species,),
                    _wood_events(bundle, season),
                    bundle.variety,
                    bundle.variety,
                    matches=matches,
                    known_since=both_known((bundle.known_since,), self._today),
                )

    @cached_property
    def _wishes(self) -> tuple[Wish, ...]:
        """What wood is to come from others."""
        return wood_wishes(self.records, self._today, lambda day: season_of(day, self.south).start)

    @cached_property
    def _asked_again_from(self) -> dict[tuple[str, str], date]:
        """The day after the last asking that was refused, by species and variety: what was ticked before is void."""
        found: dict[tuple[str, str], date] = {}
        for one in self.records.wood:
            if one.answer == REFUSED and one.asked_on is not None:
                key, again = (one.species, folded(one.variety)), one.asked_on + timedelta(days=1)
                found[key] = max(again, found.get(key, again))
        return found

    def _wished(self, where: Where) -> dict[tuple[str, str], list[Wish]]:
        """The wishes of which the conditions speak, by species and variety."""
        found: dict[tuple[str, str], list[Wish]] = {}
        for wish in self._wishes:
            if wish.state == where.wood:
                found.setdefault((wish.species, folded(wish.variety)), []).append(wish)
        return found

    def _to_send(self, subject: Subject) -> Subject:
        """A bundle with how many of its sticks go to whom."""
        bundle = next((bundle for bundle in self.records.wood if bundle.id == subject.id), None)
        if bundle is None or not bundle.promised_sticks or not bundle.promised_to:
            return subject
        goes = f"{bundle.promised_sticks} of {counted(bundle.sticks, 'stick')} to {bundle.promised_to}"
        return msgspec.structs.replace(subject, label=f"{self._told_apart(bundle)} ({goes})")

    def _told_apart(self, bundle: Wood) -> str:
        """The bundle's variety, with its species where there is wood of that name of another species too."""
        others = any(held.variety == bundle.variety and held.species != bundle.species for held in self.records.wood)
        return f"{bundle.variety}, {bundle.species}" if others else bundle.variety

    def _varieties(self, where: Where, season: Season) -> Iterator[Subject]:
        formerly = self._former_ids(where.species)
        wanted: dict[str, tuple[str, str, int]] = {}
        known: dict[str, list[date | None]] = {}
        fits = self._graft_fitting(where, season)
        wished = None if where.wood is None else self._wished(where)
        with_buds = where.method is not None
        for graft in self.records.grafts:
            if fits(graft) and (with_buds or graft.state != "planned" or not is_summer_bud(graft)):
                of = self.species[graft.id]
                identity = variety_id(graft.variety, of)
                known.setdefault(identity, []).append(self.known_since[graft.id])
                variety, species, count = wanted.get(identity, (graft.variety, of, 0))
                wanted[identity] = (min(variety, graft.variety), species, count + 1)
        for identity, (variety, species, count) in sorted(wanted.items(), key=lambda item: item[1]):
            events = {"planned": season.start}
            cut = self.cut_of.get((species, variety.casefold()))
            if cut is not None and cut in season:
                events["cut"] = cut
            if wished is not None and (again := self._asked_again_from.get((species, folded(variety)))) is not None:
                events[REFUSED] = again
            wishes = () if wished is None else wished.get((species, folded(variety)), ())
            matches = wished is None or bool(wishes)
            if not self._may_have_a_task(identity, matches):
                continue
            grafts = counted(count, species + " graft")
            is_there = where.state is not None and "planned" not in where.state
            label = f"{variety}, {grafts}" if is_there else f"{variety} for {grafts}{_wish_words(wishes)}"
            yield Subject(
                identity,
                label,
                SITE,
                "",
                "",
                (species,),
                events,
                variety,
                variety,
                matches=matches,
                highest_m=self._heights((species,))[1],  # nobody knows yet from which tree it is cut
                formerly=formerly.get((variety, species), ""),
                known_since=first_known(known[identity], self._today),
            )

    def _former_ids(self, accepted: tuple[str, ...] | None) -> dict[tuple[str, str], str]:
        """The ids that varieties had by their place among all recorded ones: ticks under them still count."""
        grown = {(graft.variety, self.species[graft.id]) for graft in self.records.grafts if graft.id in self.species}
        taken: set[str] = set()
        return {key: _free_slug(key[0], taken) for key in sorted(grown) if _accepts(accepted, key[1])}

    def _graft_fitting(self, where: Where, season: Season) -> Callable[[Graft], bool]:
        """Whether a graft and its species meet the conditions."""
        species, fits = self.species, self._fitting(where, season)

        def fitting(graft: Graft) -> bool:
            of = species.get(graft.id)
            return of is not None and _accepts(where.species, of) and fits(graft)

        return fitting

    def _fitting(self, where: Where, season: Season, aged: bool = True) -> Callable[[Graft], bool]:
        """Whether a graft meets all conditions but its species; of its kind that is found out once."""
        known: dict[_Kind, bool] = {}
        kinds, above_m, union = self._kinds, where.above_m, where.union

        def fits(graft: Graft) -> bool:
            kind = kinds[graft.id]
            found = known.get(kind)
            if found is None:
                found = known[kind] = self._kind_fits(where, kind, season, aged)
            return (
                found
                and (above_m is None or (graft.height_m is not None and graft.height_m > above_m))
                and (union is None or (union == FAILS_LATE) == self._fails_late(graft))
            )

        return fits

    def _fails_late(self, graft: Graft) -> bool:
        tree = self.trees.get(graft.tree)
        return tree is not None and graft_union(graft, tree, self._today).fails_late

    def _tree_fails_late(self, tree: Tree) -> bool:
        union = tree_union(tree, self._today)
        return union is not None and union.fails_late

    def _kind_fits(self, where: Where, kind: _Kind, season: Season, aged: bool) -> bool:
        state, method, wrap, verdict, set_in = kind
        return (
            (where.state is None or state in where.state)
            and (where.method is None or self._words.fits("method", method, where.method))
            and (where.wrap is None or self._words.fits("wrap", wrap, where.wrap))
            and (where.verdict is None or verdict in where.verdict)
            and (not aged or _age_fits(where, None if set_in is None else season.name - set_in))
        )

    def _events(self, graft: Graft, season: Season) -> dict[str, date]:
        known = self._graft_events.get(graft.id)
        if known is None:
            known = self._graft_events[graft.id] = self._recorded_events(graft)
        events = dict(known)
        if graft.state == "planned":
            events["planned"] = season.start
        if graft.verdict != "on trial":
            events["verdict"] = season.start
        return events

    def _recorded_events(self, graft: Graft) -> dict[str, date]:
        events: dict[str, date] = {}
        if graft.set_on is not None:
            events["set"] = first_day(graft.set_on)
            if graft.method.casefold() in BUD_WORDS:
                events["budded"] = events["set"]
        ticked = self.standing.events.get(graft.id, {})
        for outcome in ("took", "failed"):
            if outcome in ticked:
                events[outcome] = ticked[outcome]
        if (fate := self.wrap_fates[graft.id]).day is not None:
            events["unwrapped"] = fate.day
        if "took" not in events and graft.state in ("took", "bearing") and (set_on := day_known(graft.set_on)):
            events["took"] = set_on + timedelta(days=ASSUMED_TAKE_DAYS)
        if graft.id in self.tasted:
            events["tasted"] = self.tasted[graft.id]
        return events


def _ripe_on(day: tuple[int, int], season: Season) -> date:
    """The day on which fruit is ripe in a season's summer, or after it: none ripens in the winter that begins it."""
    earliest = season.start + timedelta(days=_WINTER_DAYS)
    years = range(season.start.year, season.start.year + 3)
    days = (date(year, day[0], 1) + timedelta(days=day[1] - 1) for year in years)
    return next(one for one in days if one >= earliest)


def _bridges_since(graft: Graft, day: date) -> bool:
    """Whether a graft is a bridge that is planned, or was set on that day or later, whatever became of it."""
    if graft.method.casefold() != BRIDGE:
        return False
    return graft.state == "planned" or (graft.set_on is not None and last_day(graft.set_on) >= day)


class _Words:
    """The methods and wraps that rules know: the trade's own, and those of which a template says what to do."""

    def __init__(self, templates: Iterable[Template]) -> None:
        self._known: dict[str, set[str]] = {"method": set(METHODS), "wrap": {*WRAPS, WRAP_OFF}}
        for template in templates:
            self._known["method"].update(template.where.method or ())
            if template.takes_wraps_off:
                self._known["wrap"].update(template.where.wrap or ())
        self._known = {field: {word.casefold() for word in words} - {UNKNOWN} for field, words in self._known.items()}
        self._folds: dict[tuple[str, ...], frozenset[str]] = {}

    def knows(self, field: str, word: str) -> bool:
        return self._meant(field, word) in self._known[field]

    def _meant(self, field: str, word: str) -> str:
        """The word in small letters, or the known method or wrap that is called so, too, where no rule has it."""
        folded = " ".join(word.casefold().split())
        also = SAME_WRAPS if field == "wrap" else SAME_METHODS
        return folded if folded in self._known[field] else also.get(folded, folded).casefold()

    def fits(self, field: str, word: str, allowed: tuple[str, ...]) -> bool:
        """Whether a word, in whatever capitals, is among those allowed, or is one that nobody knows where that is."""
        return (
            word in allowed
            or (UNKNOWN in allowed and not self.knows(field, word))
            or (self._meant(field, word) in self._folded(allowed))
        )

    def _folded(self, words: tuple[str, ...]) -> frozenset[str]:
        if words not in self._folds:
            self._folds[words] = frozenset(word.casefold() for word in words)
        return self._folds[words]


def _kind_of(graft: Graft, south: bool) -> _Kind:
    set_in = None if graft.set_on is None else season_of(middle_day(graft.set_on), south).name
    return graft.state, graft.method, graft.wrap, graft.verdict, set_in


def _wood_events(bundle: Wood, season: Season) -> dict[str, date]:
    events: dict[str, date] = {}
    if bundle.cut_on is not None:
        events["cut"] = events["received"] = bundle.cut_on
        if bundle.promised_to:
            events["promised"] = bundle.cut_on
    elif bundle.promised_to:
        events["promised"] = season.start
    return events


def _wish_words(wishes: Iterable[Wish]) -> str:
    """ ": 2 sticks, of P. Hill"."""
    said = [f"{counted(wish.sticks, 'stick')}{f', of {wish.who}' if wish.who else ''}" for wish in wishes]
    return f": {'; '.join(said)}" if said else ""


def _accepts(allowed: tuple[str, ...] | None, value: str) -> bool:
    return allowed is None or value in allowed


def _asks_about_grafts(where: Where) -> bool:
    asked = (where.state, where.method, where.wrap, where.verdict, where.above_m, where.union)
    return any(part is not None for part in asked)


def _age_fits(where: Where, years: int | None) -> bool:
    return where.age_years is None or (years is not None and _is_within(where.age_years, years))


def _is_within(years: tuple[int, int] | None, age: int) -> bool:
    return years is not None and years[0] <= age <= years[1]


def may_be_former_id(unit: str) -> bool:
    """Whether varieties may have been ticked under this id before ids had their species in them."""
    return unit == _slug(unit)


def variety_id(variety: str, species: str) -> str:
    """A variety's id, which can be typed and is the same whoever else is there: "clapp.pear".

    A name whose letters do not give it back, such as "Clapp's", has a mark of its own: "clapp-s-3f2a.pear".
    """
    slug = _slug(variety)
    if slug.replace("-", " ") != variety.casefold():
        slug += f"-{blake2b(variety.casefold().encode(), digest_size=2).hexdigest()}"
    return f"{slug}.{species.replace(' ', '-')}"


def _slug(name: str) -> str:
    return re.sub(r"[^\w]+", "-", name.casefold()).strip("-") or "variety"


def _free_slug(name: str, taken: set[str]) -> str:
    """The slug, with a number for the second of two names that look alike."""
    slug = _slug(name)
    free, number = slug, 2
    while free in taken:
        free, number = f"{slug}-{number}", number + 1
    taken.add(free)
    return free
