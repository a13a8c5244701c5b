"""Sightings and usual dates compared with the almanac of the folder.

Sightings before one is recorded, as many come in, and in the check; usual dates in the check.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import TYPE_CHECKING

import msgspec

from tendwork.almanac.seasons import season_of
from tendwork.errors import PersonError, located
from tendwork.folder.adjustments import read_adjustments
from tendwork.folder.files import read_text
from tendwork.folder.site import SITE_FILE, usual_date_path
from tendwork.folder.toml_text import key_words, line_of
from tendwork.orchard.records import Records, Sighting
from tendwork.planning.doubts import doubts, order_doubt, range_doubt, season_of_sighting, stage_of
from tendwork.planning.usual_date_doubts import usual_date_doubt
from tendwork.workbench.plan_inputs import place_of, seen_of, temperatures_of

if TYPE_CHECKING:
    from tendwork.almanac.almanac import Almanac
    from tendwork.almanac.results import StageDate
    from tendwork.folder.orchard_folder import OrchardFolder
    from tendwork.workbench.plan_making import AlmanacCache


def doubt_of(
    folder: OrchardFolder, almanac_cache: AlmanacCache, records: Records, sighting: Sighting, today: date
) -> str:
    """What speaks against a sighting that is not recorded yet, as a sentence; empty where nothing does."""
    south = folder.site.south
    said = order_doubt(sighting, records.sightings, south)
    if not said:
        try:
            almanac = _almanac(folder, almanac_cache, records, today)
        except PersonError:  # files that cannot be read are named wherever a plan is asked for
            return ""
        (seen,) = seen_of(Records(grafts=records.grafts, sightings=(sighting,)))
        said = range_doubt(sighting.day, _foreseen(almanac, sighting, seen.variety, south))
    return f"{_what(sighting)}: {said}." if said else ""


def doubtful_words(
    folder: OrchardFolder,
    records: Records,
    today: date,
    only: Collection[Sighting] | None = None,
) -> tuple[str, ...]:
    """A sentence for each sighting of these records, or for `only` some of them, that something speaks against."""
    from tendwork.workbench.plan_making import AlmanacCache

    wanted = records.sightings if only is None else only
    if not wanted:
        return ()
    south, unread = folder.site.south, []
    foreseen: dict[Sighting, StageDate | None] = {}
    try:
        almanac = _almanac(folder, AlmanacCache(folder), records, today)
        for sighting, seen in zip(records.sightings, seen_of(records), strict=True):
            if only is None or sighting in only:
                foreseen[sighting] = _foreseen(almanac, sighting, seen.variety, south)
    except PersonError as error:
        unread = [f"The sightings are not compared with the almanac: {error}"]
    found = doubts(records.sightings, foreseen, south)
    doubtful = [f"Look again at the sighting {_what(one)}: {found[one]}." for one in wanted if one in found]
    return (*unread, *doubtful)


def usual_date_words(folder: OrchardFolder, records: Records, today: date) -> tuple[str, ...]:
    """A sentence for each usual date of site.toml that something speaks against. Raises PersonError."""
    from tendwork.almanac.almanac import Almanac

    place = place_of(folder.site, read_adjustments(folder.adjustments_path).site)
    if not place.usual_dates:
        return ()
    text = read_text(folder.path / SITE_FILE)
    without = msgspec.structs.replace(place, usual_dates=())
    almanac = Almanac(without, temperatures_of(folder, today).series, seen_of(records), today)
    season = season_of(today, place.south).following
    found = []
    for usual in place.usual_dates:
        foreseen = almanac.unseen(usual.species, usual.stage, season)
        odd, remedy = usual_date_doubt(usual, place.usual_dates, foreseen, season)
        if odd:
            path = usual_date_path(text, usual.species, usual.stage)
            found.append(str(located(SITE_FILE, odd, line=line_of(text, path), key=key_words(path), remedy=remedy)))
    return tuple(found)


def _almanac(folder: OrchardFolder, almanac_cache: AlmanacCache, records: Records, today: date) -> Almanac:
    return almanac_cache.cached(records, read_adjustments(folder.adjustments_path).site, today).almanac


def _foreseen(almanac: Almanac, sighting: Sighting, variety: str, south: bool) -> StageDate | None:
    stage, season = stage_of(sighting), season_of_sighting(sighting, south)
    return None if stage is None or season is None else almanac.unseen(sighting.species, stage, season, variety)


def _what(sighting: Sighting) -> str:
    where = f" on tree {sighting.tree}" if sighting.tree else ""
    return f'{sighting.species} at "{sighting.stage}"{where} on {sighting.day}'
