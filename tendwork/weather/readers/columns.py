"""What the columns of a table hold, told by their names in the languages and abbreviations that files use."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec import Struct

from tendwork.weather.readers import column_names as names
from tendwork.weather.readers.cells import DELIMITERS, cells_of
from tendwork.weather.readers.text_lines import LONGEST_LINE
from tendwork.weather.readers.values import Unit, unit_of_letter

LINES_BEFORE_A_HEADER = 100
_MOST_COLUMNS = 1000
_LONGEST_NAME = 100  # characters; what is longer names nothing

_TENTHS = re.compile(r"[(\[]?\s*(?:0[.,]1|1/10)\s*(?:[°º]\s*)?c\s*[)\]]?|_tenths$")
_UNIT = re.compile(
    r"(?:[(\[ _] ?|^|(?<=.)(?=[°º℃℉]))(?:[°º]|deg(?:rees?)?\.?)? ?(c|f|k|℃|℉|celsius|fahrenheit|kelvin) ?[)\]]?$"
)
_UNIT_IN_CAPITALS = re.compile(r"(?<=[a-z])[CF]$")  # TemperatureF
_NOT_WORD = re.compile(r"[^a-z0-9]+")
_ACCENTS = str.maketrans("áàâäéèêëíìîïóòôöúùûüñç", "aaaaeeeeiiiioooouuuunc")


class Column(Struct, frozen=True):
    """A column that is read: its place in the row, its name without unit and as it stands, and the unit it states."""

    index: int
    key: str
    unit: Unit | None
    written: str


class Header(Struct, frozen=True):
    """The line that names the columns, and the columns that matter; None where there is no such column."""

    line: int
    delimiter: str
    width: int
    keys: tuple[str, ...]
    day: Column | None
    clock: Column | None
    minimum: Column | None
    maximum: Column | None
    temperature: Column | None
    station: Column | None
    unit: Column | None
    year_month_day: tuple[int, int, int] | None

    @property
    def dated(self) -> bool:
        return self.day is not None or self.year_month_day is not None

    def index(self, key: str) -> int | None:
        """Where the column called `key` stands."""
        return self.keys.index(key) if key in self.keys else None


def find_header(lines: Sequence[str]) -> Header | None:
    """The first line that names a date and a minimum with a maximum, or a temperature; else the best line there is."""
    partly: Header | None = None
    for number, line in enumerate(lines[:LINES_BEFORE_A_HEADER], start=1):
        if len(line) > LONGEST_LINE:
            continue
        for delimiter in DELIMITERS:
            if not 0 < line.count(delimiter) < _MOST_COLUMNS:
                continue
            header = _header(number, line, delimiter)
            if header is None or not header.dated:
                continue
            if header.temperature or (header.minimum and header.maximum):
                return header
            if partly is None and (header.minimum or header.maximum):
                partly = header
    return partly


def _header(number: int, line: str, delimiter: str) -> Header | None:
    try:
        cells = cells_of(line, delimiter)
    except ValueError:
        return None
    while len(cells) > 1 and not cells[-1].strip():
        cells.pop()
    columns = [column_of(index, cell) for index, cell in enumerate(cells)]
    keys = tuple(column.key for column in columns)
    day = _first(columns, names.DAY) or _first(columns, names.INSTANT)
    clock = next((column for column in columns if column.key in names.CLOCK and column is not day), None)
    dated_parts = all(part in keys for part in ("year", "month", "day"))
    if dated_parts and (day is None or day.key == "day"):
        day = None
    return Header(
        line=number,
        delimiter=delimiter,
        width=len(cells),
        keys=keys,
        day=day,
        clock=clock,
        minimum=_first(columns, names.MINIMUM),
        maximum=_first(columns, names.MAXIMUM),
        temperature=next((column for wanted in names.OUTDOORS for column in columns if column.key == wanted), None),
        station=_first(columns, names.STATION),
        unit=_first(columns, names.UNIT),
        year_month_day=(keys.index("year"), keys.index("month"), keys.index("day")) if dated_parts else None,
    )


def _first(columns: Sequence[Column], wanted: frozenset[str]) -> Column | None:
    return next((column for column in columns if column.key in wanted), None)


def column_of(index: int, name: str) -> Column:
    """The column that a cell of a header names."""
    if len(name) > _LONGEST_NAME:
        return Column(index, "", None, "")
    written = " ".join("".join(filter(str.isprintable, name.replace("\xa0", " "))).strip().strip('"').split())
    text = written.lower()
    unit: Unit | None = None
    if _TENTHS.search(text):
        unit, text = "tenths", _TENTHS.sub("", text)
    elif found := _UNIT.search(text):
        unit, text = unit_of_letter(found.group(1)), text[: found.start()]
    elif _UNIT_IN_CAPITALS.search(written):
        unit, text = unit_of_letter(text[-1]), text[:-1]
    return Column(index, _NOT_WORD.sub("", text.translate(_ACCENTS)), unit, written)
