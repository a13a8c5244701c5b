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
from tendwork.orchard.outcomes import ARBORIST
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.sprays import HARVEST, RETURN, SprayBar, bars_on, days_not_noted, latest_sprays
from tendwork.orchard.troubles import SickBar, bar_on, bundle_bar, has_fire_blight, sign_of
from tendwork.orchard.wording import counted
from tendwork.planning.day_words import day_words
from tendwork.planning.results import Task, Unit
from tendwork.planning.standing import SKIPPED, STILL_OPEN
from tendwork.planning.states import FINISHED, HELD
from tendwork.planning.subjects import Subject
from tendwork.planning.vocabulary import Template, Tool

GIVES_WOOD = ("set", "took", "bearing")
"""The states of a graft whose wood or buds can be cut."""
_NOT_EATEN = ("thin-apple-pear", "thin-stone-fruit")
"""Jobs with fruit that is not ripe, so that the days to harvest say nothing of them."""
_SET = "set"
_WITHOUT_WORK = frozenset(
    {
        SKIPPED, STILL_OPEN, ARBORIST, "not needed", "got from elsewhere", "cannot be sent", "leave for summer",
        "no fruit", "thrown out", "lost",
    }
)  # fmt: skip
"""Outcomes for which nobody went into a tree, took wood from it or gave any away."""


class Bar(Struct, frozen=True):
    """What bars one tree or bundle, as a whole sentence, and the first day on which it does no more.

    None is a day that is not known, or that never comes.
    """

    words: str
    until: date | None


