"""A text table below its header: rows of the right width, of one station, with their dates."""

from __future__ import annotations

from collections.abc import Sequence

from tendwork.weather.readers.cells import cells_of
from tendwork.weather.readers.columns import Column, Header
from tendwork.weather.readers.gathering import UNREADABLE, Gathering
from tendwork.weather.readers.ghcn import several_stations
from tendwork.weather.readers.values import Unit, written_unit

_CELLS_ASKED_FOR_A_UNIT = 50
TableRow = tuple[int, str, list[str]]
"""(line, date as written, perhaps with a time of day, cells)"""


class Table:
    """The rows of one file; those of another width than the header are set aside in `gathering`."""

    def __init__(self, name: str, lines: Sequence[str], header: Header) -> None:
        self.name = name
        self.header = header
        self.gathering = Gathering(name)
        self.rows = self._rows(lines)
        self._check_station()

    def stated_unit(self, column: Column) -> Unit | None:
        """The unit in the column's name, else the one behind its numbers, else None."""
        if column.unit is not None:
            return column.unit
        asked = (written_unit(cells[column.index]) for _, _, cells in self.rows[:_CELLS_ASKED_FOR_A_UNIT])
        return next((unit for unit in asked if unit is not None), None)

    def _rows(self, lines: Sequence[str]) -> list[TableRow]:
        header = self.header
        rows: list[TableRow] = []
        for number, line in enumerate(lines[header.line :], start=header.line + 1):
            if not line or line.isspace() or line[0] == "#":
                continue
            try:
                cells = cells_of(line, header.delimiter)
            except ValueError as error:
                self.gathering.reject(number, UNREADABLE, str(error))
                continue
            surplus = cells[header.width :]
            if len(cells) < header.width or any(cell.strip() for cell in surplus):
                why = f"{len(cells)} columns where the header has {header.width}"
                self.gathering.reject(number, UNREADABLE, why)
                continue
            rows.append((number, _written_date(cells, header), cells))
        return rows

    def _check_station(self) -> None:
        station = self.header.station
        if station is None or not self.rows:
            return
        first = self.rows[0][2][station.index]
        for line, _, cells in self.rows:
            if cells[station.index] != first:
                raise several_stations(self.name, line, first.strip(), cells[station.index].strip())


def split_stamp(text: str) -> tuple[str, str]:
    """The date and the time of day in one cell; an empty time where there is none."""
    day, _, clock = text.partition("T" if text[10:11] == "T" else " ")
    return day.rstrip(","), clock.strip()


def _written_date(cells: Sequence[str], header: Header) -> str:
    if header.day is not None:
        return cells[header.day.index].strip()
    if header.year_month_day is None:
        return ""
    return "-".join(cells[index].strip() for index in header.year_month_day)
