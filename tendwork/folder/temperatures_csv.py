"""The house format of daily temperatures, `date,tmin_c,tmax_c`, or `date,tmin_f,tmax_f` in °F, read fast.

Sixty years are some 22,000 lines, and every command reads them, so lines are split by hand.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from msgspec import Struct

from tendwork.errors import located
from tendwork.folder.fields import number_text
from tendwork.folder.files import read_text, write_own

HEADER = "date,tmin_c,tmax_c"
HEADER_FAHRENHEIT = "date,tmin_f,tmax_f"
LOWEST_C, HIGHEST_C = -60.0, 60.0

DayTemperatures = dict[date, tuple[float, float]]


class TemperatureFile(Struct, frozen=True):
    """What a file holds: (tmin_c, tmax_c) by day in the order of days, and the lines that were set aside.

    `unbelieved` is what these say, not a number where a temperature is missing: it stays in the file.
    """

    days: DayTemperatures
    set_aside: tuple[str, ...] = ()
    unbelieved: DayTemperatures = {}


def read_temperatures(path: Path, name: str = "", fahrenheit: bool = False) -> TemperatureFile:
    """Read one file. Raises PersonError for a line that is no date and two numbers; values out of bounds are set aside.

    A later line of the same day wins. `name` is how to call the file in a fault. A file in °F, because its first line
    or site.toml (`fahrenheit`) says so, comes back in °C. A first line that names no unit is refused.
    """
    name = name or str(path)
    lines = read_text(path, name).replace("\r\n", "\n").replace("\r", "\n").split("\n")
    first_line = lines[0][:100].lower().replace(" ", "").replace('"', "")
    if first_line not in (HEADER, HEADER_FAHRENHEIT):
        raise located(
            name,
            f'the first line must be "{HEADER}", or "{HEADER_FAHRENHEIT}" for °F',
            line=1,
            remedy="`tendwork temps add FILE` reads other forms.",
        )
    fahrenheit = fahrenheit or first_line == HEADER_FAHRENHEIT
    days: DayTemperatures = {}
    aside: list[str] = []
    unbelieved: DayTemperatures = {}
    sorted_so_far = True
    latest = date.min
    for number, line in enumerate(lines[1:], start=2):
        line = line.strip()
        if not line:
            continue
        day_text, _, rest = line.partition(",")
        low_text, _, high_text = rest.partition(",")
        try:
            day = date.fromisoformat(day_text)
            low, high = float(low_text), float(high_text)
        except ValueError:
            day, low, high = _read_carefully(line, name, number)
        if fahrenheit:
            low, high = (low - 32) / 1.8, (high - 32) / 1.8
        if LOWEST_C <= low <= high <= HIGHEST_C:
            sorted_so_far = sorted_so_far and day > latest
            days[day] = (low, high)
            latest = day
        else:
            unbelieved[day] = (low, high)
            aside.append(f"{name}, line {number}: {_disbelief(low, high)}; set aside")
    return TemperatureFile(days if sorted_so_far else dict(sorted(days.items())), tuple(aside), unbelieved)


def write_temperatures(path: Path, days: Mapping[date, tuple[float, float]]) -> None:
    """Write all days in order, whole or not at all. Raises PersonError."""
    rows = [f"{day.isoformat()},{_cell(low)},{_cell(high)}" for day, (low, high) in sorted(days.items())]
    write_own(path, "\n".join([HEADER, *rows, ""]).encode())


def _cell(temperature: float) -> str:
    return "" if math.isnan(temperature) else number_text(temperature)


def _read_carefully(line: str, name: str, number: int) -> tuple[date, float, float]:
    """A line that is quoted, or blank where a number should be, or wrong."""
    import csv

    try:
        cells = [cell.strip() for cell in next(csv.reader([line]))]
        if len(cells) != 3:
            raise ValueError
        low, high = (float(cell) if cell else float("nan") for cell in cells[1:])
        return date.fromisoformat(cells[0]), low, high
    except (ValueError, csv.Error):
        what = f'"{line[:60]}" is not a date and two temperatures'
        raise located(name, what, line=number, remedy="Write for instance 2026-03-01,-1.5,8.2.") from None


def _disbelief(low: float, high: float) -> str:
    if low != low or high != high:
        return "a temperature is missing"
    if low > high:
        return f"the minimum of {low:.4g} °C is above the maximum of {high:.4g} °C"
    return f"{low:.4g} to {high:.4g} °C is not between {LOWEST_C:g} and {HIGHEST_C:g} °C"
