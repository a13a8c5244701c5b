"""Days as columns: the axis on which the season's strip and the courses of heat and chill are drawn."""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.view.text import padded
from tendwork.view.words import format_day, month_words

SEASON, MONTH, WEEK = "season", "month", "week"
ZOOMS = (SEASON, MONTH, WEEK)

_DAY = timedelta(days=1)
_WEEK_DAYS = 7
_MONTH_DAYS = 35  # a month and the days that hang on to it
_NAMED_COLUMNS = 50  # a year in fewer columns has a letter for each month
_NUMBERED_COLUMNS = 3  # a column of days narrower than this numbers the Mondays only


class Axis(Struct, frozen=True):
    """`columns` that stand for `days` from `first` on; a day may take several columns, or a column several days."""

    first: date
    days: int
    columns: int

    @property
    def last(self) -> date:
        return self.first + (self.days - 1) * _DAY

    def column(self, day: date) -> int:
        """The first column of a day; below 0 or beyond the columns for one outside."""
        return (day - self.first).days * self.columns // self.days

    def middle(self, day: date) -> int:
        """The column in which a single mark for a day stands."""
        return max(self.column(day), (self.column(day) + self.column(day + _DAY) - 1) // 2)

    def span(self, first: date, last: date) -> range:
        """The columns from one day through another, cut to the axis."""
        stop = max(self.column(last) + 1, self.column(last + _DAY))
        return range(max(self.column(first), 0), min(stop, self.columns))

    def holds(self, first: date, last: date) -> bool:
        """Whether any day from one through another lies on the axis."""
        return first <= self.last and last >= self.first

    def days_of(self, column: int) -> tuple[date, date]:
        """The first and last day of a column."""
        first = column * self.days // self.columns
        last = max(first, ((column + 1) * self.days - 1) // self.columns)
        return self.first + first * _DAY, self.first + last * _DAY


def zoomed(zoom: str, focus: date, season: Season, columns: int) -> Axis:
    """The whole season, or the month or week that `focus` stands in; as many columns as days can share evenly."""
    if zoom == SEASON:
        return Axis(season.start, (season.end - season.start).days + 1, columns)
    if zoom == MONTH:
        wide = max(1, columns // _MONTH_DAYS)
        return Axis(focus.replace(day=1), max(columns // wide, 1), max(columns // wide, 1) * wide)
    wide = max(1, columns // _WEEK_DAYS)
    return Axis(focus - focus.weekday() * _DAY, _WEEK_DAYS, wide * _WEEK_DAYS)


def stepped(zoom: str, focus: date, steps: int) -> date:
    """`focus` moved by whole seasons, months or weeks; a season that is left is entered in the same month."""
    if zoom == WEEK:
        return focus + steps * _WEEK_DAYS * _DAY
    months = steps if zoom == MONTH else 12 * steps
    year, month = divmod(focus.year * 12 + focus.month - 1 + months, 12)
    return date(year, month + 1, 1)


def head(axis: Axis) -> str:
    """The names of the months, with the days of the month where there is room for them."""
    if axis.days == _WEEK_DAYS:
        wide = axis.columns // _WEEK_DAYS
        days = [axis.first + step * _DAY for step in range(_WEEK_DAYS)]
        return "".join(padded(format_day(day, day).rsplit(" ", 1)[0], wide) for day in days)
    cells = [" "] * axis.columns
    numbered = axis.columns >= axis.days
    letters = 3 if numbered or axis.columns >= _NAMED_COLUMNS else 1
    for step in range(axis.days):
        day = axis.first + step * _DAY
        if day.day == 1 or step == 0:
            _write(cells, axis.column(day), month_words(day)[:letters])
        elif numbered and (day.weekday() == 0 or axis.columns // axis.days > _NUMBERED_COLUMNS):
            _write(cells, axis.column(day), str(day.day))
    return "".join(cells)


def _write(cells: list[str], at: int, words: str) -> None:
    """Put words where nothing stands yet, with a blank before them, or leave them out."""
    if len(words) <= len(cells) - at and all(cell == " " for cell in cells[max(at - 1, 0) : at + len(words)]):
        cells[at : at + len(words)] = words
