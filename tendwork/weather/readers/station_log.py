"""Exports of personal weather stations and hourly archives: many readings a day, cut into days by the local clock."""

from __future__ import annotations

from array import array
from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from itertools import islice, pairwise

from tendwork.almanac.temperature import HIGHEST_C, LOWEST_C
from tendwork.errors import PersonError, located
from tendwork.weather.readers.clock import TimeOfDay, keeps_standard_time, standard_offset, time_of_day, zone_of
from tendwork.weather.readers.columns import Column
from tendwork.weather.readers.dates import DateOrder, order_of, written_day
from tendwork.weather.readers.gathering import BEYOND, CROSSED, UNREADABLE
from tendwork.weather.readers.local_days import LocalDays
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.samples import Samples
from tendwork.weather.readers.table import Table, split_stamp
from tendwork.weather.readers.unit_choice import UnitChoice
from tendwork.weather.readers.values import UNIT_NAMES, Unit, number, to_celsius

_FORMAT = "a station log"
_SUN_WORDS = "A sensor that the sun reaches shows maxima several degrees too high."
_ROWS_ASKED = 300
_MOST_REMEMBERED = 50_000  # dates and times of day as written
_NO_OFFSET = 32_000
_MINUTE = timedelta(minutes=1)


def is_log(table: Table) -> bool:
    """Whether the table has times of day and more than one row on a date, or no daily extremes at all."""
    if table.header.minimum is None or table.header.maximum is None:
        return table.header.temperature is not None
    stamps = [split_stamp(text) for _, text, _ in islice(table.rows(), _ROWS_ASKED)]
    timed = table.header.clock is not None or any(clock for _, clock in stamps)
    return timed and any(one == other for (one, _), (other, _) in pairwise(stamps))


def read_station_log(table: Table, timezone: str, asked: DateOrder | None, choice: UnitChoice) -> Reading:
    """The reading of a log, by civil days of `timezone`. Raises PersonError."""
    low, high = _columns(table)
    clock = _clock_column(table)
    order = order_of(table.name, ((line, split_stamp(text)[0]) for line, text, _ in table.rows()), asked)
    log = _log(table, clock, low, high, order)
    unit, ground = _unit(table, low, high, log, choice)
    zone = zone_of(timezone)
    offset, clock_words = _offset_of_clock(table, zone, log)
    days = LocalDays()
    _gather(table, log, unit, zone, offset, days)
    read = f"{days.readings} readings, gathered by local date in {timezone}."
    incomplete = days.into(table.gathering)
    return table.gathering.reading(
        _FORMAT,
        UNIT_NAMES[unit],
        (read, f'Temperature from column "{low.written}".', ground, clock_words, incomplete, _SUN_WORDS),
    )


