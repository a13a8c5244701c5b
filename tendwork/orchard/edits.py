"""A change of the records as a plain value: what is added, replaced and removed, in order, or why it cannot be.

Nothing is changed here. `applied` gives the records as an edit leaves them; the database makes the same edit in one
act that can be undone. Who shows it to a person first shows its words and its refusals.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

import msgspec
from msgspec import Struct

from tendwork.orchard.faults import faults
from tendwork.orchard.records import (
    KIND_OF,
    Graft,
    Record,
    Records,
    Tree,
    Wood,
)

Named = Tree | Graft | Wood
"""The records that have an id, and may be replaced."""


class Row(Struct, frozen=True):
    """Where a record stands or stood: the number of its row in the database, and how many of its kind are before it."""

    number: int
    before: int


class Add(Struct, frozen=True):
    """A record is added at the end of its kind, or put back into the `row` that it had."""

    record: Record
    row: Row | None = None


class Replace(Struct, frozen=True):
    """A record takes the place of the one with its id."""

    record: Named


class Remove(Struct, frozen=True):
    """A record goes: the one in this `row`, else the one with its id, else the newest that is equal to it."""

    record: Record
    row: Row | None = None


Change = Add | Replace | Remove


class Edit(Struct, frozen=True):
    """What an edit does, in words and in records. With any `refused` sentence it must not be made.

    `words` are what an undo will say that it undid, and `told` is what the person is told, where that is more. A tick
    stands before what follows from it, up to the next tick: with the tick, that is taken back too.
    """

    words: str
    changes: tuple[Change, ...] = ()
    refused: tuple[str, ...] = ()
    told: str = ""

    @property
    def sentence(self) -> str:
        """What the person is told that was done."""
        return self.told or f"{self.words}."

    @property
    def added(self) -> tuple[Record, ...]:
        """The records that it adds."""
        return tuple(change.record for change in self.changes if isinstance(change, Add))

    @property
    def replaced(self) -> tuple[Named, ...]:
        """The records that it puts in the place of others, as they then are."""
        return tuple(change.record for change in self.changes if isinstance(change, Replace))


def changes_of(
    remove: Iterable[Record] = (), replace: Iterable[Named] = (), add: Iterable[Record] = ()
) -> tuple[Change, ...]:
    """The changes that remove, replace and add these records, in this order."""
    return (*map(Remove, remove), *map(Replace, replace), *map(Add, add))


def refusal(*sentences: str) -> Edit:
    """An edit that cannot be made, for these reasons."""
    return Edit("", refused=sentences)


def applied(records: Records, edit: Edit) -> Records:
    """The records as the edit would leave them, whether refused or not."""
    return after_changes(records, edit.changes)


def after_changes(records: Records, changes: Sequence[Change]) -> Records:
    """The records as the changes leave them, one after the other."""
    by_kind: dict[str, list[Change]] = {}
    for change in changes:
        by_kind.setdefault(KIND_OF[type(change.record)], []).append(change)
    touched = {kind: _applied_to(getattr(records, kind), ours) for kind, ours in by_kind.items()}
    return msgspec.structs.replace(records, **touched)


class EditUnderWay:
    """An edit while it is made step by step: its changes up to now, and the records as these leave them."""

    def __init__(self, records: Records) -> None:
        self.records = records
        self.changes: list[Change] = []

    def make(self, *changes: Change) -> None:
        """Make more changes."""
        self.changes += changes
        self.records = after_changes(self.records, changes)


def checked(records: Records, edit: Edit, today: date) -> Edit:
    """The edit, refused by every fault that it would bring in; faults that were there before do not hinder it.

    One that is refused already stays so, for its own reasons.
    """
    if edit.refused:
        return edit
    before = set(faults(records, today))
    after = applied(records, edit)
    brought = dict.fromkeys(fault for fault in faults(after, today) if fault not in before)
    return msgspec.structs.replace(edit, refused=tuple(brought))


def joined(edits: Sequence[Edit], words: str) -> Edit:
    """Several edits as one, refused where one of them is; `words` say what they are together."""
    return Edit(
        words,
        tuple(change for edit in edits for change in edit.changes),
        tuple(dict.fromkeys(sentence for edit in edits for sentence in edit.refused)),
    )


def _applied_to(held: tuple[Record, ...], changes: Sequence[Change]) -> tuple[Record, ...]:
    if all(isinstance(change, Add) and change.row is None for change in changes):
        return (*held, *(change.record for change in changes))
    rows = _Rows(held)
    for change in changes:
        if isinstance(change, Add):
            rows.add(change.record, change.row)
        elif isinstance(change, Replace):
            rows.replace(change.record)
        else:
            rows.remove(change.record, change.row)
    return rows.left()


class _Rows:
    """The records of one kind while changes are made to them. A removed one leaves a gap until rows must be counted."""

    def __init__(self, held: Sequence[Record]) -> None:
        self._fill(held)

    def left(self) -> tuple[Record, ...]:
        return tuple(record for record in self._rows if record is not None)

    def add(self, record: Record, row: Row | None) -> None:
        if row is None:
            self._places.setdefault(_identity(record), []).append(len(self._rows))
            self._rows.append(record)
        else:
            left = self.left()
            self._fill((*left[: row.before], record, *left[row.before :]))

    def replace(self, record: Named) -> None:
        for place in self._places.get(record.id, ()):
            self._rows[place] = record

    def remove(self, record: Record, row: Row | None) -> None:
        if row is not None:
            left = self.left()
            self._fill((*left[: row.before], *left[row.before + 1 :]))
        elif places := self._places.get(_identity(record)):
            self._rows[places.pop()] = None

    def _fill(self, held: Sequence[Record]) -> None:
        self._rows: list[Record | None] = list(held)
        self._places: dict[object, list[int]] = {}
        for place, record in enumerate(held):
            self._places.setdefault(_identity(record), []).append(place)


def _identity(record: Record) -> object:
    """The id, or all of a record that has none."""
    return getattr(record, "id", record)
