"""GHCN-Daily as lines of fixed width, one per element and month (.dly)."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Sequence
from datetime import date

from tendwork.weather.readers import ghcn
from tendwork.weather.readers.dates import EARLIEST_YEAR, LATEST_YEAR
from tendwork.weather.readers.gathering import FLAGGED, UNREADABLE, Gathering
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.text_lines import Lines
from tendwork.weather.readers.values import UNIT_NAMES

_FORMAT = "GHCN-Daily (.dly)"
_LINE = re.compile(r"[A-Z]{2}[A-Z0-9_\-]{9}\d{6}[A-Z0-9]{4}[ \d-]{4}\d")
_MISSING = -9999
_FIRST_VALUE, _DAY_WIDTH = 21, 8
_VALUE = re.compile(r" *-?\d+")
_FLAGS = re.compile(r"[A-Z ]{0,2}")


def is_ghcn_fixed(lines: Sequence[str]) -> bool:
    """Whether the first line is of this layout."""
    return _LINE.match(lines[0]) is not None


def read_ghcn_fixed(name: str, lines: Lines) -> Reading:
    """The reading of such a file. Raises PersonError."""
    gathering = Gathering(name)
    lows: dict[date, float] = {}
    highs: dict[date, float] = {}
    line_of: dict[date, int] = {}
    station = ""
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        if not _LINE.match(line):
            gathering.reject(number, UNREADABLE, "not a station, month, element and values of fixed width")
            continue
        if station and line[:11] != station:
            raise ghcn.several_stations(name, number, station, line[:11])
        station = line[:11]
        if line[17:21] in ("TMIN", "TMAX"):
            _read_month(line, number, lows if line[17:21] == "TMIN" else highs, line_of, gathering)
    for day, number in line_of.items():
        gathering.add(number, day, lows.get(day), highs.get(day))
    return gathering.reading(_FORMAT, UNIT_NAMES["tenths"], (), ghcn.ATTRIBUTION)


def _read_month(
    line: str, number: int, values: dict[date, float], line_of: dict[date, int], gathering: Gathering
) -> None:
    year, month, element = int(line[11:15]), int(line[15:17]), line[17:21]
    if not 1 <= month <= 12 or not EARLIEST_YEAR <= year <= LATEST_YEAR:
        gathering.reject(number, UNREADABLE, f'"{line[11:17]}" is no year and month')
        return
    for day_of_month in range(1, monthrange(year, month)[1] + 1):
        at = _FIRST_VALUE + (day_of_month - 1) * _DAY_WIDTH
        field, flags = line[at : at + 5], line[at + 5 : at + 7]
        if len(field) < 5 or not _VALUE.fullmatch(field) or not _FLAGS.fullmatch(flags):
            # What follows may have slipped by a place, so the rest of the line is not trusted either.
            gathering.reject(
                number, UNREADABLE, f"{element} from day {day_of_month} on: cut short or out of its columns"
            )
            return
        value, flag = int(field), flags[1:].strip()
        if value == _MISSING:
            continue
        day = date(year, month, day_of_month)
        if flag:
            gathering.reject(number, FLAGGED, ghcn.flagged_words(str(day), element, flag))
        elif day in values:
            gathering.double(number, day, line_of[day])
        else:
            values[day] = value / 10
            line_of.setdefault(day, number)
