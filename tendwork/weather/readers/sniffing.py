"""Telling by its content what a file of temperatures is, so that the person need not say it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from os import PathLike
from pathlib import Path

import msgspec

from tendwork.errors import PersonError, located
from tendwork.weather.readers.clock import zone_of
from tendwork.weather.readers.columns import LINES_BEFORE_A_HEADER, find_header
from tendwork.weather.readers.daily_table import read_daily_table
from tendwork.weather.readers.dates import DateOrder
from tendwork.weather.readers.ghcn_fixed import is_ghcn_fixed, read_ghcn_fixed
from tendwork.weather.readers.ghcn_lines import is_ghcn_lines, read_ghcn_lines
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.source import Source, load
from tendwork.weather.readers.station_log import is_log, read_station_log
from tendwork.weather.readers.table import Table
from tendwork.weather.readers.text_lines import Lines, Progress
from tendwork.weather.readers.unit_choice import UnitChoice
from tendwork.weather.readers.usual import Usual
from tendwork.weather.readers.values import UNIT_NAMES, Unit

_KNOWN = (
    "a table with a header such as date,tmin_c,tmax_c; GHCN-Daily; DWD; Environment Canada; a saved forecast (JSON)"
)


def read_temperatures(
    path: str | PathLike[str],
    timezone: str,
    date_order: DateOrder | None = None,
    *,
    today: date | None = None,
    unit: Unit | None = None,
    usual: Callable[[], Usual] = Usual,
    progress: Progress | None = None,
) -> Reading:
    """The daily temperatures of a file in any format known, cut into civil days of `timezone` (an IANA name).

    `date_order` tells day from month where the file does not. `today`, the real one, is where the forecast begins in a
    saved answer that holds past days as well. `unit` is what the person says, `usual` gives what the place is like:
    both are for a file that does not state its unit. Raises PersonError with file and line.
    """
    zone_of(timezone)
    source = load(Path(path))
    choice = UnitChoice(unit, usual)
    if source.is_document:
        return _in_its_own_unit(source.name, choice, _read_document(source, timezone, today))
    lines = source.lines(progress)
    if not source.content.strip():
        raise located(source.name, "the file is empty", line=1)
    reading = _read_lines(source.name, lines, timezone, date_order, choice)
    if source.last_line_ends:
        return reading
    word = f"Line {lines.count()}, the last, has no line end: if the file was cut short, its last value may be too."
    return msgspec.structs.replace(reading, words=(*reading.words, word))


def _read_lines(name: str, lines: Lines, timezone: str, date_order: DateOrder | None, choice: UnitChoice) -> Reading:
    head = lines.head(LINES_BEFORE_A_HEADER)
    if not head:
        raise _unknown(name)
    if is_ghcn_fixed(head):
        return _in_its_own_unit(name, choice, read_ghcn_fixed(name, lines))
    if is_ghcn_lines(head):
        return _in_its_own_unit(name, choice, read_ghcn_lines(name, lines))
    header = find_header(head)
    if header is None:
        raise _unknown(name)
    table = Table(name, lines, header)
    if is_log(table):
        return read_station_log(table, timezone, date_order, choice)
    return read_daily_table(table, date_order, choice)


def _in_its_own_unit(name: str, choice: UnitChoice, reading: Reading) -> Reading:
    """The reading, unless the person says another unit. Raises PersonError."""
    choice.agrees(
        name, 1, next(unit for unit, word in UNIT_NAMES.items() if word == reading.unit), f"it is {reading.format}"
    )
    return reading


def _read_document(source: Source, timezone: str, today: date | None) -> Reading:
    from tendwork.weather.readers.document import Document
    from tendwork.weather.readers.met_norway import is_met_norway, read_met_norway
    from tendwork.weather.readers.nws_gridpoint import is_nws_gridpoint, read_nws_gridpoint
    from tendwork.weather.readers.open_meteo import is_open_meteo, read_open_meteo

    document = Document(source.name, source.document_text())
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
