"""The bundles of wood and the varieties that a template is about, with how far the asking for wood has come."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import cached_property

from msgspec.structs import replace

from tendwork.almanac.seasons import Season
from tendwork.orchard.known_since import both_known, first_known
from tendwork.orchard.methods import is_summer_bud
from tendwork.orchard.records import REFUSED, Wood
from tendwork.orchard.tree_names import TreesByWord
from tendwork.orchard.wood_age import wood_age
from tendwork.orchard.wood_wishes import Wish, wood_wishes
from tendwork.orchard.wording import NOBODY_NOTED, counted, listed
from tendwork.planning.conditions import Conditions, accepts
from tendwork.planning.crown_heights import crown_heights_m
from tendwork.planning.cutting_list import Cutting, cutting_list
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.record_events import AGAIN, wood_events
from tendwork.planning.subject import SITE, Subject
from tendwork.planning.vocabulary import TO_CUT, Where, WoodNeed
from tendwork.variety_names import Key, variety_key


class WoodSubjects:
    """The bundles and varieties of one orchard."""

    def __init__(self, orchard: Orchard, conditions: Conditions) -> None:
        self._orchard = orchard
        self._conditions = conditions

    def wood(self, where: Where, _: Season) -> Iterator[Subject]:
        """Each bundle that has sticks, and comes from where the conditions say; and what was ticked."""
        orchard = self._orchard
        wished = self._bundles_wished(where)
        for bundle in orchard.records.wood:
            matches = bundle.sticks > 0 and (wished is None or bundle.id in wished)
            if accepts(where.species, bundle.species) and orchard.may_have_a_task(bundle.id, matches):
                is_asked = where.wood not in (None, TO_CUT) and bool(bundle.came_from)
                asked = f", asked of {bundle.came_from}" if is_asked else ""
                yield Subject(
                    bundle.id,
                    f"{self._told_apart(bundle)} ({counted(bundle.sticks, 'stick')}){asked}",
                    SITE,
                    "",
                    bundle.kept,
                    (bundle.species,),
                    wood_events(bundle),
                    bundle.variety,
                    bundle.variety,
                    matches=matches,
                    known_since=both_known((bundle.known_since,), orchard.today),
                )

    def to_send(self, subject: Subject) -> Subject:
        """A bundle with how many of its sticks go to whom."""
        bundle = self._bundles.get(subject.id)
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
        again_from = {} if where.wood is None else self._again_from(where.wood)
        with_buds = where.method is not None
        for graft in orchard.records.grafts:
            if fits(graft) and (with_buds or graft.state != "planned" or not is_summer_bud(graft)):
                of = orchard.species[graft.id]
                key = keys.of(of, graft.variety)
                known.setdefault(key, []).append(orchard.known_since[graft.id])
                variety, species, count = wanted.get(key, (graft.variety, of, 0))
                wanted[key] = (min(variety, graft.variety), species, count + 1)
        for key, lines in self._to_cut.items() if where.wood == TO_CUT else ():
            if accepts(where.species, key[0]) and key not in wanted:
                wanted[key] = (lines[0].variety, key[0], 0)
                known[key] = self._wood_known_since.get(key, [])
        highest_m = {of: crown_heights_m(orchard, (of,))[1] for of in {species for _, species, _ in wanted.values()}}
        for key, (variety, species, count) in sorted(wanted.items(), key=lambda item: item[1]):
            identity, *formerly = (*ids.all_of(species, variety), *by_place.get(key, ()))
            events = {"planned": season.start}
            cut, again = orchard.cut_of.get(key), again_from.get(key)
            if cut is not None and cut in season and (where.wood != TO_CUT or again is None):
                events["cut"] = cut
            if again is not None:
                events[AGAIN] = again
            wishes = () if wished is None else wished.get(key, ())
            matches = wished is None or bool(wishes)
            if not any(orchard.may_have_a_task(one, matches) for one in (identity, *formerly)):
                continue
            grafts = counted(count, species + " graft")
            is_there = where.state is not None and "planned" not in where.state
            label = f"{variety}, {grafts}" if is_there else f"{variety} for {grafts}" if count else variety
            yield Subject(
                identity,
                f"{label}{_wish_words(wishes)}",
                SITE,
                "",
                "",
                (species,),
                events,
                variety,
                variety,
                matches=matches,
                highest_m=highest_m[species],  # nobody knows yet from which tree it is cut
                formerly=tuple(formerly),
                known_since=first_known(known[key], orchard.today),
            )

    @cached_property
    def _wishes(self) -> tuple[Wish, ...]:
        """What wood is to come from others."""
        return wood_wishes(self._orchard.records, self._orchard.today, self._orchard.season_start)

    @cached_property
    def _to_cut(self) -> dict[Key, list[Cutting]]:
        """What is to be cut here, also where its trees are barred today; what no tree here has is asked for."""
        keys, found = self._orchard.variety_keys, dict[Key, list[Cutting]]()
        for line in cutting_list(self._orchard.records, self._orchard.today, self._orchard.south):
            if line.tree or line.barred:
                found.setdefault(keys.of(line.species, line.variety), []).append(line)
        return found

    @cached_property
    def _waiting(self) -> tuple[Wood, ...]:
        """The bundles that wait to be cut from a tree here."""
        own = TreesByWord(self._orchard.records.trees)
        return tuple(one for one in self._orchard.records.wood if one.cut_on is None and own.meant(one.came_from))

    def _bundles_wished(self, where: Where) -> set[str] | None:
        """The bundles of which the conditions speak, by id; None for all."""
        if where.wood == TO_CUT:
            return {bundle.id for bundle in self._waiting}
        return None if where.wood is None else {wish.bundle for wish in self._wishes if wish.state == where.wood}

    def _again_from(self, need: WoodNeed) -> dict[Key, date]:
        """The day after a variety was last cut, or an asking for it refused: what was ticked before is void.

        Wood that has faded is not cut once more.
        """
        keys, found = self._orchard.variety_keys, dict[Key, date]()
        for one in self._orchard.records.wood:
            is_good = wood_age(one, self._orchard.today).state in ("fresh", "fading")
            refused = one.asked_on if one.answer == REFUSED else None
            day = refused if need != TO_CUT else one.cut_on if is_good else None
            if day is not None:
                key, again = keys.of(one.species, one.variety), day + timedelta(days=1)
                found[key] = max(again, found.get(key, again))
        return found

    def _wished(self, where: Where) -> Mapping[Key, Sequence[Wish | Cutting]]:
        """The wishes, or the lines of the cutting list, of which the conditions speak."""
        if where.wood == TO_CUT:
            return self._to_cut
        keys, found = self._orchard.variety_keys, dict[Key, list[Wish]]()
        for wish in self._wishes:
            if wish.state == where.wood:
                found.setdefault(keys.of(wish.species, wish.variety), []).append(wish)
        return found

    def _told_apart(self, bundle: Wood) -> str:
        """The bundle's variety, with its species where there is wood of that name of another species too."""
        others = len(self._species_named[variety_key("", bundle.variety)]) > 1
        return f"{bundle.variety}, {bundle.species}" if others else bundle.variety

    @cached_property
    def _species_named(self) -> dict[Key, set[str]]:
        """Of which species there is wood, by the name of the variety alone."""
        found: dict[Key, set[str]] = {}
        for bundle in self._orchard.records.wood:
            found.setdefault(variety_key("", bundle.variety), set()).add(bundle.species)
        return found

    @cached_property
    def _wood_known_since(self) -> dict[Key, list[date | None]]:
        """Since when each bundle of a variety is known."""
        keys, found = self._orchard.variety_keys, dict[Key, list[date | None]]()
        for bundle in self._orchard.records.wood:
            found.setdefault(keys.of(bundle.species, bundle.variety), []).append(bundle.known_since)
        return found

    @cached_property
    def _bundles(self) -> dict[str, Wood]:
        return {bundle.id: bundle for bundle in self._orchard.records.wood}


def _wish_words(wishes: Iterable[Wish | Cutting]) -> str:
    """ ": 2 sticks, of P. Hill", or of what is to be cut here ": 3 sticks, of them 2 for Ida"."""
    said = []
    for wish in wishes:
        if isinstance(wish, Wish):
            more = f", of {wish.who}" if wish.who else ""
        else:
            gone = [f"{sticks} for {who or NOBODY_NOTED}" for who, sticks in wish.promised]
            more = f", of them {listed(gone)}" if gone else ""
        said.append(f"{counted(wish.sticks, 'stick')}{more}")
    return f": {'; '.join(said)}" if said else ""
