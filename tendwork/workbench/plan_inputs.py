"""From an open folder to what the almanac and the planner take: place, daily temperatures, seen stages, templates."""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.place import Place, UsualDate
from tendwork.almanac.results import SeenStage
from tendwork.almanac.temperature import DailySeries, Normals, SourceDay, build_series
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.site import Site
from tendwork.folder.temperature_origins import Origin, read_origins
from tendwork.folder.temperature_sources import FORECAST_FILE
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.orchard.records import Records
from tendwork.orchard.tree_varieties import VarietiesSeen
from tendwork.planning.adjustments import SiteShift
from tendwork.planning.planner import SiteLimits
from tendwork.site_clock import shown_at
from tendwork.workbench.kept_reading import kept_or_read

TEMPERATURES_FILE = "temperatures.msgpack"
OLD_FORECAST_DAYS = 2
LONGEST_FORECAST_DAYS = 16  # days after today that a file holds beyond these are no forecast, and are left out


class Temperatures(Struct, frozen=True):
    """The series of the place up to the forecast's end, and what the person should know about it."""

    series: DailySeries | None
    words: tuple[str, ...]


class _Read(Struct, frozen=True):
    """What the files give on every day from `since` on: by then no day that they hold is to come, but for a forecast.

    `forecast_to` is the last day of the forecast's own file, where there is one.
    """

    since: date
    series: DailySeries | None
    set_aside: tuple[str, ...]
    words: tuple[str, ...]
    has_forecast: bool
    forecast_to: date | None


def site_limits_of(site: Site) -> SiteLimits:
    """What the planner must know of the site."""
    minutes = tuple(hours * 60 for hours in site.hours)
    return SiteLimits(site.south, site.reach_m, minutes_by_weekday=minutes, latitude_deg=site.latitude)


def place_of(site: Site, shift: SiteShift) -> Place:
    """What the almanac must know of the site; a shift from adjustments.toml stands in for the site's own."""
    own = site.colder_by
    if shift != SiteShift():
        degrees_c, elevation_m, days = shift.degrees_c, shift.elevation_m, shift.days
    elif own is not None:
        degrees_c, elevation_m, days = own.degrees_c, own.elevation_m, own.days
    else:
        degrees_c = elevation_m = days = None
    return Place(
        latitude=site.latitude,
        elevation_m=site.elevation_m,
        normals_min_c=None if site.normals is None else site.normals.minimum_c,
        normals_max_c=None if site.normals is None else site.normals.maximum_c,
        usual_dates=tuple(UsualDate(usual.species, usual.stage, usual.month, usual.day) for usual in site.usual_dates),
        colder_degrees_c=degrees_c or 0.0,
        colder_elevation_m=elevation_m or 0.0,
        colder_days=days or 0.0,
    )


def temperatures_of(folder: OrchardFolder, today: date) -> Temperatures:
    """The temperatures of all files of the site, best source first. Raises PersonError.

    What stands in the forecast's own file is never measured; in any other file only days after `today` are a forecast.
    """
    files = f"{temperatures_stamp(folder)}|{folder.site.normals}"
    held = kept_or_read(
        folder, TEMPERATURES_FILE, files, _Read, lambda: _read(folder, today), lambda read: read.since <= today
    )
    forecast = _forecast_words(folder, held.forecast_to, today) if held.has_forecast else []
    return Temperatures(held.series, (*held.set_aside, *forecast, *held.words))


def temperatures_stamp(folder: OrchardFolder) -> str:
    """A word that is the same as long as the temperature files are, and how they are to be read. Raises PersonError."""
    site = folder.site
    return f"{site.temperatures!r}|{site.timezone}|{folder.temperatures_token()}"


def _read(folder: OrchardFolder, today: date) -> _Read:
    rows: list[SourceDay] = []
    set_aside: list[str] = []
    last_forecast = today + timedelta(days=LONGEST_FORECAST_DAYS)
    since, has_forecast, forecast_to = date.min, False, None
    for file in folder.ranked_temperature_files():
        held = read_temperatures(file.path, file.path.name, file.fahrenheit)
        if held.set_aside:
            set_aside.append(_set_aside_words(file.path.name, held.set_aside))
        for day, (low, high) in held.days.items():
            if day <= last_forecast:
                rows.append(SourceDay(day, low, high, file.is_forecast or day > today))
        last = max(held.days, default=date.min)
        if file.is_forecast:
            has_forecast, forecast_to = True, max(held.days, default=None)
            last -= min(timedelta(days=LONGEST_FORECAST_DAYS), last - date.min)
        since = max(since, last)
    normals = folder.site.normals
    series, words = build_series(rows, None if normals is None else Normals(normals.minimum_c, normals.maximum_c))
    return _Read(since, series, tuple(set_aside), words, has_forecast, forecast_to)


def age_days(origin: Origin, timezone: str, today: date) -> int | None:
    """Days from the place's day on which a service gave its newest answer to `today`; None if it is not known."""
    if origin.answered_at is None:
        return None
    return (today - shown_at(origin.answered_at, timezone).date()).days


def seen_of(records: Records) -> tuple[SeenStage, ...]:
    """The sightings as the almanac takes them: on a tree of a single variety, or with its name alone as the note, one
    speaks for that variety.
    """
    varieties = VarietiesSeen(records)
    return tuple(
        SeenStage(sighting.day, sighting.species, sighting.stage, varieties.of(sighting))
        for sighting in records.sightings
    )


def _forecast_words(folder: OrchardFolder, last: date | None, today: date) -> list[str]:
    """That the forecast has grown old, as far as it still counts or should have been fetched again."""
    origin = read_origins(folder.path).get(FORECAST_FILE, Origin())
    age = age_days(origin, folder.site.timezone, today)
    is_awaited = any(source.service for source in folder.site.temperatures)
    if age is None or age < OLD_FORECAST_DAYS or not (is_awaited or (last is not None and last > today)):
        return []
    ended = "" if last is None or last > today else f" and ended on {last.isoformat()}"
    return [f"The forecast is {age} days old{ended}."]


def _set_aside_words(name: str, lines: tuple[str, ...]) -> str:
    count = len(lines)
    return f"{name}: {count} value{'s were' if count != 1 else ' was'} set aside, the first: {lines[0]}."
