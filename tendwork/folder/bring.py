"""What rows from a CSV file would change in the records: told before it is done, and done in one act."""

from __future__ import annotations

from collections import Counter
from datetime import date

import msgspec
from msgspec import Struct

from tendwork.errors import located
from tendwork.folder.csv_files import SHOWN_ROWS, CsvRows, refusal
from tendwork.folder.fields import KINDS
from tendwork.folder.transactions import Transaction
from tendwork.orchard.edits import Add, Change, Edit, Named, Remove, Replace
from tendwork.orchard.lives import passed_on
from tendwork.orchard.outcomes import trouble_after
from tendwork.orchard.records import Graft, Life, Record, Records, Spray, Tick, Trouble
from tendwork.orchard.standing_ticks import standing_ticks, template_of
from tendwork.orchard.tree_notes import completed, identity_of_note


class CsvDiff(Struct, frozen=True):
    """Records to add, pairs of record held and record to replace it, and how many rows change nothing.

    `lives` are those of places that the rows give to another graft, to be kept beside it; `signs` the signs of disease
    that new ticks note; `given` are the columns that the file has of a changed record, by its id; `again` are rows that
    tell more of a new record of the same file.
    """

    new: tuple[Record, ...] = ()
    changed: tuple[tuple[Record, Record], ...] = ()
    same: int = 0
    lives: tuple[Life, ...] = ()
    signs: dict[Tick, Trouble] = {}
    given: dict[str, tuple[str, ...]] = {}
    again: int = 0


def changes(rows: CsvRows, held: Records) -> CsvDiff:
    """Compare rows with the records held: by id where the kind has one, else by being equal. Nothing is ever removed.

    Of a record held already, only the columns that the file has change. Raises PersonError for rows that refer to a
    record that is not held.
    """
    _refuse_loose_rows(rows, held)
    holding = getattr(held, rows.kind)
    if KINDS[rows.kind].record in (Life, Trouble, Spray):
        return _changed_events(rows, holding)
    if not KINDS[rows.kind].has_id:
        left = Counter(holding)
        new = []
        for record in rows.records:
            if left[record] > 0:
                left[record] -= 1
            else:
                new.append(record)
        return CsvDiff(tuple(new), (), len(rows.records) - len(new))
    by_id = {record.id: record for record in holding}
    added, changed = [], []
    told: dict[str, tuple[str, ...]] = {}
    for record, given in zip(rows.records, rows.given, strict=True):
        before = by_id.get(record.id)  # type: ignore[union-attr]
        if before is None:
            added.append(record)
            continue
        after = msgspec.structs.replace(before, **{name: getattr(record, name) for name in given})
        if after != before:
            changed.append((before, after))
            told[before.id] = tuple(given)
    same = len(rows.records) - len(added) - len(changed)
    return CsvDiff(tuple(added), tuple(changed), same, given=told)


def identity_of(record: Record) -> object:
    """What makes two records the same one: the id; of earlier lives the place and the day; else all of it.

    Of signs and sprays it is the tree, the day, and what was seen or sprayed.
    """
    if isinstance(record, Life):
        return record.graft, record.set_on
    if isinstance(record, Trouble | Spray):
        return identity_of_note(record)
    return getattr(record, "id", record)


def _changed_events(rows: CsvRows, holding: tuple[Record, ...]) -> CsvDiff:
    """What has no id, but of which one that happened at the same place on the same day is the same one.

    What a row leaves empty of a sign or a spray stays: days to wait that are known are not forgotten, whether they
    are on file or stand in an earlier row.
    """
    exact, there = set(holding), {identity_of(record): record for record in holding}
    new: list[Record] = []
    noted: dict[object, int] = {}
    changed: dict[object, tuple[Record, Record]] = {}
    again = 0
    for record in rows.records:
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
    same = len(rows.records) - len(new) - len(changed) - again
    return CsvDiff(tuple(new), tuple(changed.values()), same, again=again)


def _completed(so_far: Record, told: Record) -> Record:
    """A sign or a spray with what a row tells of it; anything else as the row has it."""
    if isinstance(so_far, Trouble | Spray) and isinstance(told, Trouble | Spray):
        return completed(so_far, told)
    return told


def with_lives(found: CsvDiff, held: Records, today: date) -> CsvDiff:
    """The changes, with what they end kept: a row may give a place in a crown to another graft."""
    changed: list[tuple[Record, Record]] = []
    lives = []
    for before, after in found.changed:
        if isinstance(before, Graft) and isinstance(after, Graft):
            after, life = passed_on(held, before, after, today, found.given.get(before.id, ()))
            lives += [] if life is None else [life]
        changed.append((before, after))
    return msgspec.structs.replace(found, changed=tuple(changed), lives=tuple(lives))


def with_signs(found: CsvDiff, held: Records) -> CsvDiff:
    """The changes, with the signs of disease that their ticks note, where they are not noted yet."""
    new = [record for record in found.new if isinstance(record, Tick)]
    trees = {tree.id for tree in held.trees}
    signs: dict[Tick, Trouble] = {}
    for tick in standing_ticks((*held.ticks, *new)) if new else ():
        sign = trouble_after(template_of(tick), tick.unit, tick.outcome, tick.day)
        if sign is not None and tick in new and tick.unit in trees and sign not in (*held.troubles, *signs.values()):
            signs[tick] = sign
    return msgspec.structs.replace(found, signs=signs)


def bring(act: Transaction, found: CsvDiff) -> None:
    """Make the changes within an act. Raises PersonError."""
    act.apply(edit_of(found))


def edit_of(found: CsvDiff) -> Edit:
    """The changes as an edit: a sign of disease follows the tick that notes it; what has no id gives way to the new."""
    changes: list[Change] = []
    for record in (*found.new, *found.lives):
        changes.append(Add(record))
        if isinstance(record, Tick) and record in found.signs:
            changes.append(Add(found.signs[record]))
    for before, after in found.changed:
        changes += [Replace(after)] if isinstance(after, Named) else [Remove(before), Add(after)]
    return Edit("", tuple(changes))


def _refuse_loose_rows(rows: CsvRows, held: Records) -> None:
    faults = []
    for field in KINDS[rows.kind].fields:
        if not field.to:
            continue
        known = {record.id for record in getattr(held, field.to)}
        one = KINDS[field.to].one
        for record, line in zip(rows.records, rows.lines, strict=True):
            named = getattr(record, field.name)
            if named and named not in known:
                remedy = _id_meant(held, field.to, named) or f"Bring the {field.to} first."
                faults.append(
                    str(located(rows.file, f'there is no {one} "{named}"', line=line, key=field.column, remedy=remedy))
                )
    if faults:
        raise refusal(faults[:SHOWN_ROWS], len(faults))


def _id_meant(held: Records, kind: str, named: str) -> str:
    """What to write for a tree's name, or a graft's variety, that stands where its id belongs; empty for neither."""
    wanted = " ".join(named.split()).casefold()
    if kind == "trees":
        what, found = "a name", [(tree.id, tree.name) for tree in held.trees]
    else:
        what, found = "a variety", [(graft.id, graft.variety) for graft in held.grafts]
    ids = [identity for identity, name in found if " ".join(name.split()).casefold() == wanted]
    if len(ids) == 1:
        return f'"{named}" is {what}: write its id, {ids[0]}.'
    if ids:
        return f'"{named}" is {what} of {len(ids)} {kind}: write an id, {", ".join(ids)}.'
    by_capitals = [identity for identity, _ in found if identity.casefold() == wanted]
    return f"Its id is written {by_capitals[0]}." if len(by_capitals) == 1 else ""
