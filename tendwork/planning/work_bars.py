"""What speaks against work that no job asked for: eating fruit, grafting on a tree, using a bundle of wood.

Also against ticks of days that are over, which tell of what was done on them.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct

from tendwork.almanac.seasons import season_of
from tendwork.orchard.graft_species import species_by_graft, species_grown
from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.named_templates import ASK_FOR_WOOD
from tendwork.orchard.outcomes import SKIPPED
from tendwork.orchard.records import REFUSED, Graft, Records, Spray, Tasting, Tick
from tendwork.orchard.rough_dates import day_known
from tendwork.orchard.sprays import HARVEST, RETURN, SprayKind, bars_on, latest_sprays
from tendwork.orchard.standing_ticks import season_of_tick, standing_ticks, template_of
from tendwork.orchard.troubles import SickBar, barred_wood
from tendwork.orchard.wood_wishes import TO_ASK_FOR, Wish, wood_wishes
from tendwork.planning.former_ids import by_any_id
from tendwork.planning.held_back import HeldBack
from tendwork.planning.hold_words import Bar
from tendwork.planning.subject import SITE, Subject
from tendwork.planning.variety_ids import VarietyIds
from tendwork.planning.vocabulary import Template

_NOT_ASKED = ("not needed", SKIPPED)


class Against(Struct, frozen=True):
    """What speaks against work, in whole sentences, and the first day on which it does no more, where one knows."""

    words: str
    until: date | None


class WorkBars(HeldBack):
    """The bars in the words in which jobs are held back; unlike a job, it may be of a day that is over."""

    def __init__(self, records: Records, south: bool, today: date) -> None:
        super().__init__(records, south, today)
        self._records = records
        self._sprays_ever: dict[str, list[Spray]] = {}
        for spray in latest_sprays(records.sprays):
            self._sprays_ever.setdefault(spray.tree, []).append(spray)

    def fruit(self, tree: str, day: date) -> Against | None:
        """Why a tree's fruit must not be eaten on a day."""
        bar = self._sprayed(tree, day, HARVEST)
        return None if bar is None else Against(self._words.whole((bar,)), bar.until)

    def barred_fruit(self) -> dict[str, Against]:
        """Every graft that bears and whose fruit must not be eaten today, by its id."""
        trees = {tree: self.fruit(tree, self._today) for tree in self._sprays}
        bearing = (graft for graft in self._records.grafts if graft.state == "bearing" and is_of_a_variety(graft))
        return {graft.id: bar for graft in bearing if (bar := trees.get(graft.tree)) is not None}

    def against_giving(self, tree: str) -> str:
        """Why a tree must not give wood today: what was seen on it, or a spray; empty where nothing says so."""
        bar = self._source_bar(tree, self._today)
        return "" if bar is None else self._words.whole((bar,))

    def tree_name(self, tree: str) -> str:
        """What a tree is called."""
        return self._words.name(tree)

    def against_tasting(self, tasting: Tasting) -> str:
        """Why the fruit should not have been eaten, as sentences; empty where nothing says so."""
        graft = self._grafts.get(tasting.graft)
        bar = None if graft is None else self.fruit(graft.tree, tasting.day)
        return "" if bar is None else bar.words

    def against_setting(self, grafts: Iterable[Graft]) -> str:
        """Why these grafts should not be set on their day: their tree, or their wood; empty where nothing says so."""
        found = []
        for graft in grafts:
            day = day_known(graft.set_on)
            if graft.state == "set" and day is not None:
                found += [self._sprayed(graft.tree, day, RETURN), self._bundle_bar(graft.wood, day)]
        return self._words.whole(bar for bar in found if bar is not None)

    def _sprayed(self, tree: str, day: date, kind: SprayKind) -> Bar | None:
        """The spray that bars a tree on a day for the longest time."""
        bars = bars_on(self._sprays_ever.get(tree, ()), tree, day, kind)
        return Bar(bars[0], bars[0].until if bars[0].noted else None) if bars else None


def barred_on(records: Records, today: date, south: bool) -> dict[str, SickBar]:
    """The bundles that must not be used, by id, for what was seen on their tree."""
    return barred_wood(records, today, lambda day: season_of(day, south).start)


def wishes_on(records: Records, today: date, south: bool) -> tuple[Wish, ...]:
    """What wood is to come from others, as of a day, without what is not to be asked for this season, as was ticked."""
    ids, declined = VarietyIds(records), dict[str, date]()
    for tick in standing_ticks(records.ticks):
        season = season_of_tick(tick)
        is_now = season is not None and season >= season_of(today, south).name
        if template_of(tick) in ASK_FOR_WOOD and tick.outcome in _NOT_ASKED and is_now and tick.day <= today:
            declined[tick.unit] = tick.day
    for bundle in records.wood if declined else ():
        for unit in ids.all_of(bundle.species, bundle.variety) if bundle.answer == REFUSED else ():
            if bundle.asked_on is not None and bundle.asked_on >= declined.get(unit, today):
                declined.pop(unit, None)
    wishes = wood_wishes(records, today, lambda day: season_of(day, south).start)
    if not declined:
        return wishes
    return tuple(
        wish
        for wish in wishes
        if wish.state != TO_ASK_FOR or declined.keys().isdisjoint(ids.all_of(wish.species, wish.variety))
    )


class TickBars:
    """What spoke against work that ticks tell of, each on its own day, by the records as they are."""

    def __init__(self, records: Records, templates: Iterable[Template], south: bool) -> None:
        self._records = records
        self._south = south
        self._templates = by_any_id(templates)
        of_graft, ids = species_by_graft(records), VarietyIds(records)
        self._grown = species_grown(records)
        self._on: dict[date, HeldBack] = {}
        self._subjects: dict[tuple[str, str], Subject] = {}
        for tree in records.trees:
            self._add("tree", tree.id, tree.id, tree.species)
        for graft in records.grafts:
            species = of_graft.get(graft.id, "")
            self._add("graft", graft.id, graft.tree, species, graft.variety)
            for identity in ids.all_of(species, graft.variety):
                self._add("variety", identity, SITE, species, graft.variety)
        for bundle in records.wood:
            self._add("wood", bundle.id, SITE, bundle.species, bundle.variety)

    def against(self, tick: Tick) -> str:
        """Why what a tick tells of should not have been done, as sentences; empty where nothing says so."""
        template = self._templates.get(template_of(tick))
        if template is None or tick.undone or not (self._records.sprays or self._records.troubles):
            return ""
        subject = self._site(template) if template.each == SITE else self._subjects.get((template.each, tick.unit))
        if subject is None or subject.id != tick.unit:
            return ""
        if tick.day not in self._on:
            self._on[tick.day] = HeldBack(self._records, self._south, tick.day)
        return self._on[tick.day].against_work(template, subject, tick.outcome)

    def _add(self, each: str, identity: str, group: str, species: str, variety: str = "") -> None:
        self._subjects.setdefault((each, identity), _subject(identity, group, (species,), variety))

    def _site(self, template: Template) -> Subject:
        wanted = template.where.species
        grown = self._grown if wanted is None else self._grown.intersection(wanted)
        return _subject(SITE, SITE, tuple(sorted(grown)), "")


def _subject(identity: str, group: str, species: tuple[str, ...], variety: str) -> Subject:
    return Subject(identity, identity, group, group, "", species, {}, variety)
