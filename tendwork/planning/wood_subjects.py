"""The bundles of wood and the varieties that a template is about, with how far the asking for wood has come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from functools import cached_property

from msgspec.structs import replace

from tendwork.almanac.seasons import Season
from tendwork.orchard.known_since import both_known, first_known
from tendwork.orchard.methods import is_summer_bud
from tendwork.orchard.records import Wood
from tendwork.orchard.wood_wishes import REFUSED, Wish, wood_wishes
from tendwork.orchard.wording import counted
from tendwork.planning.conditions import Conditions, accepts
from tendwork.planning.crown_heights import crown_heights_m
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.record_events import wood_events
from tendwork.planning.subject import SITE, Subject
from tendwork.planning.vocabulary import Where
from tendwork.variety_names import Key, variety_key


class WoodSubjects:
    """The bundles and varieties of one orchard."""

    def __init__(self, orchard: Orchard, conditions: Conditions) -> None:
        self._orchard = orchard
        self._conditions = conditions

    def wood(self, where: Where, season: Season) -> Iterator[Subject]:
        """Each bundle that has sticks, and comes from where the conditions say; and what was ticked."""
        orchard = self._orchard
        wished = None if where.wood is None else {wish.bundle for wish in self._wishes if wish.state == where.wood}
        for bundle in orchard.records.wood:
            matches = bundle.sticks > 0 and (wished is None or bundle.id in wished)
            if accepts(where.species, bundle.species) and orchard.may_have_a_task(bundle.id, matches):
                asked = f", asked of {bundle.came_from}" if wished is not None and bundle.came_from else ""
                yield Subject(
                    bundle.id,
                    f"{self._told_apart(bundle)} ({counted(bundle.sticks, 'stick')}){asked}",
                    SITE,
                    "",
                    bundle.kept,
                    (bundle.species,),
                    wood_events(bundle, season),
                    bundle.variety,
                    bundle.variety,
                    matches=matches,
                    known_since=both_known((bundle.known_since,), orchard.today),
                )

    def to_send(self, subject: Subject) -> Subject:
        """A bundle with how many of its sticks go to whom."""
        bundle = next((bundle for bundle in self._orchard.records.wood if bundle.id == subject.id), None)
        if bundle is None or not bundle.promised_sticks or not bundle.promised_to:
            return subject
        goes = f"{bundle.promised_sticks} of {counted(bundle.sticks, 'stick')} to {bundle.promised_to}"
        return replace(subject, label=f"{self._told_apart(bundle)} ({goes})")

    def varieties(self, where: Where, season: Season) -> Iterator[Subject]:
        """Each variety that has grafts which meet the conditions, with how many; and what was ticked."""
        orchard = self._orchard
        keys, ids = orchard.variety_keys, orchard.variety_ids
        by_place = ids.by_place(where.species)
        wanted: dict[Key, tuple[str, str, int]] = {}
        known: dict[Key, list[date | None]] = {}
        fits = self._conditions.graft_fitting(where, season)
        wished = None if where.wood is None else self._wished(where)
        with_buds = where.method is not None
        for graft in orchard.records.grafts:
            if fits(graft) and (with_buds or graft.state != "planned" or not is_summer_bud(graft)):
                of = orchard.species[graft.id]
                key = keys.of(of, graft.variety)
                known.setdefault(key, []).append(orchard.known_since[graft.id])
                variety, species, count = wanted.get(key, (graft.variety, of, 0))
                wanted[key] = (min(variety, graft.variety), species, count + 1)
        for key, (variety, species, count) in sorted(wanted.items(), key=lambda item: item[1]):
            identity, *formerly = (*ids.all_of(species, variety), *by_place.get(key, ()))
            events = {"planned": season.start}
            cut = orchard.cut_of.get(key)
            if cut is not None and cut in season:
                events["cut"] = cut
            if wished is not None and (again := self._asked_again_from.get(key)) is not None:
                events[REFUSED] = again
            wishes = () if wished is None else wished.get(key, ())
            matches = wished is None or bool(wishes)
            if not any(orchard.may_have_a_task(one, matches) for one in (identity, *formerly)):
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
                highest_m=crown_heights_m(orchard, (species,))[1],  # nobody knows yet from which tree it is cut
                formerly=tuple(formerly),
                known_since=first_known(known[key], orchard.today),
            )

    @cached_property
    def _wishes(self) -> tuple[Wish, ...]:
        """What wood is to come from others."""
        return wood_wishes(self._orchard.records, self._orchard.today, self._orchard.season_start)

    @cached_property
    def _asked_again_from(self) -> dict[Key, date]:
        """The day after the last asking that was refused: what was ticked before is void."""
        keys, found = self._orchard.variety_keys, dict[Key, date]()
        for one in self._orchard.records.wood:
            if one.answer == REFUSED and one.asked_on is not None:
                key, again = keys.of(one.species, one.variety), one.asked_on + timedelta(days=1)
                found[key] = max(again, found.get(key, again))
        return found

    def _wished(self, where: Where) -> dict[Key, list[Wish]]:
        """The wishes of which the conditions speak."""
        keys, found = self._orchard.variety_keys, dict[Key, list[Wish]]()
        for wish in self._wishes:
            if wish.state == where.wood:
                found.setdefault(keys.of(wish.species, wish.variety), []).append(wish)
        return found

    def _told_apart(self, bundle: Wood) -> str:
        """The bundle's variety, with its species where there is wood of that name of another species too."""
        held = self._orchard.records.wood
        name = variety_key("", bundle.variety)
        others = any(variety_key("", other.variety) == name and other.species != bundle.species for other in held)
        return f"{bundle.variety}, {bundle.species}" if others else bundle.variety


def _wish_words(wishes: Iterable[Wish]) -> str:
    """ ": 2 sticks, of P. Hill"."""
    said = [f"{counted(wish.sticks, 'stick')}{f', of {wish.who}' if wish.who else ''}" for wish in wishes]
    return f": {'; '.join(said)}" if said else ""
