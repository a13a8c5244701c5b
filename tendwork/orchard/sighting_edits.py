"""A bud stage that was seen, as a record and as an edit."""

from __future__ import annotations

from datetime import date

from tendwork.errors import PersonError, did_you_mean
from tendwork.orchard.edits import Add, Edit
from tendwork.orchard.graft_species import species_on
from tendwork.orchard.records import Records, Sighting
from tendwork.species import SPECIES, STAGES, species_named, stage_named


def sighting_of(records: Records, species: str, stage: str, today: date, tree: str, note: str) -> Sighting:
    """A bud stage seen today, on the species or on one tree. Raises PersonError for what is not known."""
    known = species_named(species)
    if known is None:
        raise PersonError(f'"{species}" is not a species of this program. It knows {", ".join(SPECIES)}.')
    named = stage_named(known, stage)
    if named is None:
        names = [row[0] for row in STAGES[known]]
        hints = (f'"{stage}" is not a bud stage of {known}.', did_you_mean(stage, names))
        raise PersonError(" ".join((*filter(None, hints), f"Its stages are {', '.join(names)}.")))
    if tree:
        grown = {item.id: item for item in records.trees}
        if tree not in grown:
            raise PersonError(f'There is no tree "{tree}". `tendwork trees` lists them.')
        if known not in species_on(records, grown[tree]):
            raise PersonError(f'Tree "{tree}" is {grown[tree].species}, not {known}, and carries no graft of {known}.')
    return Sighting(today, known, named, tree, note)


def sighting_edit(records: Records, sighting: Sighting) -> Edit:
    """Record a bud stage that was seen."""
    name = next((tree.name for tree in records.trees if tree.id == sighting.tree), "")
    words = f"{sighting.species} seen at {sighting.stage}" + (f" on {name}" if sighting.tree else "")
    return Edit(words, (Add(sighting),), told=f"{words} on {sighting.day.isoformat()}.")
