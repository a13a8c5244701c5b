"""site.toml: where the orchard stands and what its person can give, checked key by key.

The keys are a contract. Unknown ones are refused with the nearest known one, because a misspelt key that is silently
ignored would move dates without a word.
"""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from msgspec import Struct

from tendwork.almanac.winters import WINTERS, Winter
from tendwork.errors import PersonError, located, nearest
from tendwork.folder.toml_text import Path, first_few, key_words, line_of, parse_toml, unknown_key
from tendwork.plain_text import is_blank, is_text
from tendwork.species import SPECIES, STAGES, species_named, stage_named

SITE_FILE = "site.toml"
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
DEFAULT_HOURS = (0.5, 0.5, 0.5, 0.5, 0.5, 4.0, 2.0)
DEFAULT_TEMPERATURES = "temperatures/*.csv"

SHIFT_BOUNDS = {"degrees_c": (-15, 15), "elevation_m": (-3000, 3000), "days": (-60, 60)}
"""How far a place may differ from its temperature series, by the key that says it."""

_MONTHS = 12
_KEYS = (
    "name",
    "timezone",
    "latitude",
    "longitude",
    "elevation_m",
    "units",
    "reach_m",
    "hours",
    "normals",
    "winter",
    "usual_dates",
    "colder_by",
    "temperatures",
    "remind",
)
_FILE_SOURCE_KEYS = ("file", "format", "units")
HIGHEST_REACH_M = 2.6  # our own choice: the hands of a very tall person; who stands on something is not on the ground


class Normals(Struct, frozen=True):
    """Monthly means of the daily minimum and maximum in °C, twelve of each, January first."""

    minimum_c: tuple[float, ...]
    maximum_c: tuple[float, ...]


class UsualDate(Struct, frozen=True):
    """The day on which a species reaches a stage here in a usual year."""

    species: str
    stage: str
    month: int
    day: int


class ColderBy(Struct, frozen=True):
    """How this place differs from its temperature series; exactly one is not None."""

    degrees_c: float | None = None
    elevation_m: float | None = None
    days: float | None = None


class TemperatureSource(Struct, frozen=True):
    """A file pattern relative to the folder, or the name of a service; `options` are its own keys."""

    file: str = ""
    service: str = ""
    options: dict[str, Any] = {}


class Remind(Struct, frozen=True):
    """When to remind (`at`, "HH:MM"), by which command (words, run without a shell), and which files are written."""

    at: str = "06:30"
    command: tuple[str, ...] = ()
    calendar_file: str = ""
    sheet_file: str = ""


class Site(Struct, frozen=True):
    """The place. Latitude and longitude in degrees, `hours` for the orchard by weekday, Monday first.

    `winter` is what the person says of it; None leaves it to the temperatures.
    """

    name: str
    timezone: str
    latitude: float
    longitude: float
    elevation_m: float | None = None
    units: str = "metric"
    reach_m: float = 2.0
    hours: tuple[float, ...] = DEFAULT_HOURS
    normals: Normals | None = None
    winter: Winter | None = None
    usual_dates: tuple[UsualDate, ...] = ()
    colder_by: ColderBy | None = None
    temperatures: tuple[TemperatureSource, ...] = (TemperatureSource(file=DEFAULT_TEMPERATURES),)
    remind: Remind | None = None

    @property
    def south(self) -> bool:
        """Whether the place lies south of the equator."""
        return self.latitude < 0


def read_site(text: str, file: str = SITE_FILE) -> Site:
    """The site that `text` describes. Raises PersonError naming file, line and key; `file` is how to call it."""
    site, faults = check_site(text, file)
    if site is None:
        raise PersonError(first_few(faults))
    return site


def check_site(text: str, file: str = SITE_FILE) -> tuple[Site | None, tuple[str, ...]]:
    """The site, or None and every fault of the file, one sentence each."""
    try:
        document = parse_toml(text, file)
    except PersonError as error:
        return None, (str(error),)
    reading = _Reading(text, file, document)
    site = reading.site()
    return (None if reading.faults else site), tuple(reading.faults)


def usual_date_path(text: str, species: str, stage: str) -> Path:
    """Where a usual date stands in the text of a site that is well, by the words that the person wrote."""
    for species_word, stages in parse_toml(text, SITE_FILE).get("usual_dates", {}).items():
        if species_named(species_word) == species:
            for word in stages:
                if stage_named(species, word) == stage:
                    return "usual_dates", species_word, word
    return "usual_dates", species, stage


