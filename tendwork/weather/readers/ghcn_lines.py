"""GHCN-Daily as one line per element and day (by_station and by_year files), with or without its header."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from datetime import date

from tendwork.weather.readers import ghcn
from tendwork.weather.readers.dates import written_day
from tendwork.weather.readers.gathering import FLAGGED, UNREADABLE, Gathering
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.text_lines import LONGEST_LINE, Lines
from tendwork.weather.readers.values import UNIT_NAMES

_FORMAT = "GHCN-Daily (one line an element)"
_HEADER = ("id", "date", "element", "data_value")
_LINE = re.compile(r"[A-Z]{2}[A-Z0-9_\-]{9},\d{8},[A-Z0-9]{4},")
_COLUMNS = 8
_MISSING = -9999


def is_ghcn_lines(lines: Sequence[str]) -> bool:
    """Whether the first line is the header or a line of this layout."""
    first = lines[0].replace('"', "")
    return _LINE.match(first) is not None or tuple(first.lower().split(",")[:4]) == _HEADER


def read_ghcn_lines(name: str, lines: Lines) -> Reading:
    """The reading of such a file. Raises PersonError."""
    gathering = Gathering(name)
    lows: dict[date, float] = {}
    highs: dict[date, float] = {}
    line_of: dict[date, int] = {}
    times: Counter[str] = Counter()
    station = ""
    for number, line in enumerate(lines, start=1):
        if not line or (number == 1 and line.replace('"', "").lower().startswith("id,")):
            continue
        if len(line) > LONGEST_LINE:
            gathering.reject(number, UNREADABLE, f"a line of more than {LONGEST_LINE:,} characters")
            continue
        cells = line.replace('"', "").split(",")
        if len(cells) < _COLUMNS - 1 or len(cells) > _COLUMNS:
            gathering.reject(number, UNREADABLE, f"{len(cells)} columns where this layout has {_COLUMNS}")
            continue
        if cells[0] != station:
            if station:
                raise ghcn.several_stations(name, number, station, cells[0])
            station = cells[0]
        element = cells[2]
        if element not in ("TMIN", "TMAX"):
            continue
        try:
            day = written_day(cells[1])
            value = int(cells[3])
            degrees_c = value / 10
        except (ValueError, OverflowError):
            gathering.reject(number, UNREADABLE, f'"{cells[1]}" and "{cells[3]}" are not a date and a whole number')
            continue
        if value == _MISSING:
            continue
        if flag := cells[5].strip():
            gathering.reject(number, FLAGGED, ghcn.flagged_words(str(day), element, flag))
            continue
        values = lows if element == "TMIN" else highs
        if day in values:
            gathering.double(number, day, line_of[day])
            continue
        values[day] = degrees_c
        line_of.setdefault(day, number)
        if element == "TMAX" and len(cells) == _COLUMNS:
            times[cells[7].strip()[:4]] += 1
    for day, number in line_of.items():
        gathering.add(number, day, lows.get(day), highs.get(day))
    return gathering.reading(_FORMAT, UNIT_NAMES["tenths"], (ghcn.observed_words(times.elements()),), ghcn.ATTRIBUTION)
