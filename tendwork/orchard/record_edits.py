"""The edits of trees, grafts, bundles of wood and tastings that a person may ask for, and why one may not be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

import msgspec

from tendwork.orchard.crown import CrownPlace, place_of
from tendwork.orchard.edits import Edit, Named, changes_of, checked, joined, refusal
from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.ids import id_like
from tendwork.orchard.known_since import entered
from tendwork.orchard.lives import passed_on
from tendwork.orchard.records import KIND_OF, Graft, Life, RecordKind, Records, Tasting, Tree
from tendwork.orchard.rough_dates import date_text
from tendwork.orchard.wording import counted, listed, named

_ONE: dict[RecordKind, str] = {"trees": "tree", "grafts": "graft", "wood": "bundle of wood"}


def add(records: Records, record: Named, today: date) -> Edit:
    """Add a tree, a graft or a bundle, known since today."""
    return checked(records, Edit(f"{_called(record)} added", changes_of(add=(entered(record, today),))), today)


def change(records: Records, record: Named, today: date) -> Edit:
    """Put a record in the place of the one with its id."""
    kind = KIND_OF[type(record)]
    if unknown := _unknown(records, kind, (record.id,)):
        return refusal(*unknown)
    return checked(records, Edit(f"{_called(record)} changed", changes_of(replace=(record,))), today)


def change_all(records: Records, kind: RecordKind, ids: Iterable[str], today: date, fields: Mapping[str, Any]) -> Edit:
    """Give fields the same values in several trees, grafts or bundles at once; an unknown id refuses all."""
    if kind == "grafts":
        return change_grafts(records, ids, today, **fields)
    wanted = tuple(dict.fromkeys(ids))
    if unknown := _unknown(records, kind, wanted):
        return refusal(*unknown)
    by_id = {record.id: record for record in getattr(records, kind)}
    edits = [change(records, msgspec.structs.replace(by_id[identity], **fields), today) for identity in wanted]
    edit = edits[0] if len(edits) == 1 else joined(edits, f"{_number_of(kind, edits)} changed")
    return checked(records, edit, today)


def change_grafts(records: Records, ids: Iterable[str], today: date, done: str = "changed", **fields: Any) -> Edit:
    """Give fields of Graft the same values in many grafts at once; an unknown id refuses all.

    `done` says what that is to the person.
    """
    wanted = tuple(dict.fromkeys(ids))
    if unknown := _unknown(records, "grafts", wanted):
        return refusal(*unknown)
    by_id = {graft.id: graft for graft in records.grafts}
    passed = [
        passed_on(records, by_id[identity], _changed(records, by_id[identity], fields), today, fields)
        for identity in wanted
    ]
    after = tuple(graft for graft, _ in passed)
    lives = tuple(life for _, life in passed if life is not None)
    words = f"{named(after[0]) if len(after) == 1 else counted(len(after), 'graft')} {done}{kept_words(lives)}"
    return checked(records, Edit(words, changes_of(replace=after, add=lives)), today)


def _changed(records: Records, graft: Graft, fields: Mapping[str, Any]) -> Graft:
    """A graft with other fields. One that is planned stays of its species on another tree.

    One that is set cannot move; it was noted on the wrong tree, and so was the species that was not typed.
    """
    after = msgspec.structs.replace(graft, **fields)
    trees = {tree.id: tree for tree in records.trees}
    if (
        after.tree == graft.tree
        or graft.state != "planned"
        or "species" in fields
        or not {graft.tree, after.tree} <= trees.keys()
    ):
        return after
    species = graft_species(graft, trees[graft.tree])
    return msgspec.structs.replace(after, species="" if species == trees[after.tree].species else species)


def move(records: Records, ids: Sequence[str], tree: str, today: date, told: Mapping[str, Any]) -> Edit:
    """Note that grafts stand on another tree, or that one stands at another place, of which some fields are `told`.

    On its own tree, what is not told of one graft's place stays; on another, it is not known any more.
    """
    if len(ids) > 1:
        return move_grafts(records, ids, tree, today)
    graft = next((graft for graft in records.grafts if graft.id == ids[0]), None)
    stays = graft is not None and tree in ("", graft.tree)
    place = msgspec.structs.replace(place_of(graft) if graft and stays else CrownPlace(), **told)
    return move_graft(records, ids[0], place, today, tree)


def move_graft(records: Records, identity: str, place: CrownPlace, today: date, tree: str = "") -> Edit:
    """Note another place for a graft, on its own tree or on another."""
    fields = {**msgspec.structs.asdict(place), **({"tree": tree} if tree else {})}
    return change_grafts(records, (identity,), today, **fields)


def move_grafts(records: Records, ids: Iterable[str], tree: str, today: date) -> Edit:
    """Note that grafts stand on another tree; where in its crown is not known any more.

    Jobs ticked under the old tree's task keys do not follow.
    """
    return change_grafts(records, ids, today, tree=tree, facing=None, height_m=None, out_m=None)


def split_graft(records: Records, identity: str, place: CrownPlace, today: date) -> Edit:
    """Record a second place of what was noted as one graft: the same in everything but id and place."""
    graft = next((graft for graft in records.grafts if graft.id == identity), None)
    if graft is None:
        return refusal(_not_there("grafts", identity))
    fields = {**msgspec.structs.asdict(place), "id": id_like(records, "grafts", identity)}
    second = msgspec.structs.replace(graft, **fields)
    return checked(records, Edit(f"{named(graft)} split, {second.id} added", changes_of(add=(second,))), today)


def split_bundle(records: Records, identity: str, sticks: int, today: date) -> Edit:
    """Put so many sticks of a bundle into a new one. Promises stay with the old one as far as its sticks go."""
    bundle = next((bundle for bundle in records.wood if bundle.id == identity), None)
    if bundle is None:
        return refusal(_not_there("wood", identity))
    if not 0 < sticks < bundle.sticks:
        least = f'Bundle "{identity}" has {counted(bundle.sticks, "stick")}: '
        return refusal(least + "split off at least one, and leave at least one.")
    left = bundle.sticks - sticks
    stays = min(bundle.promised_sticks, left)
    old = msgspec.structs.replace(bundle, sticks=left, promised_sticks=stays)
    goes = bundle.promised_sticks - stays
    new = msgspec.structs.replace(
        bundle,
        id=id_like(records, "wood", identity),
        sticks=sticks,
        promised_sticks=goes,
        promised_to=bundle.promised_to if goes else "",
    )
    words = f"{counted(sticks, 'stick')} of {identity} put into {new.id}"
    return checked(records, Edit(words, changes_of(replace=(old,), add=(new,))), today)


def remove(records: Records, record: Named) -> Edit:
    """Remove a tree, graft or bundle that nothing hangs on."""
    if unknown := _unknown(records, KIND_OF[type(record)], (record.id,)):
        return refusal(*unknown)
    return Edit(f"{_called(record)} removed", changes_of(remove=(record,)), _dependents(records, record))


def remove_all(records: Records, kind: RecordKind, ids: Iterable[str], today: date) -> Edit:
    """Remove trees, grafts or bundles that nothing hangs on; an unknown id, or one that is needed, refuses all."""
    wanted = tuple(dict.fromkeys(ids))
    if unknown := _unknown(records, kind, wanted):
        return refusal(*unknown)
    by_id = {record.id: record for record in getattr(records, kind)}
    edits = [remove(records, by_id[identity]) for identity in wanted]
    edit = edits[0] if len(edits) == 1 else joined(edits, f"{_number_of(kind, edits)} removed")
    return checked(records, edit, today)


def taste(records: Records, tasting: Tasting, today: date) -> Edit:
    """Record a tasting; a graft that had taken bears from then on."""
    graft = next((graft for graft in records.grafts if graft.id == tasting.graft), None)
    if graft is None:
        return refusal(_not_there("grafts", tasting.graft))
    if graft.state in ("planned", "failed"):
        return refusal(f'{named(graft)} is "{graft.state}", so it has no fruit: choose another graft.')
    bears = (msgspec.structs.replace(graft, state="bearing"),) if graft.state == "took" else ()
    return checked(records, Edit(f"{named(graft)} tasted", changes_of(replace=bears, add=(tasting,))), today)


def kept_words(lives: Iterable[Life]) -> str:
    """What goes on in the history of places that were given to another graft, as the end of a sentence."""
    kept = [f"{life.variety} of {'no known day' if life.set_on is None else date_text(life.set_on)}" for life in lives]
    return f"; kept in the history of its place: {listed(kept)}" if kept else ""


def _unknown(records: Records, kind: RecordKind, ids: Iterable[str]) -> tuple[str, ...]:
    there = {record.id for record in getattr(records, kind)}
    return tuple(_not_there(kind, identity) for identity in ids if identity not in there)


def _dependents(records: Records, record: Named) -> tuple[str, ...]:
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


def _called(record: Named) -> str:
    if isinstance(record, Tree):
        return f"{record.name} ({record.id})"
    return f"{record.variety} ({record.id})"


def _not_there(kind: RecordKind, identity: str) -> str:
    return f'There is no {_ONE[kind]} "{identity}". Choose one that is there.'


def _number_of(kind: RecordKind, edits: Sequence[Edit]) -> str:
    return counted(len(edits), _ONE[kind].split()[0])