class _Reading:
    """One pass over the document that gathers faults instead of stopping at the first."""

    def __init__(self, text: str, file: str, document: dict[str, Any]) -> None:
        self.text = text
        self.file = file
        self.document = document
        self.faults: list[str] = []

    def site(self) -> Site:
        self._refuse_unknown((), self.document, _KEYS)
        for key in _KEYS[:4]:
            if key not in self.document:
                self._fault((key,), "is missing", _EXAMPLES[key])
        return Site(
            name=self._text(("name",), self.document.get("name", "an orchard"), filled=True),
            timezone=self._timezone(),
            latitude=self._number(("latitude",), self.document.get("latitude", 0.0), -90, 90),
            longitude=self._number(("longitude",), self.document.get("longitude", 0.0), -180, 180),
            elevation_m=self._number_or_none(("elevation_m",), self.document, -450, 6000),
            units=self._choice(("units",), self.document.get("units", "metric"), ("metric", "us")),
            reach_m=self._reach(),
            hours=self._hours(),
            normals=self._normals(),
            winter=self._winter(),
            usual_dates=self._usual_dates(),
            colder_by=self._colder_by(),
            temperatures=self._temperatures(),
            remind=self._remind(),
        )

    def _timezone(self) -> str:
        name = self._text(("timezone",), self.document.get("timezone", "UTC"))
        if not timezone_exists(name):
            self._fault(("timezone",), f'"{name}" is not a timezone', 'Write one such as "Europe/London".')
        return name

    def _reach(self) -> float:
        reach = self._number(("reach_m",), self.document.get("reach_m", 2.0), 0, 10)
        if reach == 0:
            self._fault(("reach_m",), "must be more than 0")
        elif reach > HIGHEST_REACH_M:
            self._fault(
                ("reach_m",),
                f"{reach:g} m is more than anybody reaches with both feet on the ground",
                f"Give the height at which you can still work, standing: {HIGHEST_REACH_M:g} at most.",
            )
        return reach

    def _hours(self) -> tuple[float, ...]:
        table = self._table("hours", WEEKDAYS)
        if table is None:
            return DEFAULT_HOURS
        return tuple(self._number(("hours", day), table.get(day, 0.0), 0, 24) for day in WEEKDAYS)

    def _normals(self) -> Normals | None:
        table = self._table("normals", ("minimum_c", "maximum_c"))
        if table is None:
            return None
        lists = []
        for key in ("minimum_c", "maximum_c"):
            values = table.get(key)
            if not isinstance(values, list) or len(values) != _MONTHS:
                self._fault(("normals", key), "must be twelve numbers in [ ], January first")
                return None
            lists.append(tuple(self._number(("normals", key), value, -60, 60) for value in values))
        for month, (low, high) in enumerate(zip(*lists, strict=True), start=1):
            if low > high:
                self._fault(
                    ("normals", "minimum_c"), f"month {month} has a minimum of {low:g} above its maximum of {high:g}"
                )
        return Normals(*lists)

    def _winter(self) -> Winter | None:
        said = self.document.get("winter")
        word = None if said is None else self._choice(("winter",), said, WINTERS)
        return next((winter for winter in WINTERS if winter == word), None)

    def _usual_dates(self) -> tuple[UsualDate, ...]:
        usual = []
        for species_word, stages in (self._table("usual_dates", None) or {}).items():
            path: Path = ("usual_dates", species_word)
            species = species_named(species_word)
            if species is None:
                self._fault(path, "unknown species", nearest(species_word, SPECIES))
            elif not isinstance(stages, dict):
                self._fault(path, 'must be a table of stages and days, such as { "full bloom" = "05-08" }')
            else:
                usual += [self._usual_date(species, path, word, value) for word, value in stages.items()]
        return tuple(entry for entry in usual if entry is not None)

    def _usual_date(self, species: str, path: Path, word: str, value: object) -> UsualDate | None:
        stage = stage_named(species, word)
        if stage is None:
            self._fault(
                (*path, word), f"unknown stage of {species}", nearest(word, [row[0] for row in STAGES[species]])
            )
            return None
        month_day = month_and_day(value) if isinstance(value, str) else None
        if month_day is None:
            self._fault((*path, word), 'must be a month and day, such as "05-08"')
            return None
        return UsualDate(species, stage, *month_day)

    def _colder_by(self) -> ColderBy | None:
        keys = ("degrees_c", "elevation_m", "days")
        table = self._table("colder_by", keys)
        if table is None:
            return None
        if len(table) != 1:
            self._fault(("colder_by",), f"must have exactly one of {', '.join(keys)}")
            return None
        return ColderBy(**{key: self._number_or_none(("colder_by", key), table, *SHIFT_BOUNDS[key]) for key in keys})

    def _temperatures(self) -> tuple[TemperatureSource, ...]:
        entries = self.document.get("temperatures")
        if entries is None:
            return (TemperatureSource(file=DEFAULT_TEMPERATURES),)
        if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
            self._fault(("temperatures",), "must be written as [[temperatures]] with a file or a service below it")
            return ()
        return tuple(self._temperature_source(("temperatures", at), entry) for at, entry in enumerate(entries))

    def _temperature_source(self, path: Path, entry: dict[str, Any]) -> TemperatureSource:
        if ("file" in entry) == ("service" in entry):
            self._refuse_unknown(path, entry, (*_FILE_SOURCE_KEYS, "service"))
            self._fault(path, "must have exactly one of file, service")
            return TemperatureSource()
        if "file" in entry:
            self._refuse_unknown(path, entry, _FILE_SOURCE_KEYS)
            if "units" in entry:
                self._choice((*path, "units"), entry["units"], ("metric", "us"))
        name = "file" if "file" in entry else "service"
        word = self._text((*path, name), entry[name], filled=True)
        options = {key: value for key, value in entry.items() if key != name}
        return TemperatureSource(file=word, options=options) if name == "file" else TemperatureSource("", word, options)

    def _remind(self) -> Remind | None:
        table = self._table("remind", ("at", "command", "calendar_file", "sheet_file"))
        if table is None:
            return None
        at = self._text(("remind", "at"), table.get("at", "06:30"))
        if not re.fullmatch(r"([01]\d|2[0-3]):[0-5]\d", at):
            self._fault(("remind", "at"), f'"{at}" is not a time of day', 'Write one such as "06:30".')
        command = table.get("command", [])
        if not isinstance(command, list) or not all(isinstance(word, str) for word in command):
            self._fault(("remind", "command"), 'must be a list of words, such as ["mail", "-s", "Orchard", "me"]')
            command = []
        files = [self._text(("remind", key), table.get(key, "")) for key in ("calendar_file", "sheet_file")]
        return Remind(at, tuple(command), *files)

    def _table(self, key: str, known: tuple[str, ...] | None) -> dict[str, Any] | None:
        table = self.document.get(key)
        if table is None:
            return None
        if not isinstance(table, dict):
            self._fault((key,), f"must be a table, written as [{key}] with its keys below it")
            return None
        if known is not None:
            self._refuse_unknown((key,), table, known)
        return {name: value for name, value in table.items() if known is None or name in known}

    def _text(self, path: Path, value: object, filled: bool = False) -> str:
        if not isinstance(value, str):
            self._fault(path, "must be text in quotes")
            return ""
        if filled and is_blank(value):
            self._fault(path, "is empty: nothing of it can be seen")
        elif not is_text(value):
            self._fault(path, "holds characters that are no text at all", "Type it again.")
        return value

    def _choice(self, path: Path, value: object, choices: tuple[str, ...]) -> str:
        if value not in choices:
            self._fault(path, f"must be one of {', '.join(choices)}")
        return str(value)

    def _number(self, path: Path, value: object, low: float, high: float) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            self._fault(path, "must be a number")
        elif not low <= value <= high:
            self._fault(path, f"{str(value)[:20]} is not between {low:g} and {high:g}")
        else:
            return float(value)
        return low

    def _number_or_none(self, path: Path, table: dict[str, Any], low: float, high: float) -> float | None:
        key = path[-1]
        return self._number(path, table[key], low, high) if key in table else None

    def _refuse_unknown(self, path: Path, table: dict[str, Any], known: tuple[str, ...]) -> None:
        for key in table:
            if key not in known:
                self.faults.append(str(unknown_key(self.text, self.file, (*path, key), known)))

    def _fault(self, path: Path, what: str, remedy: str = "") -> None:
        line = line_of(self.text, path)
        self.faults.append(str(located(self.file, what, line=line, key=key_words(path), remedy=remedy)))


_EXAMPLES = {
    "name": 'Write one such as name = "Home orchard".',
    "timezone": 'Write one such as timezone = "Europe/London".',
    "latitude": "Write degrees north, such as latitude = 52.1.",
    "longitude": "Write degrees east, such as longitude = -3.0.",
}


def month_and_day(text: str) -> tuple[int, int] | None:
    """(month, day) of "MM-DD", which must exist in a leap year; else None."""
    if not re.fullmatch(r"\d\d-\d\d", text, re.ASCII):
        return None
    month, day = int(text[:2]), int(text[3:])
    try:
        date(2024, month, day)
    except ValueError:
        return None
    return month, day


def timezone_exists(name: str) -> bool:
    """Whether the IANA time zone database knows `name`."""
    from zoneinfo import ZoneInfo

    try:
        ZoneInfo(name)
    except (ValueError, OSError, LookupError):
        return False
    return True
