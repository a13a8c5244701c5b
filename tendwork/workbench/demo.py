"""The sample orchard made present: a throw-away orchard folder that tells a plausible state on whatever day it is run.

The files of sample_config describe one reference season and the two before it, to the end. A copy moves all of it by
whole years, so that the reference season becomes the season of today, and leaves out what lies after today: a graft
of next spring is still planned, a tick of next week is not there yet.

The temperatures do not move. Every season has its own invented weather, the same on whatever day it is asked for, so
buds are early in one copy and late in another. Sightings follow them: each falls on the day on which the almanac's
first reading has the buds as far as on its day in the file. Ticks and grafting days keep their days of the calendar:
the windows of the jobs are wider than seasons differ.
"""

from __future__ import annotations

import atexit
import re
import shutil
import tempfile
from bisect import bisect_left
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import msgspec

from tendwork import site_clock
from tendwork.almanac.development import Progress, chill_and_heat, first_day, last_day
from tendwork.almanac.ensemble import Trace, invented_days
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.temperature import Normals
from tendwork.errors import PersonError
from tendwork.folder.csv_files import read_csv
from tendwork.folder.data_files import SAMPLE_CONFIG, data_folder
from tendwork.folder.fields import KINDS
from tendwork.folder.files import make_folder, read_text, write_whole
from tendwork.folder.orchard_folder import RECORDS_FILE
from tendwork.folder.records_db import RecordStore
from tendwork.folder.site import SITE_FILE, Site, read_site
from tendwork.folder.temperatures_csv import write_temperatures
from tendwork.orchard.outcomes import wood_after
from tendwork.orchard.records import Graft, Records, Tick, Tree, Wood
from tendwork.orchard.rough_dates import RoughDate
from tendwork.orchard.rough_dates import first_day as noted_first_day

REFERENCE_SEASON = 2026
ABOUT_FILE = "ABOUT.txt"
INVENTED_FILE = "invented.csv"

_PAST_SEASONS = 12
_WEATHER_SEED = 7_000_000
_SEASON_OF_KEY = re.compile(r"(?<=/)\d{4}(?=(\.\d+)?$)")
_TAKEN_OUT = ("sent", "used", "thrown out", "lost")


def throw_away_demo(today: date | None = None) -> Path:
    """An orchard folder in a temporary place, deleted when the program ends. Raises PersonError.

    It is as of `today`, else of the day that it is at the sample's place, which is the day that it is planned for.
    """
    if today is None:
        today = site_clock.today(read_site(read_text(data_folder(SAMPLE_CONFIG) / SITE_FILE)).timezone)
    place = Path(tempfile.mkdtemp(prefix="tendwork-demo-"))
    atexit.register(shutil.rmtree, place, ignore_errors=True)
    return demo_orchard(today, place / "orchard")


def demo_orchard(today: date, folder: Path) -> Path:
    """Write the sample orchard as of `today` into `folder`, which must not exist. Raises PersonError."""
    if folder.exists():
        raise PersonError(f"{folder}: stands there already. The sample orchard goes into a folder of its own.")
    sample = data_folder(SAMPLE_CONFIG)
    site_text = read_text(sample / SITE_FILE)
    weather = weather_of(read_site(site_text))
    make_folder(folder)
    for part in ("temperatures", "templates"):
        make_folder(folder / part)
    write_whole(folder / SITE_FILE, site_text.encode())
    write_whole(folder / ABOUT_FILE, read_text(sample / ABOUT_FILE).encode())
    write_temperatures(folder / "temperatures" / INVENTED_FILE, weather.before(today))
    records = as_of(moved(sample_records(sample), season_of(today).name - REFERENCE_SEASON, weather), today)
    with RecordStore.open(folder / RECORDS_FILE, create=True) as store, store.act("the sample orchard") as act:
        for record in (record for kind in KINDS for record in getattr(records, kind)):
            act.add(record)
        act.changes.clear()  # the journal stays empty, so that taking back never takes the sample itself away
    return folder


def weather_of(site: Site) -> InventedWeather:
    """The invented weather of the sample's site, which has normals."""
    assert site.normals is not None
    return InventedWeather(Normals(site.normals.minimum_c, site.normals.maximum_c), site.latitude)


def sample_records(sample: Path) -> Records:
    """The records of the sample's files: the reference season to its end, and the two before it. Raises PersonError."""
    return Records(**{kind: read_csv(sample / f"{kind}.csv", kind).records for kind in KINDS})  # type: ignore[arg-type]


