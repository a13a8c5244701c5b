"""What is known of the place, by which a template that most do without is asked for: see `Template.unless_seen`."""

from __future__ import annotations

from datetime import date

from tendwork.almanac.temperature import normals_of_series
from tendwork.almanac.winters import DRY_COLD_WINTERS, Winter, winter_of
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.orchard.records import Records
from tendwork.orchard.troubles import signs_seen
from tendwork.workbench.plan_inputs import temperatures_of


def known_here(folder: OrchardFolder, records: Records, today: date) -> frozenset[str]:
    """The troubles ever noted here, and whether winters are dry or cold. Raises PersonError."""
    seen = signs_seen(records.troubles)
    return seen | {DRY_COLD_WINTERS} if winter_here(folder, today) == "dry-cold" else seen


def winter_here(folder: OrchardFolder, today: date) -> Winter:
    """As the person says it in site.toml, else by the normals there, else by the days on file. Raises PersonError."""
    site = folder.site
    if site.winter is not None:
        return site.winter
    if site.normals is not None:
        return winter_of(site.normals.minimum_c)
    series = temperatures_of(folder, today).series
    normals = None if series is None else normals_of_series(series)
    return winter_of(None if normals is None else normals.minimum_c)
