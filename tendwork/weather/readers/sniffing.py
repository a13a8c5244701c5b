"""Telling by its content what a file of temperatures is, so that the person need not say it."""

from __future__ import annotations

from datetime import date
from os import PathLike
from pathlib import Path

import msgspec

from tendwork.errors import PersonError, located
from tendwork.weather.readers.clock import zone_of
from tendwork.weather.readers.columns import find_header
from tendwork.weather.readers.daily_table import read_daily_table
from tendwork.weather.readers.dates import DateOrder
from tendwork.weather.readers.ghcn_fixed import is_ghcn_fixed, read_ghcn_fixed
from tendwork.weather.readers.ghcn_lines import is_ghcn_lines, read_ghcn_lines
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.source import Source, load
from tendwork.weather.readers.station_log import is_log, read_station_log
from tendwork.weather.readers.table import Table

_KNOWN = (
    "a table with a header such as date,tmin_c,tmax_c; GHCN-Daily; DWD; Environment Canada; a saved forecast (JSON)"
)


def read_temperatures(
    path: str | PathLike[str], timezone: str, date_order: DateOrder | None = None, *, today: date | None = None
) -> Reading:
    """The daily temperatures of a file in any format known, cut into civil days of `timezone` (an IANA name).

    `date_order` tells day from month where the file does not. `today`, the real one, is where the forecast begins in a
    saved answer that holds past days as well. Raises PersonError with file and line.
    """
    zone_of(timezone)
    source = load(Path(path))
    if source.text.lstrip()[:1] in ("{", "["):
        return _read_document(source, timezone, today)
    lines = source.lines()
    if not any(line.strip() for line in lines):
        raise located(source.name, "the file is empty", line=1)
    reading = _read_lines(source.name, lines, timezone, date_order)
    if source.last_line_ends:
        return reading
    word = f"Line {len(lines)}, the last, has no line end: if the file was cut short, its last value may be too."
    return msgspec.structs.replace(reading, words=(*reading.words, word))


def _read_lines(name: str, lines: list[str], timezone: str, date_order: DateOrder | None) -> Reading:
    if is_ghcn_fixed(lines):
        return read_ghcn_fixed(name, lines)
    if is_ghcn_lines(lines):
        return read_ghcn_lines(name, lines)
    header = find_header(lines)
    if header is None:
        raise _unknown(name)
    table = Table(name, lines, header)
    if is_log(table):
        return read_station_log(table, timezone, date_order)
    return read_daily_table(table, date_order)


def _read_document(source: Source, timezone: str, today: date | None) -> Reading:
    from tendwork.weather.readers.document import Document
    from tendwork.weather.readers.met_norway import is_met_norway, read_met_norway
    from tendwork.weather.readers.nws_gridpoint import is_nws_gridpoint, read_nws_gridpoint
    from tendwork.weather.readers.open_meteo import is_open_meteo, read_open_meteo

    document = Document(source.name, source.text)
    if is_open_meteo(document):
        return read_open_meteo(document, timezone, today)
    if is_met_norway(document):
        return read_met_norway(document, timezone)
    if is_nws_gridpoint(document):
        return read_nws_gridpoint(document, timezone)
    raise _unknown(source.name)


def _unknown(name: str) -> PersonError:
    return located(
        name, "this is not a file of temperatures in a form known here", line=1, remedy=f"Known are {_KNOWN}"
    )
