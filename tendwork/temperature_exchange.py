"""Temperatures in from files of many kinds, and what the folder holds of them."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Literal

from msgspec import Struct

from tendwork.almanac.temperature import DailySeries
from tendwork.errors import PersonError
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.temperatures_csv import merge_temperatures, read_temperatures
from tendwork.inputs import temperatures_of

ADDED_FILE = "temperatures/added.csv"
DATE_ORDERS: dict[str, Literal["dmy", "mdy"]] = {"day-first": "dmy", "month-first": "mdy"}


class HeldFile(Struct, frozen=True):
    """One temperature file of the folder: how many days it holds, and its first and last."""

    name: str
    days: int
    first: date | None
    last: date | None


class HeldTemperatures(Struct, frozen=True):
    """All temperatures of the folder as one series, the files behind it, and words about them."""

    today: date
    series: DailySeries | None
    files: tuple[HeldFile, ...]
    words: tuple[str, ...]


def held_temperatures(folder: OrchardFolder, today: date) -> HeldTemperatures:
    """What the folder holds as of `today`. Raises PersonError where a file must be mended."""
    files = []
    for source in folder.site.temperatures:
        for path in folder.temperature_files(source) if source.file else ():
            days = read_temperatures(path, path.name, source.options.get("units") == "us").days
            ordered = sorted(days)
            first, last = (ordered[0], ordered[-1]) if ordered else (None, None)
            files.append(HeldFile(path.name, len(days), first, last))
    held = temperatures_of(folder, today)
    return HeldTemperatures(today, held.series, tuple(files), held.words)


def add_temperatures(
    folder: OrchardFolder, file: Path, today: date, dry_run: bool, dates: str | None
) -> tuple[str, ...]:
    """Add the days of a file in any known form to the folder's own file, each once. Raises PersonError.

    Days after `today` are left out: they would pass for measured ones tomorrow.
    """
    from tendwork.weather.readers import read_temperatures as read_any

    reading = read_any(file, folder.site.timezone, None if dates is None else DATE_ORDERS[dates])
    days = {
        day: (low, high) for day, low, high in reading.rows if low is not None and high is not None and day <= today
    }
    if not days:
        raise PersonError(
            f"{file}: no day up to {today.isoformat()} has both a minimum and a maximum. Nothing was added."
        )
    later = len(reading.rows) - len(days)
    words = reading.words if not later else (*reading.words, f"{later} later or incomplete days were left out.")
    if dry_run:
        return (*words, f"Would add {len(days)} days to {ADDED_FILE}.")
    (folder.path / "temperatures").mkdir(mode=0o700, exist_ok=True)
    merged = merge_temperatures(folder.path / ADDED_FILE, days)
    counted = f"{merged.added} days added, {merged.changed} changed, {merged.same} held already"
    return (*words, f"{ADDED_FILE}: {counted}.")