class InventedWeather:
    """Invented temperatures by season, each drawn by itself, so that no day hangs on when it is asked for."""

    def __init__(self, normals: Normals, latitude_deg: float) -> None:
        self._normals = normals
        self._latitude_deg = latitude_deg
        self._seasons: dict[int, list[tuple[date, float, float]]] = {}
        self._buds: dict[int, Sequence[float]] = {}

    def season(self, name: int) -> list[tuple[date, float, float]]:
        """(day, tmin_c, tmax_c) of one whole season."""
        if name not in self._seasons:
            season = Season(name)
            self._seasons[name] = invented_days(self._normals, _WEATHER_SEED + name, season.start, season.end)
        return self._seasons[name]

    def before(self, today: date) -> dict[date, tuple[float, float]]:
        """The days of today's season and of the twelve before it, through yesterday."""
        last = season_of(today).name
        days = (entry for name in range(last - _PAST_SEASONS, last + 1) for entry in self.season(name))
        return {day: (low, high) for day, low, high in days if day < today}

    def buds(self, name: int) -> Sequence[float]:
        """How far this weather has brought buds by the end of each day since the autumn before."""
        if name not in self._buds:
            first, last = first_day(Season(name)), last_day(Season(name))
            days = [entry for year in (name - 1, name) for entry in self.season(year) if first <= entry[0] <= last]
            trace = Trace(tuple(low for _, low, _ in days), tuple(high for _, _, high in days))
            portions, heat = chill_and_heat(trace, first, self._latitude_deg)
            self._buds[name] = Progress.of_sums(portions, heat, trace.tmax_c, self._latitude_deg).models[0]
        return self._buds[name]

    def like(self, day: date, years: int) -> date:
        """The day, so many years later, on which the buds are as far as on `day`; the same day once summer is over."""
        season = season_of(day)
        index = (day - first_day(season)).days
        then, now = self.buds(season.name), self.buds(season.name + years)
        if index >= len(then):
            return later(day, years)
        return first_day(Season(season.name + years)) + timedelta(days=min(bisect_left(now, then[index]), len(now) - 1))


def moved(records: Records, years: int, weather: InventedWeather) -> Records:
    """The records so many years later: days, seasons in task keys and years of planting; sightings with the buds."""
    return msgspec.structs.replace(
        records,
        trees=tuple(_tree_moved(tree, years) for tree in records.trees),
        grafts=tuple(_day_moved(graft, "set_on", years) for graft in records.grafts),
        wood=tuple(_day_moved(_day_moved(bundle, "cut_on", years), "asked_on", years) for bundle in records.wood),
        sightings=tuple(
            msgspec.structs.replace(sighting, day=weather.like(sighting.day, years)) for sighting in records.sightings
        ),
        ticks=tuple(_tick_moved(tick, years) for tick in records.ticks),
        tastings=tuple(_day_moved(tasting, "day", years) for tasting in records.tastings),
        lives=tuple(_day_moved(_day_moved(life, "set_on", years), "ended_on", years) for life in records.lives),
        troubles=tuple(_day_moved(trouble, "day", years) for trouble in records.troubles),
        sprays=tuple(_day_moved(spray, "day", years) for spray in records.sprays),
    )


def as_of(records: Records, today: date) -> Records:
    """The records as they stood on `today`: nothing of a later day, and every graft in the state it had then."""
    to_come: dict[str, set[str]] = {}
    so_far: dict[str, set[str]] = {}
    for tick in records.ticks:
        (so_far if tick.day <= today else to_come).setdefault(tick.unit, set()).add(tick.outcome)
    return msgspec.structs.replace(
        records,
        grafts=tuple(_graft_as_of(graft, to_come.get(graft.id, set()), today) for graft in records.grafts),
        wood=tuple(_wood_as_of(bundle, so_far.get(bundle.id, set()), today) for bundle in records.wood),
        sightings=tuple(sighting for sighting in records.sightings if sighting.day <= today),
        ticks=tuple(tick for tick in records.ticks if tick.day <= today),
        tastings=tuple(tasting for tasting in records.tastings if tasting.day <= today),
        lives=tuple(
            life for life in records.lives if life.ended_on is not None and noted_first_day(life.ended_on) <= today
        ),
        troubles=tuple(trouble for trouble in records.troubles if trouble.day <= today),
        sprays=tuple(spray for spray in records.sprays if spray.day <= today),
    )


def later(day: date, years: int) -> date:
    """The same calendar day so many years later; 29 February becomes the 28th in a year without one."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return day.replace(year=day.year + years, day=28)


def _tree_moved(tree: Tree, years: int) -> Tree:
    moved = {name: year + years for name in ("planted", "crown_since") if (year := getattr(tree, name)) is not None}
    return msgspec.structs.replace(tree, **moved)


def _tick_moved(tick: Tick, years: int) -> Tick:
    key = _SEASON_OF_KEY.sub(lambda season: str(int(season[0]) + years), tick.task)
    return msgspec.structs.replace(tick, task=key, day=later(tick.day, years))


def _day_moved(record: Any, name: str, years: int) -> Any:
    day = getattr(record, name)
    if isinstance(day, RoughDate):
        return msgspec.structs.replace(record, **{name: RoughDate(day.year + years, day.month)})
    return record if day is None else msgspec.structs.replace(record, **{name: later(day, years)})


def _graft_as_of(graft: Graft, to_come: set[str], today: date) -> Graft:
    """A graft before the outcomes that are still to come have changed it."""
    if graft.set_on is not None and noted_first_day(graft.set_on) > today:
        return msgspec.structs.replace(graft, state="planned", set_on=None, verdict="on trial")
    if to_come & {"took", "failed"}:
        graft = msgspec.structs.replace(graft, state="set")
    elif "removed" in to_come:
        graft = msgspec.structs.replace(graft, state="bearing")
    if to_come & {"keep", "cut"}:
        graft = msgspec.structs.replace(graft, verdict="on trial")
    return graft


def _wood_as_of(bundle: Wood, so_far: set[str], today: date) -> Wood:
    """A bundle before it is asked for or cut, or after what was promised of it was sent, or it was used up."""
    if bundle.asked_on is not None and bundle.asked_on > today:
        bundle = msgspec.structs.replace(bundle, asked_on=None, answer="")
    if bundle.cut_on is not None and bundle.cut_on > today:
        return msgspec.structs.replace(bundle, cut_on=None)
    for outcome in [one for one in _TAKEN_OUT if one in so_far]:
        bundle = wood_after(bundle, outcome)
    return bundle
