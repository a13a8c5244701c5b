"""Exports of personal weather stations and hourly archives: many readings a day, cut into days by the local clock."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import pairwise

from tendwork.almanac.temperature import HIGHEST_C, LOWEST_C
from tendwork.errors import PersonError, located
from tendwork.weather.readers.clock import TimeOfDay, keeps_standard_time, standard_offset, time_of_day, zone_of
from tendwork.weather.readers.columns import Column
from tendwork.weather.readers.dates import DateOrder, order_of, written_day
from tendwork.weather.readers.gathering import BEYOND, CROSSED, UNREADABLE
from tendwork.weather.readers.local_days import LocalDays
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.table import Table, split_stamp
from tendwork.weather.readers.unit_plausibility import plausible_unit
from tendwork.weather.readers.values import UNIT_NAMES, Unit, number, to_celsius

_FORMAT = "a station log"
_SUN_WORDS = "A sensor that the sun reaches shows maxima several degrees too high."
_ROWS_ASKED = 300
_Stamp = tuple[int, str, str, list[str]]
"""(line, date, time of day, cells)"""
_Sample = tuple[int, date, TimeOfDay, float, float]
"""(line, date, time of day, lowest, highest) in the file's own unit"""


def is_log(table: Table) -> bool:
    """Whether the table has times of day and more than one row on a date, or no daily extremes at all."""
    if table.header.minimum is None or table.header.maximum is None:
        return table.header.temperature is not None
    stamps = [split_stamp(text) for _, text, _ in table.rows[:_ROWS_ASKED]]
    timed = table.header.clock is not None or any(clock for _, clock in stamps)
    return timed and any(one == other for (one, _), (other, _) in pairwise(stamps))


def read_station_log(table: Table, timezone: str, asked: DateOrder | None) -> Reading:
    """The reading of a log, by civil days of `timezone`. Raises PersonError."""
    low, high = _columns(table)
    stamps = _stamps(table)
    order = order_of(table.name, ((line, day) for line, day, _, _ in stamps), asked)
    samples = list(_samples(table, stamps, low, high, order))
    unit, ground = table.stated_unit(low), ""
    if unit is None:
        values = [(day, lowest, highest) for _, day, _, lowest, highest in samples]
        unit, ground = plausible_unit(table.name, table.header.line, values)
    zone = zone_of(timezone)
    offset, clock_words = _offset_of_clock(table, zone, samples)
    days = LocalDays()
    _gather(table, samples, unit, zone, offset, days)
    read = f"{days.readings} readings, gathered by local date in {timezone}."
    incomplete = days.into(table.gathering)
    return table.gathering.reading(
        _FORMAT,
        UNIT_NAMES[unit],
        (read, f'Temperature from column "{low.written}".', ground, clock_words, incomplete, _SUN_WORDS),
    )


def _columns(table: Table) -> tuple[Column, Column]:
    """The columns of the lowest and the highest value of an interval: one and the same where readings are instants."""
    header = table.header
    if header.temperature is not None:
        return header.temperature, header.temperature
    if header.minimum is None or header.maximum is None:
        raise located(table.name, "no column of temperatures is named", line=header.line)
    return header.minimum, header.maximum


def _stamps(table: Table) -> list[_Stamp]:
    stamps = [(line, *split_stamp(text), cells) for line, text, cells in table.rows]
    clock = table.header.clock
    if clock is not None and not any(of_day for _, _, of_day, _ in stamps[:_ROWS_ASKED]):
        stamps = [(line, day, cells[clock.index].strip(), cells) for line, day, _, cells in stamps]
    if not any(of_day for _, _, of_day, _ in stamps):
        raise _no_times(table)
    return stamps


def _no_times(table: Table) -> PersonError:
    return located(
        table.name,
        "one temperature without a time of day",
        line=table.header.line,
        remedy='Days need their minimum and maximum, as in "date,tmin_c,tmax_c"; a log needs the time of each reading',
    )


def _samples(table: Table, stamps: list[_Stamp], low: Column, high: Column, order: DateOrder) -> Iterator[_Sample]:
    days: dict[str, date] = {}
    times: dict[str, TimeOfDay] = {}
    at_low, at_high, one_column = low.index, high.index, low.index == high.index
    for line, written_date, written_time, cells in stamps:
        try:
            day = days.get(written_date) or days.setdefault(written_date, written_day(written_date, order))
            of_day = times.get(written_time) or times.setdefault(written_time, time_of_day(written_time))
            lowest = number(cells[at_low])
            highest = lowest if one_column else number(cells[at_high])
        except ValueError as error:
            table.gathering.reject(line, UNREADABLE, f"not a date, time of day and number: {error}")
            continue
        if lowest is not None and highest is not None:
            yield line, day, of_day, lowest, highest


def _offset_of_clock(table: Table, zone: tzinfo, samples: list[_Sample]) -> tuple[timedelta | None, str]:
    """The fixed offset from UTC that the station's clock keeps, or None for the local clock; and words about it."""
    keys = [column.key for column in (table.header.day, table.header.clock) if column is not None]
    if any(key.endswith("utc") for key in keys):
        return timedelta(), "Its clock is UTC."
    if not samples:
        return None, ""
    standard = standard_offset(zone, samples[0][1].year)
    if any(key.endswith("lst") for key in keys):
        return standard, "Its clock keeps standard time all year."
    local = {(day, hour) for _, day, (hour, _, written), _, _ in samples if written is None}
    if keeps_standard_time(zone, local):
        return (
            standard,
            "Its clock keeps standard time all year: it shows the hour that summer time leaves out in spring.",
        )
    return None, ""


def _gather(
    table: Table, samples: list[_Sample], unit: Unit, zone: tzinfo, clock_offset: timedelta | None, days: LocalDays
) -> None:
    for line, day, (hour, minute, written), low, high in samples:
        lowest, highest = to_celsius(low, unit), to_celsius(high, unit)
        if not (LOWEST_C <= lowest <= HIGHEST_C and LOWEST_C <= highest <= HIGHEST_C) or lowest > highest:
            kind = CROSSED if LOWEST_C <= highest < lowest <= HIGHEST_C else BEYOND
            table.gathering.reject(line, kind, f"{day} {hour:02}:{minute:02}: {lowest:g} to {highest:g} °C")
            continue
        offset = clock_offset if written is None else written
        if offset is not None:
            local = (datetime.combine(day, time(hour, minute), UTC) - offset).astimezone(zone)
            day, hour = local.date(), local.hour
        days.add(line, day, hour, lowest, highest)