class _Log:
    """The readings in the file's own unit, and the time of day of each, packed."""

    def __init__(self) -> None:
        self.values = Samples()
        self._minutes = array("h")
        self._offsets = array("h")
        self.first_year = 0
        self.local_hours: dict[int, int] = {}  # by day: the hours that the clock showed, as bits

    def add(self, line: int, day: date, of_day: TimeOfDay, low: float, high: float) -> None:
        hour, minute, written = of_day
        self.first_year = self.first_year or day.year
        self.values.add(line, day, low, high)
        self._minutes.append(60 * hour + minute)
        self._offsets.append(_NO_OFFSET if written is None else round(written / _MINUTE))
        if written is None:
            ordinal = day.toordinal()
            self.local_hours[ordinal] = self.local_hours.get(ordinal, 0) | 1 << hour

    def __iter__(self) -> Iterator[tuple[int, date, TimeOfDay, float, float]]:
        """(line, date, time of day, lowest, highest)"""
        for (line, day, low, high), minutes, offset in zip(self.values, self._minutes, self._offsets, strict=True):
            written = None if offset == _NO_OFFSET else timedelta(minutes=offset)
            if low is not None and high is not None:
                yield line, day, (minutes // 60, minutes % 60, written), low, high


def _unit(table: Table, low: Column, high: Column, log: _Log, choice: UnitChoice) -> tuple[Unit, str]:
    """The one unit of the log, and the ground where the file does not state it."""
    stated_low, stated_high = table.stated_unit(low), table.stated_unit(high)
    if stated_low and stated_high and stated_low[0] != stated_high[0]:
        raise located(
            table.name,
            f'column "{low.written}" is in {UNIT_NAMES[stated_low[0]]}, "{high.written}" in '
            f"{UNIT_NAMES[stated_high[0]]}",
            line=max(stated_low[1], stated_high[1]),
            remedy="Write both in one unit",
        )
    if stated := stated_low or stated_high:
        choice.agrees(table.name, stated[1], stated[0], f'column "{low.written}"')
        return stated[0], ""
    return choice.unit(table.name, table.header.line, log.values.whole_days())


def _columns(table: Table) -> tuple[Column, Column]:
    """The columns of the lowest and the highest value of an interval: one and the same where readings are instants."""
    header = table.header
    if header.temperature is not None:
        return header.temperature, header.temperature
    if header.minimum is None or header.maximum is None:
        raise located(table.name, "no column of temperatures is named", line=header.line)
    return header.minimum, header.maximum


def _clock_column(table: Table) -> int | None:
    """Where the time of day stands if it is not behind the date. Raises PersonError where there is none at all."""
    clock = table.header.clock
    if clock is not None and not any(split_stamp(text)[1] for _, text, _ in islice(table.rows(), _ROWS_ASKED)):
        if any(cells[clock.index].strip() for _, _, cells in table.rows()):
            return clock.index
    elif any(split_stamp(text)[1] for _, text, _ in table.rows()):
        return None
    raise _no_times(table)


def _no_times(table: Table) -> PersonError:
    return located(
        table.name,
        "one temperature without a time of day",
        line=table.header.line,
        remedy='Days need their minimum and maximum, as in "date,tmin_c,tmax_c"; a log needs the time of each reading',
    )


def _log(table: Table, clock: int | None, low: Column, high: Column, order: DateOrder) -> _Log:
    days: dict[str, date] = {}
    times: dict[str, TimeOfDay] = {}
    at_low, at_high, one_column = low.index, high.index, low.index == high.index
    log = _Log()
    for line, text, cells in table.rows():
        written_date, written_time = split_stamp(text)
        if clock is not None:
            written_time = cells[clock].strip()
        if len(times) + len(days) > _MOST_REMEMBERED:
            days.clear()
            times.clear()
        try:
            day = days.get(written_date) or days.setdefault(written_date, written_day(written_date, order))
            of_day = times.get(written_time) or times.setdefault(written_time, time_of_day(written_time))
            lowest = number(cells[at_low])
            highest = lowest if one_column else number(cells[at_high])
        except ValueError as error:
            table.gathering.reject(line, UNREADABLE, f"not a date, time of day and number: {error}")
            continue
        if lowest is not None and highest is not None:
            log.add(line, day, of_day, lowest, highest)
    return log


def _offset_of_clock(table: Table, zone: tzinfo, log: _Log) -> tuple[timedelta | None, str]:
    """The fixed offset from UTC that the station's clock keeps, or None for the local clock; and words about it."""
    keys = [column.key for column in (table.header.day, table.header.clock) if column is not None]
    if any(key.endswith("utc") for key in keys):
        return timedelta(), "Its clock is UTC."
    if not log.first_year:
        return None, ""
    standard = standard_offset(zone, log.first_year)
    if any(key.endswith("lst") for key in keys):
        return standard, "Its clock keeps standard time all year."
    local = (
        (date.fromordinal(ordinal), hour)
        for ordinal, hours in log.local_hours.items()
        for hour in range(24)
        if hours >> hour & 1
    )
    if keeps_standard_time(zone, local):
        return (
            standard,
            "Its clock keeps standard time all year: it shows the hour that summer time leaves out in spring.",
        )
    return None, ""


def _gather(table: Table, log: _Log, unit: Unit, zone: tzinfo, clock_offset: timedelta | None, days: LocalDays) -> None:
    for line, day, (hour, minute, written), low, high in log:
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
