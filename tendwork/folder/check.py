"""Everything that is wrong in an orchard folder, in one go, for the person who asks."""

from __future__ import annotations

from pathlib import Path

from tendwork.errors import PersonError
from tendwork.folder.adjustments import check_adjustments
from tendwork.folder.files import read_text
from tendwork.folder.orchard_folder import OrchardFolder, refuse_unless_readable
from tendwork.folder.site import SITE_FILE, Site, TemperatureSource, check_site
from tendwork.folder.strays import stray_copies
from tendwork.folder.temperature_origins import read_origins
from tendwork.folder.temperature_sources import ranked_files
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.folder.templates import check_templates


def folder_faults(path: Path) -> tuple[str, ...]:
    """Every fault of the folder's files, one sentence each; empty if all is well. Nothing is changed.

    Raises PersonError where there is no orchard folder to look into.
    """
    refuse_unless_readable(path)
    site, faults = _site(path)
    _, template_faults = check_templates(path / "templates")
    _, adjustment_faults = check_adjustments(path / "adjustments.toml")
    found = [*faults, *template_faults, *adjustment_faults, *stray_copies(path)]
    if site is not None:
        folder = OrchardFolder(path, site)
        try:
            found += [*_temperature_faults(folder), *_record_faults(folder)]
        finally:
            folder.close()
    return tuple(found)


def _site(path: Path) -> tuple[Site | None, tuple[str, ...]]:
    try:
        return check_site(read_text(path / SITE_FILE))
    except PersonError as error:
        return None, (str(error),)


def _temperature_faults(folder: OrchardFolder) -> list[str]:
    faults: list[str] = []

    def found(source: TemperatureSource) -> tuple[Path, ...]:
        try:
            return folder.temperature_files(source)
        except PersonError as error:
            faults.append(str(error))
            return ()

    try:
        read_origins(folder.path)
        files = ranked_files(folder.path, folder.site.temperatures, found)
    except PersonError as error:
        return [*faults, str(error)]
    for file in files:
        try:
            faults += read_temperatures(file.path, file.path.name, file.fahrenheit).set_aside
        except PersonError as error:
            faults.append(str(error))
    return faults


def _record_faults(folder: OrchardFolder) -> tuple[str, ...]:
    try:
        faults = folder.records.faults()
        folder.records.read()
    except PersonError as error:
        return (str(error),)
    return faults
