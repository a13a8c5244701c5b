"""A text table below its header: rows of the right width, of one station, with their dates, in units that agree."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tendwork.errors import PersonError, located
from tendwork.weather.readers.cells import cells_of
from tendwork.weather.readers.columns import Column, Header, column_of
from tendwork.weather.readers.gathering import UNREADABLE, Gathering
from tendwork.weather.readers.ghcn import several_stations
from tendwork.weather.readers.text_lines import LONGEST_LINE, Lines
from tendwork.weather.readers.values import UNIT_NAMES, Unit, written_unit

_MOST_HEADING_LINES = 5  # below the line with the names: their second half, their units
_UNIT_WORDS: dict[str, Unit] = {
    **dict.fromkeys(("c", "°c", "℃", "degc", "deg_c", "celsius"), "c"),
    **dict.fromkeys(("f", "°f", "℉", "degf", "deg_f", "fahrenheit"), "f"),
    **dict.fromkeys(("k", "kelvin"), "k"),
}
TableRow = tuple[int, str, list[str]]
"""(line, date as written, perhaps with a time of day, cells)"""


class Table:
    """The rows of one file; those of another width than the header are set aside in `gathering`.

    Raises PersonError for a second station, and for a column whose parts state different units.
    """

    def __init__(self, name: str, lines: Lines, header: Header) -> None:
        self.name = name
        self.header = header
        self.gathering = Gathering(name)
        self._lines = lines
        self._stated: dict[int, tuple[Unit, int]] = {}
        for column in self._measuring():
            if column.unit is not None:
                self._stated[column.index] = (column.unit, header.line)
        self._last_heading = self._read_headings()
        self._look_through()

    def stated_unit(self, column: Column) -> tuple[Unit, int] | None:
        """The unit that a file states for a column, by its name, below it or behind its numbers; and on which line."""
        return self._stated.get(column.index)

    def rows(self) -> Iterator[TableRow]:
        """The rows, read from the lines each time."""
        return self._rows(rejecting=False)

    def _measuring(self) -> tuple[Column, ...]:
        header = self.header
        return tuple(column for column in (header.minimum, header.maximum, header.temperature) if column is not None)

    def _read_headings(self) -> int:
        """The number of the last line that still belongs to the header: it has words where the rows have a date."""
        header, last = self.header, self.header.line
        for number, line in self._lines.after(last):
            if number > header.line + _MOST_HEADING_LINES or len(line) > LONGEST_LINE:
                break
            if _is_no_row(line):
                continue
            try:
                cells = cells_of(line, header.delimiter)
            except ValueError:
                break
            if any(letter.isdigit() for letter in _written_date([*cells, *[""] * header.width], header)):
                break
            units = [(column, column_of(0, cells[column.index]).unit) for column in self._measuring_in(cells)]
            if any(number_like(cells[column.index]) for column, _ in units):
                break
            for column, unit in units:
                self._state(column, unit, number)
            last = number
        return last

    def _measuring_in(self, cells: Sequence[str]) -> list[Column]:
        return [column for column in self._measuring() if column.index < len(cells)]

    def _state(self, column: Column, unit: Unit | None, line: int) -> None:
        if unit is None:
            return
        stated, first = self._stated.setdefault(column.index, (unit, line))
        if stated != unit:
            raise self._mixed(column, unit, line, stated, first)

    def _mixed(self, column: Column, unit: Unit, line: int, stated: Unit, first: int) -> PersonError:
        return located(
            self.name,
            f'column "{column.written}" is in {UNIT_NAMES[unit]} here, but in {UNIT_NAMES[stated]} on line {first}',
            line=line,
            remedy="Write one column in one unit",
        )

    def _rows(self, rejecting: bool) -> Iterator[TableRow]:
        header = self.header
        for number, line in self._lines.after(self._last_heading):
            if _is_no_row(line):
                continue
            try:
                cells = _whole(line, header)
            except ValueError as error:
                if rejecting:
                    self.gathering.reject(number, UNREADABLE, str(error))
                continue
            yield number, _written_date(cells, header), cells

    def _look_through(self) -> None:
        station = None if self.header.station is None else self.header.station.index
        unit_column = None if self.header.unit is None else self.header.unit.index
        measuring = self._measuring()
        first: str | None = None
        for line, _, cells in self._rows(rejecting=True):
            if station is not None:
                first = cells[station] if first is None else first
                if cells[station] != first:
                    raise several_stations(self.name, line, first.strip(), cells[station].strip())
            for column in measuring:
                cell = cells[column.index]
                if not cell[-1:].isdigit():
                    self._state(column, written_unit(cell), line)
                if unit_column is not None:
                    self._state(column, _unit_word(cells[unit_column]), line)


def split_stamp(text: str) -> tuple[str, str]:
    """The date and the time of day in one cell; an empty time where there is none."""
    day, _, clock = text.partition("T" if text[10:11] == "T" else " ")
    return day.rstrip(","), clock.strip()


def number_like(cell: str) -> bool:
    """Whether a cell begins as a number does."""
    return cell.strip().strip('"').lstrip("+-−.,")[:1].isdigit()


def _is_no_row(line: str) -> bool:
    return not line or line.isspace() or line[0] == "#"


def _whole(line: str, header: Header) -> list[str]:
    """The cells of a row. Raises ValueError with the reason why it is none."""
    if len(line) > LONGEST_LINE:
        raise ValueError(f"a line of more than {LONGEST_LINE:,} characters")
    cells = cells_of(line, header.delimiter)
    if len(cells) == header.width:
        return cells
    if len(cells) < header.width or any(cell.strip() for cell in cells[header.width :]):
        raise ValueError(f"{len(cells)} columns where the header has {header.width}")
    return cells


def _unit_word(cell: str) -> Unit | None:
    return _UNIT_WORDS.get(cell.strip().strip('"').strip().lower())


def _written_date(cells: Sequence[str], header: Header) -> str:
    if header.day is not None:
        return cells[header.day.index].strip()
    if header.year_month_day is None:
        return ""
    return "-".join(cells[index].strip() for index in header.year_month_day)