class HeldBack:
    """The holds of one day, worked out once from the records."""

    def __init__(self, records: Records, south: bool, today: date) -> None:
        self._today = today
        self._south = south
        self._sprays = latest_sprays(records.sprays)
        self._troubles = tuple(trouble for trouble in records.troubles if sign_of(trouble))
        self._trees: dict[str, Tree] = {tree.id: tree for tree in records.trees}
        self._bundles: dict[str, Wood] = {bundle.id: bundle for bundle in records.wood}
        self._grafts: dict[str, Graft] = {graft.id: graft for graft in records.grafts}
        self._sources: dict[tuple[str, str], dict[str, None]] = {}
        for graft in records.grafts:
            if graft.state in GIVES_WOOD and graft.tree in self._trees:
                key = (self._trees[graft.tree].species, graft.variety.casefold())
                self._sources.setdefault(key, {})[graft.tree] = None

    def held(self, template: Template, subject: Subject, unit: Unit) -> Unit:
        """The unit, held back where something bars it on the first day on which it could be done."""
        if unit.outcome == ARBORIST and unit.done_on is not None:
            return replace(unit, held_by=f"With an arborist since {self._day(unit.done_on)}.")
        if not (self._sprays or self._troubles) or unit.state in (*FINISHED, "missed"):
            return unit
        day = max(self._today, unit.window.opens)
        bars = [bar for bar in self._bars(template, subject, day) if bar is not None]
        if not bars:
            return unit
        last = max(bars, key=lambda bar: bar.until or date.max)
        words = " ".join(dict.fromkeys(bar.words for bar in bars))
        return replace(unit, state=HELD, held_by=words, held_until=last.until)

    def is_blighted(self, subject: Subject, season: Season) -> bool:
        """Whether strikes of fire blight were seen this season or the last on a tree where the unit is or may be."""
        trees = (subject.group,) if subject.group in self._trees else self._trees_of(subject.species)
        return any(
            has_fire_blight(self._troubles, tree, lambda day: day in season or day in season.previous) for tree in trees
        )

    def said(self, template: Template, units: Sequence[Unit]) -> tuple[str, ...]:
        """What is to be told of a job: why its units are held, and what is barred though the job is not."""
        to_do = [unit for unit in units if unit.state not in (*FINISHED, "missed")]
        told = [unit.held_by for unit in to_do if unit.held_by]
        if self._sprays or self._troubles:
            told += [bar.words for unit in to_do if unit.state != HELD for bar in self._beside(template, unit)]
        return tuple(dict.fromkeys(told))

    def _bars(self, template: Template, subject: Subject, day: date) -> Iterator[Bar | None]:
        """What holds a unit: its own tree, else all the trees that would do for it, and the wood it is done with."""
        if _is_in_trees(template) and template.each in ("tree", "graft"):
            yield self._work_bar(template, subject.group, day)
        if _is_in_trees(template) and template.each == "site":
            trees = self._trees_of(subject.species)
            yield _all_barred([self._work_bar(template, tree, day) for tree in trees])
        if template.each == "wood" and template.acts:
            yield self._bundle_bar(subject.id, day)
        if template.each == "graft" and _SET in template.outcomes:
            yield self._bundle_bar(self._grafts[subject.id].wood, day)
        if self._needs_a_source(template, subject.id):
            sources = self._sources_of(subject.species, subject.variety)
            yield _all_barred([self._source_bar(tree, day) for tree in sources])

    def _beside(self, template: Template, unit: Unit) -> Iterator[Bar]:
        """What is barred beside a unit that is not held: some of its trees, or a bundle that is to be thrown out."""
        day = max(self._today, unit.window.opens)
        species = (unit.species,) if unit.species else ()
        if template.each == "wood" and (bar := self._bundle_bar(unit.id, day)) is not None:
            yield bar
        if _is_in_trees(template) and template.each == "site":
            trees = self._trees_of(template.where.species)
            yield from filter(None, (self._work_bar(template, tree, day) for tree in trees))
        if self._needs_a_source(template, unit.id):
            sources = self._sources_of(species, unit.variety) or self._trees_of(species)
            yield from filter(None, (self._source_bar(tree, day) for tree in sources))

    def _needs_a_source(self, template: Template, unit: str) -> bool:
        """Whether wood or buds are cut from a tree for this unit: not where a bundle is noted for the graft."""
        if "takes wood" not in template.acts or template.each not in ("variety", "graft"):
            return False
        graft = self._grafts.get(unit) if template.each == "graft" else None
        return graft is None or graft.wood not in self._bundles

    def _sources_of(self, species: Iterable[str], variety: str) -> tuple[str, ...]:
        """The trees of this orchard on which a variety is known to grow."""
        return tuple(tree for kind in species for tree in self._sources.get((kind, variety.casefold()), ()))

    def _trees_of(self, species: Iterable[str] | None) -> tuple[str, ...]:
        return tuple(tree.id for tree in self._trees.values() if species is None or tree.species in species)

    def _work_bar(self, template: Template, tree: str, day: date) -> Bar | None:
        """The spray that keeps a job out of a tree for the longest time."""
        bars = bars_on(self._sprays, tree, day, RETURN)
        if template.part == "fruit" and template.id not in _NOT_EATEN:
            bars += bars_on(self._sprays, tree, day, HARVEST)
        last = max(bars, key=lambda bar: bar.last, default=None)
        return None if last is None else self._spray_bar(last)

    def _source_bar(self, tree: str, day: date) -> Bar | None:
        """What keeps a tree from giving wood or buds for the longest time: what was seen on it, or a spray."""
        sick = bar_on(self._troubles, tree, day, self._first_day)
        sprayed = bars_on(self._sprays, tree, day, RETURN)
        if sick is not None and (sick.until is None or not sprayed or sick.until >= sprayed[0].until):
            return Bar(self._sick_words(sick), sick.until)
        return self._spray_bar(sprayed[0]) if sprayed else None

    def _bundle_bar(self, identity: str, day: date) -> Bar | None:
        """Why a stored bundle must not be used: it was cut from a tree that must not give wood."""
        bundle = self._bundles.get(identity)
        if bundle is None or bundle.came_from not in self._trees:
            return None
        bar = bundle_bar(self._troubles, bundle, day, self._first_day)
        if bar is None:
            return None
        what = f"{bundle.variety} ({bundle.id})"
        came = "is to be" if bundle.cut_on is None else "was"
        seen = f"where {bar.trouble.what} was seen on {self._day(bar.trouble.day)}"
        rest = "Cut it elsewhere." if bundle.cut_on is None else "Use none of it, and give none away."
        return Bar(f"{what} {came} cut from {self._name(bundle.came_from)}, {seen}. {rest}", bar.until)

    def _spray_bar(self, bar: SprayBar) -> Bar:
        """The bar of a spray; until when is not known as long as its label's days are not noted."""
        return Bar(self._spray_words(bar), bar.until if bar.noted else None)

    def _spray_words(self, bar: SprayBar) -> str:
        spray = bar.spray
        sprayed = f"{self._name(spray.tree)} was sprayed with {spray.product} on {self._day(spray.day)}"
        if not bar.noted:
            return (
                f"{sprayed}, {days_not_noted(spray)} not noted: read the label and note them with `tendwork spray`."
                f" Until then it is barred, at most up to and including {self._day(bar.last)}."
            )
        days = spray.days_to_return if bar.kind == RETURN else spray.days_to_harvest
        label = f"its label says {counted(days or 0, 'day')} to {bar.kind}"
        barred = "no work in it" if bar.kind == RETURN else "none of its fruit is to be eaten"
        return f"{sprayed}: {label}, so {barred} up to and including {self._day(bar.last)}."

    def _sick_words(self, bar: SickBar) -> str:
        seen = f"{bar.trouble.what} was seen on {self._name(bar.trouble.tree)} on {self._day(bar.trouble.day)}"
        seen = f"{seen[:1].upper()}{seen[1:]}"
        if bar.until is None:
            return f"{seen}: a virus stays in a tree, so it never gives wood or buds again."
        return f"{seen}: a winter must pass first, so no wood or buds from it before {self._day(bar.until)}."

    def _name(self, tree: str) -> str:
        return self._trees[tree].name if tree in self._trees else tree

    def _first_day(self, day: date) -> date:
        return season_of(day, self._south).start

    def _day(self, day: date) -> str:
        return day_words(day) if day.year == self._today.year else f"{day_words(day)} {day.year}"


