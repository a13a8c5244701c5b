"""One reckoning: from the folder's files and records through the almanac to the plan."""

from __future__ import annotations

from datetime import date

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.seasons import season_of
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.templates import LoadedTemplates
from tendwork.inputs import ground_of, place_of, seen_of, temperatures_of
from tendwork.kept import Reckoned, SpeciesStages
from tendwork.orchard.records import Records
from tendwork.planning.adjustments import Adjustments, adjusted
from tendwork.planning.planner import plan
from tendwork.species import SPECIES


def reckon(
    folder: OrchardFolder, templates: LoadedTemplates, adjustments: Adjustments, today: date, token: str
) -> Reckoned:
    """Plan the season as of `today`. Raises PersonError where a temperature file must be mended."""
    records = folder.records.read()
    almanac, words = almanac_of(folder, records, adjustments, today)
    ground = ground_of(folder.site)
    season = season_of(today, ground.south)
    made = plan(ground, records, almanac, adjusted(templates.templates, adjustments), today)
    species = species_of(records)
    stages = tuple(SpeciesStages(name, almanac.stages(name, season)) for name in species)
    frost = almanac.frost_nights(list(species))
    return Reckoned(token, made, stages, frost, (*words, *almanac.warnings()))


def almanac_of(
    folder: OrchardFolder, records: Records, adjustments: Adjustments, today: date
) -> tuple[Almanac, tuple[str, ...]]:
    """The almanac of the place, and words about the temperatures behind it. Raises PersonError."""
    held = temperatures_of(folder, today)
    almanac = Almanac(place_of(folder.site, adjustments.site), held.series, seen_of(records), today)
    return almanac, held.words


def species_of(records: Records) -> tuple[str, ...]:
    """The species in the orchard in their fixed order; all ten while it has no tree."""
    grown = {tree.species for tree in records.trees}
    return tuple(name for name in SPECIES if name in grown) or SPECIES
