"""What records that are brought would change in those held, as plain values and as one edit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Sequence
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.bloom_notes import group_in_note, without_group
from tendwork.orchard.edits import Add, Change, Edit, Named, Remove, Replace
from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.lives import passed_on
from tendwork.orchard.outcomes import trouble_after
from tendwork.orchard.records import Graft, Life, Record, RecordKind, Records, Spray, Tick, Trouble, Variety
from tendwork.orchard.standing_ticks import layers_standing, places_ticked_again, template_of
from tendwork.orchard.tree_notes import completed, identity_of_note
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_words import bloom_fault, group_words
from tendwork.variety_names import Key, variety_key


class Brought(Struct, frozen=True):
    """Records to add, pairs of record held and record to replace it, and how many change nothing.

    `lives` are those of places that are given to another graft, to be kept beside it; `signs` the signs of disease
    that new ticks note, each by the place of its tick in `new`; `given` are the fields that are told of a changed
    record, by its id; `again` counts those that tell of a new record that is brought with them. `blooms` are the
    varieties whose bloom group the notes of grafts give, each with its record before, if any.
    """

    new: tuple[Record, ...] = ()
    changed: tuple[tuple[Record, Record], ...] = ()
    same: int = 0
    lives: tuple[Life, ...] = ()
    signs: dict[int, Trouble] = {}
    given: dict[str, tuple[str, ...]] = {}
    again: int = 0
    blooms: tuple[tuple[Variety | None, Variety], ...] = ()


def changes(held: Records, kind: RecordKind, told: Sequence[Record], given: Sequence[Collection[str]]) -> Brought:
    """Compare what is told of one kind with the records held: by id or name where there is one, else by being equal.

    `given` are the fields that each of them speaks about: of a record held already only these change. Nothing is ever
    removed.
    """
    holding = getattr(held, kind)
    if kind in ("lives", "troubles", "sprays"):
        return _changed_events(told, holding)
    by_id = {identity_of(record): record for record in holding if isinstance(record, Named | Variety)}
    equal = Counter(record for record in holding if not isinstance(record, Named | Variety))
    timed: dict[Record, Record] = {
        replace(tick, minutes=None): tick for tick in equal if isinstance(tick, Tick) and tick.minutes is not None
    }
    added: list[Record] = []
    changed: list[tuple[Record, Record]] = []
    given_by_id: dict[str, tuple[str, ...]] = {}
    told_again = places_ticked_again(told) if kind == "ticks" else set()
    again = 0
    for place, (record, names) in enumerate(zip(told, given, strict=True)):
        if not isinstance(record, Named | Variety):
            alike = record if equal[record] > 0 else timed.get(record, record)  # no minutes told are no other minutes
            if equal[alike] > 0:
                equal[alike] -= 1
            elif place in told_again:
                again += 1
            else:
                added.append(record)
            continue
        before = by_id.get(identity_of(record))
        if before is None:
            added.append(record)
            continue
        after = replace(before, **{name: getattr(record, name) for name in names})
        if after != before:
            changed.append((before, after))
            if isinstance(before, Named):
                given_by_id[before.id] = tuple(names)
    same = len(told) - len(added) - len(changed) - again
    return Brought(tuple(added), tuple(changed), same, given=given_by_id, again=again)


def identity_of(record: Record) -> object:
    """What makes two records the same one: the id; of earlier lives the place and the day; else all of it.

    Of signs and sprays it is the tree, the day, and what was seen or sprayed; of a variety its species and name.
    """
    if isinstance(record, Variety):
        return variety_key(record.species, record.variety)
    if isinstance(record, Life):
        return record.graft, record.set_on
    if isinstance(record, Trouble | Spray):
        return identity_of_note(record)
    return getattr(record, "id", record)


def _changed_events(told: Sequence[Record], holding: tuple[Record, ...]) -> Brought:
    """What has no id, but of which one that happened at the same place on the same day is the same one.

    What is not told of a sign or a spray stays: days to wait that are known are not forgotten, whether they are held
    or were told earlier.
    """
    exact, there = set(holding), {identity_of(record): record for record in holding}
    new: list[Record] = []
    noted: dict[object, int] = {}
    changed: dict[object, tuple[Record, Record]] = {}
    again = 0
    for record in told:
        identity = identity_of(record)
        before = there.get(identity)
        if before is None:
            if identity in noted:
                place, again = noted[identity], again + 1
                new[place] = _completed(new[place], record)
            else:
                if isinstance(record, Trouble | Spray):
                    noted[identity] = len(new)
                new.append(record)
        elif record not in exact or identity in changed:
            _, so_far = changed.pop(identity, (before, before))
            after = _completed(so_far, record)
            if after != before:
                changed[identity] = (before, after)
    same = len(told) - len(new) - len(changed) - again
    return Brought(tuple(new), tuple(changed.values()), same, again=again)


def _completed(so_far: Record, told: Record) -> Record:
    """A sign or a spray with what is told of it; anything else as it is told."""
    if isinstance(so_far, Trouble | Spray) and isinstance(told, Trouble | Spray):
        return completed(so_far, told)
    return told


def with_lives(found: Brought, held: Records, today: date) -> Brought:
    """The changes, with what they end kept: a place in a crown may be given to another graft."""
    changed: list[tuple[Record, Record]] = []
    lives = []
    for before, after in found.changed:
        if isinstance(before, Graft) and isinstance(after, Graft):
            after, life = passed_on(held, before, after, today, found.given.get(before.id, ()))
            lives += [] if life is None else [life]
        changed.append((before, after))
    return replace(found, changed=tuple(changed), lives=tuple(lives))


def with_signs(found: Brought, held: Records) -> Brought:
    """The changes, with the signs of disease that their ticks note, where they are not noted yet."""
    places = [place for place, record in enumerate(found.new) if isinstance(record, Tick)]
    ticks = (*held.ticks, *(record for record in found.new if isinstance(record, Tick)))
    trees = {tree.id for tree in held.trees}
    noted = set(held.troubles)
    signs: dict[int, Trouble] = {}
    for layer in layers_standing(ticks).values() if places else ():
        if not layer or layer[-1] < len(held.ticks):
            continue
        tick = ticks[layer[-1]]
        sign = trouble_after(template_of(tick), tick.unit, tick.outcome, tick.day)
        if sign is not None and tick.unit in trees and sign not in noted:
            noted.add(sign)
            signs[places[layer[-1] - len(held.ticks)]] = sign
    return replace(found, signs=signs)


def notes_without_groups(told: Sequence[Record]) -> tuple[Record, ...]:
    """The records, without the bloom groups that the notes of grafts gave before varieties had records."""
    return tuple(
        replace(one, note=without_group(one.note)) if isinstance(one, Graft) and _group_of(one) is not None else one
        for one in told
    )


def _group_of(graft: Graft) -> int | None:
    """The bloom group in its note, where there is one that a record may keep; else the note stays as it is."""
    group = group_in_note(graft.note)
    return None if group is None or bloom_fault(group_words(group)) else group


def with_blooms(found: Brought, held: Records, told: Sequence[Record]) -> Brought:
    """The changes, with the bloom groups that the notes of grafts give for varieties of which none is noted."""
    trees = {tree.id: tree for tree in held.trees}
    book = VarietyBook(held)
    blooms: dict[Key, tuple[Variety | None, Variety]] = {}
    for graft in told:
        group = _group_of(graft) if isinstance(graft, Graft) else None
        if isinstance(graft, Graft) and group is not None and graft.tree in trees:
            species = graft_species(graft, trees[graft.tree])
            before = book.record(species, graft.variety)
            if before is None or not before.bloom:
                new = before or Variety(species, graft.variety)
                blooms[variety_key(new.species, new.variety)] = before, replace(new, bloom=group_words(group))
    return replace(found, blooms=tuple(blooms.values()))


def edit_of(found: Brought) -> Edit:
    """The changes as an edit: a sign of disease follows the tick that notes it; what has no id gives way to the new."""
    changes: list[Change] = []
    for place, record in enumerate((*found.new, *found.lives)):
        changes.append(Add(record))
        if place in found.signs:
            changes.append(Add(found.signs[place]))
    for before, after in found.changed:
        changes += [Replace(after)] if isinstance(after, Named) else [Remove(before), Add(after)]
    for held, bloom in found.blooms:
        changes += [Add(bloom)] if held is None else [Remove(held), Add(bloom)]
    return Edit("", tuple(changes))
