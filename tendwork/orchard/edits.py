"""Edits that a screen may ask for, as plain values: what would be added, replaced and removed, or why it cannot be.

Nothing is changed here. A front shows the refusals, or hands the edit on to be made in one act that can be undone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import Any

import msgspec
from msgspec import Struct

from tendwork.orchard.crown import CrownPlace
from tendwork.orchard.faults import faults
from tendwork.orchard.lives import passed_on
from tendwork.orchard.records import Graft, Life, Records, Spray, Tasting, Tree, Trouble, Wood
from tendwork.orchard.wording import counted, listed, named

Held = Tree | Graft | Wood
KIND_OF: dict[type, str] = {
    Tree: "trees",
    Graft: "grafts",
    Wood: "wood",
    Tasting: "tastings",
    Life: "lives",
    Trouble: "troubles",
    Spray: "sprays",
}
_ONE = {"trees": "tree", "grafts": "graft", "wood": "bundle of wood"}


class Edit(Struct, frozen=True):
    """What an edit would do, in words and in records. With any `refused` sentence it must not be made."""

    words: str
    add: tuple[Held | Tasting | Life | Trouble | Spray, ...] = ()
    replace: tuple[Held, ...] = ()
    remove: tuple[Held | Trouble | Spray, ...] = ()
    refused: tuple[str, ...] = ()


def applied(records: Records, edit: Edit) -> Records:
    """The records as the edit would leave them, whether refused or not."""
    fields = {}
    for kind in KIND_OF.values():
        held = getattr(records, kind)
        replaced = {record.id: record for record in edit.replace if KIND_OF[type(record)] == kind}
        gone = {_identity(record) for record in edit.remove if KIND_OF[type(record)] == kind}
        if replaced or gone:
            held = tuple(replaced.get(_identity(record), record) for record in held if _identity(record) not in gone)
        fields[kind] = (*held, *(record for record in edit.add if KIND_OF[type(record)] == kind))
    return msgspec.structs.replace(records, **fields)


def next_id(held: Iterable[Held], prefix: str) -> str:
    """The next free id of the form prefix and number, after the largest in use and as wide as it: g61 after g60."""
    numbers = [found.group(1) for record in held if (found := re.fullmatch(re.escape(prefix) + r"(\d+)", record.id))]
    if not numbers:
        return f"{prefix}1"
    largest = max(numbers, key=int)
    return f"{prefix}{int(largest) + 1:0{len(largest)}d}"


def add(records: Records, record: Held, today: date) -> Edit:
    """Add a tree, a graft or a bundle."""
    return checked(records, Edit(f"{_called(record)} added", add=(record,)), today)


def change(records: Records, record: Held, today: date) -> Edit:
    """Put a record in the place of the one with its id."""
    kind = KIND_OF[type(record)]
    if loose := _loose(records, kind, (record.id,)):
        return Edit("", refused=loose)
    return checked(records, Edit(f"{_called(record)} changed", replace=(record,)), today)


def change_grafts(records: Records, ids: Iterable[str], today: date, done: str = "changed", **fields: Any) -> Edit:
    """Give fields of Graft the same values in many grafts at once; an unknown id refuses all.

    `done` says what that is to the person.
    """
    wanted = tuple(dict.fromkeys(ids))
    if loose := _loose(records, "grafts", wanted):
        return Edit("", refused=loose)
    by_id = {graft.id: graft for graft in records.grafts}
    passed = [
        passed_on(records, by_id[identity], msgspec.structs.replace(by_id[identity], **fields), today, fields)
        for identity in wanted
    ]
    after = tuple(graft for graft, _ in passed)
    lives = tuple(life for _, life in passed if life is not None)
    words = f"{named(after[0]) if len(after) == 1 else counted(len(after), 'graft')} {done}{kept_words(lives)}"
    return checked(records, Edit(words, add=lives, replace=after), today)


def move_graft(records: Records, identity: str, place: CrownPlace, today: date, tree: str = "") -> Edit:
    """Note another place for a graft, on its own tree or on another."""
    fields = {**msgspec.structs.asdict(place), **({"tree": tree} if tree else {})}
    return change_grafts(records, (identity,), today, **fields)


def move_grafts(records: Records, ids: Iterable[str], tree: str, today: date) -> Edit:
    """Note that grafts stand on another tree; where in its crown is not known any more.

    Jobs ticked under the old tree's task keys do not follow.
    """
    return change_grafts(records, ids, today, tree=tree, bearing=None, height_m=None, out_m=None)


def split_graft(records: Records, identity: str, place: CrownPlace, today: date) -> Edit:
    """Record a second place of what was noted as one graft: the same in everything but id and place."""
    graft = next((graft for graft in records.grafts if graft.id == identity), None)
    if graft is None:
        return Edit("", refused=(_not_there("grafts", identity),))
    prefix = re.sub(r"\d+$", "", identity) or "g"
    fields = {**msgspec.structs.asdict(place), "id": next_id(records.grafts, prefix)}
    second = msgspec.structs.replace(graft, **fields)
    return checked(records, Edit(f"{named(graft)} split, {second.id} added", add=(second,)), today)


def split_bundle(records: Records, identity: str, sticks: int, today: date) -> Edit:
    """Put so many sticks of a bundle into a new one. Promises stay with the old one as far as its sticks go."""
    bundle = next((bundle for bundle in records.wood if bundle.id == identity), None)
    if bundle is None:
        return Edit("", refused=(_not_there("wood", identity),))
    if not 0 < sticks < bundle.sticks:
        least = f'Bundle "{identity}" has {counted(bundle.sticks, "stick")}: '
        return Edit("", refused=(least + "split off at least one, and leave at least one.",))
    left = bundle.sticks - sticks
    stays = min(bundle.promised_sticks, left)
    prefix = re.sub(r"\d+$", "", identity) or "w"
    old = msgspec.structs.replace(bundle, sticks=left, promised_sticks=stays)
    goes = bundle.promised_sticks - stays
    new = msgspec.structs.replace(
        bundle,
        id=next_id(records.wood, prefix),
        sticks=sticks,
        promised_sticks=goes,
        promised_to=bundle.promised_to if goes else "",
    )
    words = f"{counted(sticks, 'stick')} of {identity} put into {new.id}"
    return checked(records, Edit(words, add=(new,), replace=(old,)), today)


def remove(records: Records, record: Held) -> Edit:
    """Remove a tree, graft or bundle that nothing hangs on."""
    if loose := _loose(records, KIND_OF[type(record)], (record.id,)):
        return Edit("", refused=loose)
    return Edit(f"{_called(record)} removed", remove=(record,), refused=_dependents(records, record))


def taste(records: Records, tasting: Tasting, today: date) -> Edit:
    """Record a tasting; a graft that had taken bears from then on."""
    graft = next((graft for graft in records.grafts if graft.id == tasting.graft), None)
    if graft is None:
        return Edit("", refused=(_not_there("grafts", tasting.graft),))
    if graft.state in ("planned", "failed"):
        return Edit("", refused=(f'{named(graft)} is "{graft.state}", so it has no fruit: choose another graft.',))
    bears = (msgspec.structs.replace(graft, state="bearing"),) if graft.state == "took" else ()
    return checked(records, Edit(f"{named(graft)} tasted", add=(tasting,), replace=bears), today)


def kept_words(lives: Iterable[Life]) -> str:
    """What goes on in the history of places that were given to another graft, as the end of a sentence."""
    kept = [f"{life.variety} of {life.set_on}" for life in lives]
    return f"; kept in the history of its place: {listed(kept)}" if kept else ""


def _identity(record: Any) -> Any:
    """The id, or all of a record that has none."""
    return getattr(record, "id", record)


def _loose(records: Records, kind: str, ids: Iterable[str]) -> tuple[str, ...]:
    there = {record.id for record in getattr(records, kind)}
    return tuple(_not_there(kind, identity) for identity in ids if identity not in there)


def checked(records: Records, edit: Edit, today: date) -> Edit:
    """The edit, refused by every fault that it would bring in; faults that were there before do not hinder it."""
    before = set(faults(records, today))
    brought = tuple(fault for fault in faults(applied(records, edit), today) if fault not in before)
    return msgspec.structs.replace(edit, refused=tuple(dict.fromkeys(brought)))


def _dependents(records: Records, record: Held) -> tuple[str, ...]:
    refused = []
    if isinstance(record, Tree):
        carried = [named(graft) for graft in records.grafts if graft.tree == record.id]
        seen = sum(sighting.tree == record.id for sighting in records.sightings)
        if carried:
            shown = listed(carried if len(carried) <= 3 else [*carried[:3], f"{len(carried) - 3} more"])
            refused.append(f"{record.name} carries {shown}. Move or remove its grafts first.")
        if seen:
            refused.append(f"{record.name} has {counted(seen, 'sighting')} of its buds. Remove them first.")
        if noted := _notes_on(records, record.id):
            refused.append(
                f"{record.name} has {noted} noted. If that was a mistake, take it away first:"
                " `tendwork trouble` and `tendwork spray` do so with --wrong."
            )
    if isinstance(record, Graft):
        tasted = sum(tasting.graft == record.id for tasting in records.tastings)
        lived = sum(life.graft == record.id for life in records.lives)
        if lived:
            refused.append(
                f'{named(record)} has {counted(lived, "earlier graft")} in its history. Give it the state "removed"'
                " instead, so that the history is kept."
            )
        if tasted:
            refused.append(
                f'{named(record)} has {counted(tasted, "tasting")}. Give it the state "removed" instead,'
                " so that its history is kept."
            )
    return tuple(refused)


def _notes_on(records: Records, tree: str) -> str:
    """ "1 sign of disease and 2 sprays" of a tree; empty if there are none."""
    signs = sum(trouble.tree == tree for trouble in records.troubles)
    sprays = sum(spray.tree == tree for spray in records.sprays)
    held = [f"{counted(signs, 'sign')} of disease"] if signs else []
    held += [counted(sprays, "spray")] if sprays else []
    return listed(held) if held else ""


def _called(record: Held) -> str:
    if isinstance(record, Tree):
        return f"{record.name} ({record.id})"
    return f"{record.variety} ({record.id})"


def _not_there(kind: str, identity: str) -> str:
    return f'There is no {_ONE[kind]} "{identity}". Choose one that is there.'
