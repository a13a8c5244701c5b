"""What cannot be true of records taken together, as sentences that say what to do. One check for every way in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from msgspec import Struct

from tendwork.orchard.records import (
    KIND_OF,
    REFUSED,
    Graft,
    Life,
    Record,
    RecordKind,
    Records,
    Spray,
    Tree,
    Trouble,
    Wood,
)
from tendwork.orchard.rough_dates import Noted, date_text, day_known, first_day, last_day, when_words
from tendwork.variety_names import variety_key

_NEEDS_A_DAY = ("set", "took", "failed")
_DATED = (
    ("sightings", "sighting"),
    ("ticks", "tick"),
    ("tastings", "tasting"),
    ("troubles", "sign of disease"),
    ("sprays", "spray"),
)


class Fault(Struct, frozen=True):
    """One fault: the `record` and the `field` of it that are wrong, and the sentence that says so."""

    record: Record
    field: str
    words: str

    @property
    def kind(self) -> RecordKind:
        return KIND_OF[type(self.record)]


def faults(records: Records, today: date) -> tuple[str, ...]:
    """The sentence of every fault; empty for sound records. See `faults_found`."""
    return tuple(fault.words for fault in faults_found(records, today))


def faults_found(records: Records, today: date) -> tuple[Fault, ...]:
    """Ids that stand twice, references to nothing, days in the future, and lives in an order that cannot be.

    Old trees' grafts may bear or be gone without a known day of setting; what is set, took or failed needs one.
    """
    return (
        *_twice(records),
        *_loose(records),
        *_future(records, today),
        *_impossible_lives(records),
        *impossible_asking(records),
        *_overlapping_lives(records),
    )


def _twice(records: Records) -> Iterator[Fault]:
    for kind, one in (("trees", "tree"), ("grafts", "graft"), ("wood", "bundle")):
        held: tuple[Tree | Graft | Wood, ...] = getattr(records, kind)
        seen: set[str] = set()
        for record in held:
            if record.id in seen:
                yield Fault(record, "id", f'There is already a {one} "{record.id}". Choose another id.')
            seen.add(record.id)
    varieties: set[tuple[str, str]] = set()
    for variety in records.varieties:
        key = variety_key(variety.species, variety.variety)
        if key in varieties:
            words = f'There is already a record of the {variety.species} "{variety.variety}". Change that one instead.'
            yield Fault(variety, "variety", words)
        varieties.add(key)


def _loose(records: Records) -> Iterator[Fault]:
    trees = {tree.id for tree in records.trees}
    grafts = {graft.id for graft in records.grafts}
    for graft in records.grafts:
        if graft.tree not in trees:
            words = (
                f'Graft {_called(graft)} is on tree "{graft.tree}", which is not there. Add the tree, or name another.'
            )
            yield Fault(graft, "tree", words)
    for sighting in records.sightings:
        if sighting.tree and sighting.tree not in trees:
            words = (
                f'The sighting of {sighting.day} is on tree "{sighting.tree}", which is not there. Add the tree first.'
            )
            yield Fault(sighting, "tree", words)
    noted: tuple[Trouble | Spray, ...] = (*records.troubles, *records.sprays)
    for one in noted:
        if one.tree not in trees:
            what = "sign of disease" if isinstance(one, Trouble) else "spray"
            words = f'The {what} of {one.day} is on tree "{one.tree}", which is not there. Add the tree first.'
            yield Fault(one, "tree", words)
    for tasting in records.tastings:
        if tasting.graft not in grafts:
            words = (
                f'The tasting of {tasting.day} is of graft "{tasting.graft}", which is not there. Add the graft first.'
            )
            yield Fault(tasting, "graft", words)
    for life in records.lives:
        if life.graft not in grafts:
            words = f'The earlier life is of graft "{life.graft}", which is not there. Add the graft first.'
            yield Fault(life, "graft", words)


def _future(records: Records, today: date) -> Iterator[Fault]:
    def late(day: Noted | None) -> bool:
        return day is not None and first_day(day) > today

    for tree in records.trees:
        if tree.planted is not None and tree.planted > today.year:
            words = f'Tree "{tree.id}" is planted in {tree.planted}, which is in the future. Mend the year.'
            yield Fault(tree, "planted", words)
        if tree.crown_since is not None and tree.crown_since > today.year:
            words = f'Tree "{tree.id}" has its crown since {tree.crown_since}, which is in the future. Mend the year.'
            yield Fault(tree, "crown_since", words)
    for graft in records.grafts:
        if late(graft.set_on):
            when = when_words(graft.set_on)
            words = f"Graft {_called(graft)} is set {when}, in the future. Mend the date, or plan it without."
            yield Fault(graft, "set_on", words)
    for bundle in records.wood:
        if late(bundle.cut_on):
            words = (
                f'Bundle "{bundle.id}" is cut on {bundle.cut_on}, in the future.'
                " Mend the date, or leave it out until the wood is cut."
            )
            yield Fault(bundle, "cut_on", words)
        if late(bundle.asked_on):
            words = f'Bundle "{bundle.id}" was asked for on {bundle.asked_on}, in the future. Mend the date.'
            yield Fault(bundle, "asked_on", words)
    set_on = {graft.id: graft.set_on for graft in records.grafts}
    for life in records.lives:
        if late(life.set_on):
            words = f"The earlier life of {life.graft} is set {when_words(life.set_on)}, in the future. Mend the date."
            yield Fault(life, "set_on", words)
        if late(life.ended_on) and life.ended_on != set_on.get(life.graft):
            words = f"The earlier life of {life.graft} ends {when_words(life.ended_on)}, in the future. Mend the date."
            yield Fault(life, "ended_on", words)
    for kind, what in _DATED:
        for record in getattr(records, kind):
            if late(record.day):
                words = f"The {what} of {record.day} is in the future. Mend the date."
                yield Fault(record, "day", words)


def _impossible_lives(records: Records) -> Iterator[Fault]:
    bundles = {bundle.id: bundle for bundle in records.wood}
    for graft in records.grafts:
        if graft.state in _NEEDS_A_DAY and graft.set_on is None:
            words = f'Graft {_called(graft)} is "{graft.state}" but was never set. Give the day on which it was set.'
            yield Fault(graft, "set_on", words)
        bundle = bundles.get(graft.wood)
        if bundle is None or graft.set_on is None:
            continue
        if bundle.cut_on is None:
            words = (
                f'Graft {_called(graft)} was set from bundle "{bundle.id}", which is not cut yet.'
                " Give the day on which the wood was cut, or name other wood."
            )
            yield Fault(graft, "wood", words)
        elif last_day(graft.set_on) < bundle.cut_on:
            words = (
                f'Graft {_called(graft)} was set {when_words(graft.set_on)}, before its wood "{bundle.id}" was cut on'
                f" {bundle.cut_on}. Mend one of the two dates, or name other wood."
            )
            yield Fault(graft, "set_on", words)


def impossible_asking(records: Records) -> Iterator[Fault]:
    """Wood that was cut before anybody was asked for it, or though they refused."""
    for bundle in records.wood:
        if bundle.cut_on is None:
            continue
        if bundle.asked_on is not None and bundle.asked_on > bundle.cut_on:
            words = (
                f'Bundle "{bundle.id}" was asked for on {bundle.asked_on}, after it was cut on {bundle.cut_on}.'
                " Mend one of the two dates."
            )
            yield Fault(bundle, "asked_on", words)
        if bundle.answer == REFUSED:
            words = (
                f'Bundle "{bundle.id}" was refused, and yet cut on {bundle.cut_on}.'
                " Empty the answer if the wood came, or the day if it did not."
            )
            yield Fault(bundle, "answer", words)


def _overlapping_lives(records: Records) -> Iterator[Fault]:
    """One graft at a time stands at a place: each life ends before the next begins."""
    lives: dict[str, list[Life]] = {}
    for life in records.lives:
        lives.setdefault(life.graft, []).append(life)
        if life.set_on is not None and life.ended_on is not None and last_day(life.ended_on) < first_day(life.set_on):
            words = (
                f"The earlier life of {life.graft} ({life.variety}) ended {when_words(life.ended_on)}, before it"
                f" was set {when_words(life.set_on)}. Mend one of the two days."
            )
            yield Fault(life, "ended_on", words)
    present = {graft.id: graft for graft in records.grafts if graft.id in lives}
    for place, held in lives.items():
        begun_now = present[place].set_on if place in present and present[place].state != "planned" else None
        for life in held:
            if (
                life.set_on is None
                and life.ended_on is not None
                and begun_now is not None
                and last_day(begun_now) < first_day(life.ended_on)
            ):
                words = (
                    f"Two grafts at {place}: {life.variety} stood there until {date_text(life.ended_on)}, but"
                    f" {present[place].variety} was set there {when_words(begun_now)}. Mend one of the days."
                )
                yield Fault(life, "ended_on", words)
        dated = sorted(
            (life for life in held if life.set_on is not None),
            key=lambda life: first_day(life.set_on) if life.set_on else date.min,
        )
        begins = [(life.set_on, life.variety) for life in dated[1:]]
        if place in present and present[place].state != "planned":
            begins.append((present[place].set_on, present[place].variety))
        for life, (begun, variety) in zip(dated, begins, strict=False):
            last = life.ended_on or life.set_on
            if (
                begun is not None
                and last is not None
                and (last_day(begun) < first_day(last) or (begun == life.set_on and day_known(begun)))
            ):
                words = (
                    f"Two grafts at {place}: {life.variety} stood there until {date_text(last)}, but {variety} was set"
                    f" there {when_words(begun)}. Mend one of the days."
                )
                yield Fault(life, "ended_on", words)


def _called(graft: Graft) -> str:
    return f'{graft.id} "{graft.variety}"'
