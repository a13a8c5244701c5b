"""What a person notes of a variety, as an edit: one record for each, made when something is noted first."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

import msgspec

from tendwork.orchard.edits import Edit, changes_of, checked, refusal
from tendwork.orchard.graft_species import GROWS, species_by_graft
from tendwork.orchard.records import Records, Sighting, Variety
from tendwork.orchard.sighting_edits import sighting_edit
from tendwork.orchard.varieties import VarietyBook
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.variety_reference import NO_REFERENCE, VarietyReference
from tendwork.orchard.variety_words import bloom_words
from tendwork.orchard.wording import listed

IN_BLOOM = "full bloom"


def note_variety(
    records: Records,
    species: str,
    name: str,
    fields: Mapping[str, Any],
    today: date,
    reference: VarietyReference = NO_REFERENCE,
) -> Edit:
    """Give these fields of the variety's record their values, under any of its names; one without any value goes.

    `fields` may hold another name or species for it; by the `reference` it is found under the names of lists, too.
    """
    before = VarietyBook(records, reference).record(species, name)
    after = msgspec.structs.replace(before or Variety(species, name), **fields)
    if after == before:
        return refusal("Nothing was changed.")
    is_bare = after == Variety(after.species, after.variety)
    if before is None and is_bare:
        return refusal(f"Note something of {after.variety}: a record without anything known is none.")
    done = "added" if before is None else "removed" if is_bare else "changed"
    words = f"{after.variety} ({after.species}): record {done}"
    if set(fields) == {"bloom"}:
        words = f"{after.variety}: {f'bloom {bloom_words(after.bloom)}' if after.bloom else 'no bloom group'}"
    changes = changes_of(() if before is None else (before,), (), () if is_bare else (after,))
    return checked(records, Edit(words, changes), today)


def remove_variety(records: Records, species: str, name: str, reference: VarietyReference = NO_REFERENCE) -> Edit:
    """Take the variety's record away; what lists say of it stays known."""
    held = VarietyBook(records, reference).record(species, name)
    if held is None:
        return refusal(f"There is no record of {name}.")
    return Edit(f"{held.variety} ({held.species}): record removed", changes_of((held,)))


def bloom_sighting(records: Records, species: str, name: str, day: date) -> Sighting | None:
    """A variety in full bloom, named by the note, on its tree where it has one alone; None where it grows nowhere."""
    species_of, keys = species_by_graft(records), variety_keys(records)
    wanted = keys.of(species, name)
    trees = dict.fromkeys(
        graft.tree
        for graft in records.grafts
        if graft.state in GROWS and species_of.get(graft.id) == species and keys.of(species, graft.variety) == wanted
    )
    if not trees:
        return None
    return Sighting(day, species, IN_BLOOM, next(iter(trees)) if len(trees) == 1 else "", name)


def note_in_bloom(records: Records, species: str, name: str, day: date) -> Edit:
    """Note that a variety is in full bloom, once a day."""
    seen = bloom_sighting(records, species, name, day)
    if seen is None:
        return refusal(f"No graft of {name} grows here yet, so it cannot be in bloom.")
    if seen in records.sightings:
        return refusal(f"{name} is noted in full bloom on {day.isoformat()} already.")
    edit = sighting_edit(records, seen)
    on = listed([tree.name for tree in records.trees if tree.id == seen.tree] or ["its trees"])
    return msgspec.structs.replace(edit, words=f"{name} seen in full bloom on {on}", told="")