def speaks_against(task: Task, units: Iterable[str], outcome: str) -> tuple[str, ...]:
    """Why these units of a task should not have been worked on yet, where the outcome says that they were."""
    if outcome in _WITHOUT_WORK:
        return ()
    named = set(units)
    held = (unit for unit in task.units if unit.id in named and unit.state == HELD and unit.outcome != ARBORIST)
    return tuple(dict.fromkeys(unit.held_by for unit in held))


def offers_arborist(tools: Iterable[Tool], unit: Unit) -> bool:
    """Whether a unit is cutting above the person's reach, or as high as nobody noted: work to give to an arborist."""
    return (unit.above_reach or unit.height_unknown) and any("cuts wood" in tool.uses for tool in tools)


def outcomes_of(template: Template, tools: Sequence[Tool], units: Iterable[Unit]) -> tuple[str, ...]:
    """The outcomes of a job; that it is an arborist's comes last, where it may be."""
    mine = any(
        unit.outcome == ARBORIST or (unit.state not in FINISHED and offers_arborist(tools, unit)) for unit in units
    )
    return tuple(dict.fromkeys((*template.outcomes, ARBORIST))) if mine else template.outcomes


def _is_in_trees(template: Template) -> bool:
    """Whether the work is in a tree or under it: not on paper, not at a bench, and not on wood that is cut."""
    return template.work_at != "indoors" and template.part != "planning" and template.each != "wood"


def _all_barred(bars: Sequence[Bar | None]) -> Bar | None:
    """One bar for work that any of several trees would do for: until the first of them is free; None if one is."""
    found = [bar for bar in bars if bar is not None]
    if not found or len(found) < len(bars):
        return None
    words = " ".join(bar.words for bar in found)
    return Bar(words, min((bar.until for bar in found if bar.until is not None), default=None))
