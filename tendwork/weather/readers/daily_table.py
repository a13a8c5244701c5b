"""Tables with one line a day and named columns, from a national archive or out of a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from tendwork.errors import located
from tendwork.weather.readers import ghcn
from tendwork.weather.readers.columns import Column
from tendwork.weather.readers.daily_formats import DailyFormat, daily_format
from tendwork.weather.readers.dates import DateOrder, order_of, written_day
from tendwork.weather.readers.gathering import FLAGGED, UNREADABLE
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.table import Table, split_stamp
from tendwork.weather.readers.unit_plausibility import plausible_unit
from tendwork.weather.readers.values import UNIT_NAMES, Unit, number, to_celsius

_Value = tuple[int, date, float | None, float | None]
"""(line, day, minimum, maximum) in the file's own units"""


def read_daily_table(table: Table, asked: DateOrder | None) -> Reading:
    """The reading of a table of days. Raises PersonError."""
    header, gathering = table.header, table.gathering
    if header.minimum is None or header.maximum is None:
        missing = "maximum" if header.maximum is None else "minimum"
        raise located(
            table.name,
            f"no column for the {missing} of a day among: {', '.join(key for key in header.keys if key)}",
            line=header.line,
            remedy='Name the columns as in "date,tmin_c,tmax_c"',
        )
    form = daily_format(header)
    table.rows = [(line, split_stamp(text)[0], cells) for line, text, cells in table.rows]
    order = order_of(table.name, ((line, text) for line, text, _ in table.rows), asked)
    values = list(_values(table, header.minimum, header.maximum, order))
    if form.quality_in_attributes:
        values = list(_unflagged(table, values))
    low_unit, high_unit, ground = _units(table, form, header.minimum, header.maximum, values)
    for line, day, low, high in values:
        gathering.add(
            line,
            day,
            None if low is None else to_celsius(low, low_unit),
            None if high is None else to_celsius(high, high_unit),
        )
    units = " and ".join(dict.fromkeys((UNIT_NAMES[low_unit], UNIT_NAMES[high_unit])))
    columns = (
        "" if form.keys else f'Minimum from column "{header.minimum.written}", maximum from "{header.maximum.written}".'
    )
    words = (columns, ground, *form.words, _observed(table) if form.quality_in_attributes else "")
    return gathering.reading(form.name, units, words, form.attribution)


def _values(table: Table, minimum: Column, maximum: Column, order: DateOrder) -> Iterator[_Value]:
    at_low, at_high = minimum.index, maximum.index
    for line, text, cells in table.rows:
        try:
            day = written_day(text, order)
        except ValueError:
            table.gathering.reject(line, UNREADABLE, f'"{text}" is no date')
            continue
        try:
            yield line, day, number(cells[at_low]), number(cells[at_high])
        except ValueError:
            why = f'{day}: "{cells[at_low].strip()}" and "{cells[at_high].strip()}" are not both numbers'
            table.gathering.reject(line, UNREADABLE, why)


def _units(
    table: Table, form: DailyFormat, minimum: Column, maximum: Column, values: list[_Value]
) -> tuple[Unit, Unit, str]:
    """The units of the minimum and the maximum, and the ground where the file does not state one."""
    if form.unit is not None:
        return form.unit, form.unit, ""
    low_unit, high_unit = table.stated_unit(minimum), table.stated_unit(maximum)
    ground = ""
    if low_unit is None and high_unit is None:
        whole_days = [(day, low, high) for _, day, low, high in values if low is not None and high is not None]
        low_unit, ground = plausible_unit(table.name, table.header.line, whole_days)
    low_unit = low_unit or high_unit or "c"
    return low_unit, high_unit or low_unit, ground


def _unflagged(table: Table, values: list[_Value]) -> Iterator[_Value]:
    """The values without those that an attributes column ("measurement,quality,source") flags."""
    at_low, at_high = table.header.index("tminattributes"), table.header.index("tmaxattributes")
    cells_on = {line: cells for line, _, cells in table.rows}
    for line, day, low, high in values:
        cells = cells_on[line]
        low_flag, high_flag = _quality(cells, at_low), _quality(cells, at_high)
        if low_flag and low is not None:
            table.gathering.reject(line, FLAGGED, ghcn.flagged_words(str(day), "TMIN", low_flag))
            low = None
        if high_flag and high is not None:
            table.gathering.reject(line, FLAGGED, ghcn.flagged_words(str(day), "TMAX", high_flag))
            high = None
        yield line, day, low, high


def _quality(cells: list[str], index: int | None) -> str:
    if index is None:
        return ""
    attributes = cells[index].split(",")
    return attributes[1].strip() if len(attributes) > 1 else ""


def _observed(table: Table) -> str:
    index = table.header.index("tmaxattributes")
    if index is None:
        return ""
    attributes = (cells[index].split(",") for _, _, cells in table.rows)
    return ghcn.observed_words(parts[3].strip() for parts in attributes if len(parts) > 3)
