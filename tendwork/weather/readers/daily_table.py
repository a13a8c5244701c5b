"""Tables with one line a day and named columns, from a national archive or out of a spreadsheet."""

from __future__ import annotations

from datetime import date

from tendwork.errors import located
from tendwork.weather.readers import ghcn
from tendwork.weather.readers.columns import Column
from tendwork.weather.readers.daily_formats import DailyFormat, daily_format
from tendwork.weather.readers.dates import DateOrder, order_of, written_day
from tendwork.weather.readers.gathering import FLAGGED, UNREADABLE
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.samples import Samples
from tendwork.weather.readers.table import Table, split_stamp
from tendwork.weather.readers.unit_choice import UnitChoice
from tendwork.weather.readers.values import UNIT_NAMES, Unit, number, to_celsius


def read_daily_table(table: Table, asked: DateOrder | None, choice: UnitChoice) -> Reading:
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
    order = order_of(table.name, ((line, split_stamp(text)[0]) for line, text, _ in table.rows()), asked)
    values = _values(table, header.minimum, header.maximum, order, form.quality_in_attributes)
    low_unit, high_unit, ground = _units(table, form, header.minimum, header.maximum, values, choice)
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


def _values(table: Table, minimum: Column, maximum: Column, order: DateOrder, flagged: bool) -> Samples:
    """The values of all rows in the file's own units, without those that its attributes flag, if it has such."""
    at_low, at_high = minimum.index, maximum.index
    low_flags, high_flags = table.header.index("tminattributes"), table.header.index("tmaxattributes")
    values = Samples()
    for line, text, cells in table.rows():
        text = split_stamp(text)[0]
        try:
            day = written_day(text, order)
        except ValueError:
            table.gathering.reject(line, UNREADABLE, f'"{text[:40]}" is no date')
            continue
        try:
            low, high = number(cells[at_low]), number(cells[at_high])
        except ValueError:
            why = f'{day}: "{cells[at_low].strip()[:60]}" and "{cells[at_high].strip()[:60]}" are not both numbers'
            table.gathering.reject(line, UNREADABLE, why)
            continue
        if flagged:
            low = _unflagged(table, line, day, "TMIN", low, _quality(cells, low_flags))
            high = _unflagged(table, line, day, "TMAX", high, _quality(cells, high_flags))
        values.add(line, day, low, high)
    return values


def _units(
    table: Table, form: DailyFormat, minimum: Column, maximum: Column, values: Samples, choice: UnitChoice
) -> tuple[Unit, Unit, str]:
    """The units of the minimum and the maximum, and the ground where the file does not state one."""
    if form.unit is not None:
        choice.agrees(table.name, table.header.line, form.unit, f"it is {form.name}")
        return form.unit, form.unit, ""
    for column in (minimum, maximum):
        if stated := table.stated_unit(column):
            choice.agrees(table.name, stated[1], stated[0], f'column "{column.written}"')
    low, high = table.stated_unit(minimum), table.stated_unit(maximum)
    either = low or high
    if either is None:
        unit, ground = choice.unit(table.name, table.header.line, values.whole_days())
        return unit, unit, ground
    return (low or either)[0], (high or either)[0], ""


def _unflagged(table: Table, line: int, day: date, element: str, value: float | None, flag: str) -> float | None:
    """The value, unless the source flags it."""
    if not flag or value is None:
        return value
    table.gathering.reject(line, FLAGGED, ghcn.flagged_words(str(day), element, flag))
    return None


def _quality(cells: list[str], index: int | None) -> str:
    if index is None:
        return ""
    attributes = cells[index].split(",")
    return attributes[1].strip() if len(attributes) > 1 else ""


def _observed(table: Table) -> str:
    index = table.header.index("tmaxattributes")
    if index is None:
        return ""
    attributes = (cells[index].split(",") for _, _, cells in table.rows())
    return ghcn.observed_words(parts[3].strip() for parts in attributes if len(parts) > 3)
