"""Dates as files write them. Day and month are told apart by the file itself or by the person, never by a guess."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import Literal

from tendwork.errors import located

DateOrder = Literal["dmy", "mdy"]

_YEAR_FIRST = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$")
_YEAR_LAST = re.compile(r"(\d{1,2})([-/.])(\d{1,2})[-/.](\d{4})$")
EARLIEST_YEAR, LATEST_YEAR = 1700, 2199  # no thermometer stood anywhere before


def written_day(text: str, order: DateOrder = "dmy") -> date:
    """The day that `text` names. Raises ValueError; a year that stands last is read in `order`."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = _other_day(text.strip(), order)
    if not EARLIEST_YEAR <= day.year <= LATEST_YEAR:
        raise ValueError(text)
    return day


def order_of(name: str, cells: Iterable[tuple[int, str]], asked: DateOrder | None) -> DateOrder:
    """Whether the (line, date) cells of one file put the day or the month first, where the year stands last.

    Raises PersonError where both stay possible and the person has not said which, where the file holds both, and where
    it holds another than the person says.
    """
    day_first: tuple[int, str] | None = None
    month_first: tuple[int, str] | None = None
    open_question: tuple[int, str] | None = None
    with_points = False
    for line, cell in cells:
        found = _YEAR_LAST.match(cell)
        if found is None:
            continue
        first, second = int(found.group(1)), int(found.group(3))
        if 31 >= first > 12 >= second:
            day_first = day_first or (line, cell)
        elif 31 >= second > 12 >= first:
            month_first = month_first or (line, cell)
        elif first != second and open_question is None:
            open_question = (line, cell)
            with_points = found.group(2) == "."
    if day_first and month_first:
        raise located(
            name,
            f'"{month_first[1]}" has its month first, but "{day_first[1]}" on line {day_first[0]} its day',
            line=month_first[0],
            remedy="Write all dates in one order",
        )
    against = {"dmy": month_first, "mdy": day_first}
    if asked is not None:
        if contrary := against[asked]:
            word = "day" if asked == "dmy" else "month"
            raise located(
                name,
                f'"{contrary[1]}" has no {word} in first place, as --dates {word}-first says',
                line=contrary[0],
                remedy="Leave --dates away, or mend the dates",
            )
        return asked
    if open_question and not day_first and not month_first and not with_points:
        raise located(
            name,
            f'"{open_question[1]}" may have its day or its month first, and no other date of the file tells',
            line=open_question[0],
            remedy="Say which with --dates day-first or --dates month-first",
        )
    return "mdy" if month_first else "dmy"  # with points the day stands first: common practice, no source


def _other_day(text: str, order: DateOrder) -> date:
    found = _YEAR_FIRST.match(text)
    if found is not None:
        return date(int(found.group(1)), int(found.group(2)), int(found.group(3)))
    found = _YEAR_LAST.match(text)
    if found is None:
        raise ValueError(text)
    first, second, year = int(found.group(1)), int(found.group(3)), int(found.group(4))
    return date(year, second, first) if order == "dmy" else date(year, first, second)
