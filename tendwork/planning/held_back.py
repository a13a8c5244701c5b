"""What holds a unit back: a spray whose days are not over, a tree that must not give wood, somebody else's work.

Holding never takes a job away. The unit stays where it is, says why and until when, and is done later or ticked by a
person who is sure.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.graft_species import GROWS, graft_species
from tendwork.orchard.methods import BRIDGE, method_named
from tendwork.orchard.named_templates import SUCKERS, THINNING
from tendwork.orchard.outcomes import ARBORIST, SKIPPED, STILL_OPEN, default_outcome
from tendwork.orchard.records import Graft, Records, Tree, Trouble, Wood
from tendwork.orchard.rough_dates import middle_day
from tendwork.orchard.sprays import HARVEST, RETURN, bars_on, sprays_by_tree
from tendwork.orchard.tree_names import TreesByWord, tree_names
from tendwork.orchard.troubles import bar_on, bundle_bar, fire_blight_seen, sign_of
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wording import listed
from tendwork.planning.hold_words import Bar, HoldWords
from tendwork.planning.results import Task, Unit
from tendwork.planning.states import FINISHED, HELD
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import Template, Tool
from tendwork.species import family_of
from tendwork.variety_names import Key

_SET = "set"
_WITHOUT_WORK = frozenset(
    {
        SKIPPED, STILL_OPEN, ARBORIST, "not needed", "got from elsewhere", "cannot be sent", "leave for summer",
        "no fruit", "thrown out", "lost",
    }
)  # fmt: skip
"""Outcomes for which nobody went into a tree, took wood from it or gave any away."""


class _Hold(Struct, frozen=True):
    """What holds a unit: all the bars, and the first day on which together they hold it no more."""

    bars: tuple[Bar, ...]
    until: date | None


KEEPS_SUCKERS = "A bridge of this season may fail: the suckers of this tree are kept, to be grafted in above the wound."


class HeldBack:
    """The holds of one day, worked out once from the records."""

    def __init__(self, records: Records, south: bool, today: date) -> None:
        self._today = today
        self._south = south
        self._words = HoldWords(tree_names(records.trees), today)
        self._sprays = sprays_by_tree(records.sprays, today)
        self._troubles: dict[str, list[Trouble]] = {}
        for trouble in records.troubles:
            if sign_of(trouble):
                self._troubles.setdefault(trouble.tree, []).append(trouble)
        self._trees: dict[str, Tree] = {tree.id: tree for tree in records.trees}
        self._by_word = TreesByWord(records.trees)
        self._bundles: dict[str, Wood] = {bundle.id: bundle for bundle in records.wood}
        self._grafts: dict[str, Graft] = {graft.id: graft for graft in records.grafts}
        self._keys = variety_keys(records)
        self._sources: dict[Key, dict[str, None]] = {}
        self._found: dict[tuple[str, str, date], Bar | None] = {}
        this_season = season_of(today, south)
        self._bridged = {
            graft.tree
            for graft in records.grafts
            if method_named(graft.method) == BRIDGE
            and (
                graft.state == "planned" or (graft.set_on and season_of(middle_day(graft.set_on), south) == this_season)
            )
        }
        self._on_tree: dict[str, set[str]] = {tree.id: {tree.species} for tree in records.trees}
        for graft in records.grafts:
            if graft.state in GROWS and graft.tree in self._trees:
                species = graft_species(graft, self._trees[graft.tree])
                self._on_tree[graft.tree].add(species)
                self._sources.setdefault(self._keys.of(species, graft.variety), {})[graft.tree] = None
        for bundle in records.wood:
            meant = self._by_word.meant(bundle.came_from) if bundle.cut_on is None else ()
            if len(meant) == 1:
                self._sources.setdefault(self._keys.of(bundle.species, bundle.variety), {})[meant[0]] = None

    def held(self, template: Template, subject: Subject, unit: Unit) -> Unit:
        """The unit, held back where something bars it on the first day on which it could be done."""
        if unit.outcome == ARBORIST and unit.done_on is not None:
            return replace(unit, held_by=self._with_arborist(unit.done_on, unit.window.lapses))
        if template.id == SUCKERS and unit.id in self._bridged and unit.state not in (*FINISHED, "missed"):
            return replace(unit, state=HELD, held_by=KEEPS_SUCKERS)
        if not (self._sprays or self._troubles) or unit.state in FINISHED:
            return unit
        now = self._hold(template, subject, self._today)
        hold = self._hold(template, subject, unit.window.opens) if unit.window.opens > self._today else now
        if now is not None:
            unit = replace(unit, barred_today=self._words.whole(now.bars))
        if hold is None or unit.state == "missed":
            return unit
        return replace(unit, state=HELD, held_by=self._words.whole(hold.bars), held_until=hold.until)

    def against_work(self, template: Template, subject: Subject, outcome: str) -> str:
        """Why a unit was not to be worked on today, as sentences; empty where nothing says so, or nobody worked."""
        hold = None if outcome in _WITHOUT_WORK else self._hold(template, subject, self._today)
        return "" if hold is None else self._words.whole(hold.bars)

    def is_blighted(self, template: Template, units: Iterable[Unit], group: str, season: Season) -> bool:
        """Whether strikes of fire blight were seen this season or the last on a tree that the job may be about."""
        return bool(self._troubles and self._blighted(self._trees_of_job(template, units, group), season))

    def not_now(self, template: Template, units: Iterable[Unit]) -> tuple[str, ...]:
        """What is barred though the job is not: some of its trees, or a bundle that is to be thrown out."""
        if not self._sprays and not self._troubles:
            return ()
        free = (unit for unit in units if unit.state not in (*FINISHED, "missed", HELD))
        return self._words.short(bar for unit in free for bar in self._beside(template, unit))

    def mind(
        self, template: Template, tools: Iterable[Tool], units: Iterable[Unit], group: str, season: Season
    ) -> tuple[str, ...]:
        """How to go about the trees that a blade of the job touches, where fire blight was seen on them."""
        if not self._troubles or not _is_in_trees(template):
            return ()
        to_do = [unit for unit in units if unit.state not in (*FINISHED, "missed")]
        cuts = any(use in tool.uses for tool in tools for use in ("cuts wood", "cleans blades"))
        if not to_do or not cuts:
            return ()
        seen = self._blighted(self._trees_cut(template, to_do, group), season)
        return (self._words.blight(seen),) if seen else ()

    def said(self, units: Iterable[Unit]) -> tuple[str, ...]:
        """What is to be told of a job: why its units are held."""
        held = [unit.held_by for unit in units if unit.held_by and unit.state not in (*FINISHED, "missed")]
        return tuple(dict.fromkeys(held))

    def _with_arborist(self, since: date, last: date) -> str:
        ended = f"; its time ended {self._words.day(last)}" if self._today > last else ""
        return f"With an arborist since {self._words.day(since)}{ended}."

    def _hold(self, template: Template, subject: Subject, day: date) -> _Hold | None:
        """All that holds a unit on a day, until the last of it is over."""
        holds = [hold for hold in self._holds(template, subject, day) if hold is not None]
        if not holds:
            return None
        last = max(holds, key=lambda hold: hold.until or date.max)
        return _Hold(tuple(bar for hold in holds for bar in hold.bars), last.until)

    def _holds(self, template: Template, subject: Subject, day: date) -> Iterator[_Hold | None]:
        """What holds a unit: its own tree, else all the trees that would do for it, and the wood it is done with."""
        if _is_in_trees(template) and template.each in ("tree", "graft"):
            yield _all_barred([self._work_bar(template, subject.group, day)])
        if _is_in_trees(template) and template.each == "site":
            trees = self._trees_of(subject.species)
            yield _all_barred([self._work_bar(template, tree, day) for tree in trees])
        if template.each == "wood" and template.acts:
            yield _all_barred([self._bundle_bar(subject.id, day)])
        if template.each == "graft" and _SET in template.outcomes:
            yield _all_barred([self._bundle_bar(self._grafts[subject.id].wood, day)])
        if self._needs_a_source(template, subject.id):
            own = self._sources_of(subject.species, subject.variety)
            sources = own or self._sources_of(_kin(subject.species), subject.variety)
            yield _all_barred([self._source_bar(tree, day) for tree in sources])

    def _beside(self, template: Template, unit: Unit) -> Iterator[Bar]:
        """What is barred beside a unit that is not held: some of its trees, or a bundle that is to be thrown out."""
        day = max(self._today, unit.window.opens)
        if template.each == "wood" and (bar := self._bundle_bar(unit.id, day)) is not None:
            yield bar
        if _is_in_trees(template) and template.each == "site":
            trees = self._trees_of(template.where.species)
            yield from filter(None, (self._work_bar(template, tree, day) for tree in trees))
        if self._needs_a_source(template, unit.id):
            yield from filter(None, (self._source_bar(tree, day) for tree in self._givers(unit)))

    def _needs_a_source(self, template: Template, unit: str) -> bool:
        """Whether wood or buds are cut from a tree for this unit: not where a bundle is noted for the graft."""
        if "takes wood" not in template.acts or template.each not in ("variety", "graft"):
            return False
        graft = self._grafts.get(unit) if template.each == "graft" else None
        return graft is None or graft.wood not in self._bundles

    def _sources_of(self, species: Iterable[str], variety: str) -> tuple[str, ...]:
        """The trees of these species on which a variety is known to grow."""
        return tuple(tree for kind in species for tree in self._sources.get(self._keys.of(kind, variety), ()))

    def _givers(self, unit: Unit) -> tuple[str, ...]:
        """The trees from which wood or buds for a unit may be cut; all of its family where no source is known."""
        kin = _kin((unit.species,) if unit.species else ())
        return self._sources_of(kin, unit.variety) or self._trees_of(kin)

    def _trees_of(self, species: Iterable[str] | None) -> tuple[str, ...]:
        """The trees that are of one of these species, or carry one; all for None."""
        kinds = None if species is None else frozenset(species)
        return tuple(tree for tree, here in self._on_tree.items() if kinds is None or not kinds.isdisjoint(here))

    def _trees_cut(self, template: Template, units: Iterable[Unit], group: str) -> tuple[str, ...]:
        """The trees in which a job may cut: its own, and those that may give its wood and are not barred from that."""
        found = dict.fromkeys((group,) if group in self._trees else ())
        if template.each == "site":
            found |= dict.fromkeys(self._trees_of(template.where.species))
        for unit in units:
            if self._needs_a_source(template, unit.id):
                day = max(self._today, unit.window.opens)
                found |= dict.fromkeys(tree for tree in self._givers(unit) if self._source_bar(tree, day) is None)
        return tuple(found)

    def _trees_of_job(self, template: Template, units: Iterable[Unit], group: str) -> tuple[str, ...]:
        """All the trees that a blade of a job may touch, or that its wood may be from."""
        if group in self._trees:
            givers = (self._givers(unit) for unit in units if self._needs_a_source(template, unit.id))
            return tuple(dict.fromkeys((group, *(tree for trees in givers for tree in trees))))
        if template.each == "site":
            return self._trees_of(template.where.species)
        return self._trees_of(_kin(unit.species for unit in units if unit.species))

    def _blighted(self, trees: Iterable[str], season: Season) -> dict[str, date]:
        """The day on which strikes were last seen on each of these trees, this season or the last."""
        found = {}
        for tree in trees:
            seen = self._troubles.get(tree, ())
            day = fire_blight_seen(seen, tree, lambda day: day in season or day in season.previous, self._first_day)
            if day is not None:
                found[tree] = day
        return found

    def _work_bar(self, template: Template, tree: str, day: date) -> Bar | None:
        """The spray that keeps a job out of a tree for the longest time."""
        sprays = self._sprays.get(tree)
        if sprays is None:
            return None
        eaten = template.part == "fruit" and template.id not in THINNING
        key = (HARVEST if eaten else RETURN, tree, day)
        if key not in self._found:
            bars = bars_on(sprays, tree, day, RETURN) + (bars_on(sprays, tree, day, HARVEST) if eaten else ())
            last = max(bars, key=lambda bar: bar.last, default=None)
            self._found[key] = None if last is None else Bar(last, last.until if last.noted else None)
        return self._found[key]

    def _source_bar(self, tree: str, day: date) -> Bar | None:
        """What keeps a tree from giving wood or buds for the longest time: what was seen on it, or a spray."""
        key = ("source", tree, day)
        if key not in self._found:
            sick = bar_on(self._troubles.get(tree, ()), tree, day, self._first_day)
            sprayed = bars_on(self._sprays.get(tree, ()), tree, day, RETURN)
            bar = None
            if sick is not None and (sick.until is None or not sprayed or sick.until >= sprayed[0].until):
                bar = Bar(sick, sick.until)
            elif sprayed:
                bar = Bar(sprayed[0], sprayed[0].until if sprayed[0].noted else None)
            self._found[key] = bar
        return self._found[key]

    def _bundle_bar(self, identity: str, day: date) -> Bar | None:
        """Why a stored bundle must not be used: it was cut from a tree that must not give wood, or may be from one."""
        bundle = self._bundles.get(identity)
        trees = () if bundle is None else self._by_word.meant(bundle.came_from)
        troubles = [trouble for tree in trees for trouble in self._troubles.get(tree, ())]
        bar = None if bundle is None else bundle_bar(troubles, bundle, trees, day, self._first_day)
        if bundle is None or bar is None:
            return None
        what = f"{bundle.variety} ({bundle.id})"
        came = "is to be" if bundle.cut_on is None else "was"
        origin = self._words.name(trees[0])
        where = "where"
        if len(trees) > 1:
            origin = f"{self._trees[trees[0]].name}, which may be {listed(trees[:-1])} or {trees[-1]}"
            where = f"and on {self._words.name(bar.trouble.tree)}"
        seen = f"{bar.trouble.what} was seen on {self._words.day(bar.trouble.day)}"
        rest = "Cut it elsewhere." if bundle.cut_on is None else "Use none of it, and give none away."
        return Bar(f"{what} {came} cut from {origin}, {where} {seen}. {rest}", bar.until)

    def _first_day(self, day: date) -> date:
        return season_of(day, self._south).start


def speaks_against(task: Task, units: Iterable[str], outcome: str) -> tuple[str, ...]:
    """Why these units of a task should not have been worked on yet, where the outcome says that they were."""
    if outcome in _WITHOUT_WORK:
        return ()
    named = set(units)
    mine = [unit for unit in task.units if unit.id in named and unit.outcome != ARBORIST]
    held = (unit.held_by for unit in mine if unit.state == HELD)
    today = (unit.barred_today for unit in mine if unit.barred_today)
    return tuple(dict.fromkeys((*held, *today)))


def still_barred(task: Task, outcome: str) -> tuple[str, ...]:
    """What of a job was not to be worked on, though others were: said once more where it is ticked."""
    return () if outcome in _WITHOUT_WORK else task.not_now


def outcomes_of(template: Template, tools: Sequence[Tool], units: Iterable[Unit]) -> tuple[str, ...]:
    """The outcomes of a job; that it is an arborist's comes last, where it may be."""
    offered = _offers_arborist(template, tools)
    mine = any(
        unit.outcome == ARBORIST
        or (offered and (unit.above_reach or unit.height_unknown) and unit.state not in FINISHED)
        for unit in units
    )
    return tuple(dict.fromkeys((*template.outcomes, ARBORIST))) if mine else template.outcomes


def _offers_arborist(template: Template, tools: Iterable[Tool]) -> bool:
    """Whether what is above the person's reach, or as high as nobody noted, is cutting that an arborist may be given.

    Looking with a knife in the hand is not: of a job that asks for a finding only sawing is.
    """
    uses = {use for tool in tools for use in tool.uses}
    return "saws" in uses or ("cuts wood" in uses and bool(default_outcome(template.outcomes, template.each)))


def _is_in_trees(template: Template) -> bool:
    """Whether the work is in a tree or under it: not on paper, not at a bench, and not on wood that is cut."""
    return template.work_at != "indoors" and template.part != "planning" and template.each != "wood"


def _kin(species: Iterable[str]) -> tuple[str, ...]:
    """The species that a variety on one of these may be cut from."""
    return tuple(dict.fromkeys(one for kind in species for one in (kind, *family_of(kind))))


def _all_barred(bars: Sequence[Bar | None]) -> _Hold | None:
    """A hold for work that any of several trees would do for: until the first of them is free; None if one is."""
    found = [bar for bar in bars if bar is not None]
    if not found or len(found) < len(bars):
        return None
    return _Hold(tuple(found), min((bar.until for bar in found if bar.until is not None), default=None))
