"""The year of a tree's growth and fruit, which is not the calendar's: an apple eaten in January is last year's crop."""

from __future__ import annotations

from datetime import date, timedelta

_SPRING_MONTH = 4  # fruit of the year before is eaten up, and none of the new year is there yet
_LAST_MONTH_OF_SPRING_GRAFTS = 7  # what is set later sleeps until the next spring


def fruit_year(day: date, south: bool = False) -> int:
    """The crop that fruit eaten on `day` belongs to, by the year of its spring: from April, in the south October."""
    north = _northern(day, south)
    return north.year if north.month >= _SPRING_MONTH else north.year - 1


def first_growing_year(set_on: date, south: bool = False) -> int:
    """The year of the spring in which a graft set on this day first grows: summer buds sleep until the next one."""
    north = _northern(set_on, south)
    return north.year if north.month <= _LAST_MONTH_OF_SPRING_GRAFTS else north.year + 1


def day_of_fruit_year(month_day: tuple[int, int], south: bool = False) -> int:
    """Days from the start of the fruit year (1 April, in the south 1 October) to a (month, day); 29 February is 28."""
    month, day = month_day
    start = _SPRING_MONTH + 6 if south else _SPRING_MONTH
    year = 2001 if month >= start else 2002
    return (date(year, month, min(day, 28) if month == 2 else day) - date(2001, start, 1)).days


def month_day_of(day_of_year: int, south: bool = False) -> tuple[int, int]:
    """The (month, day) so many days after the start of the fruit year; the reverse of `day_of_fruit_year`."""
    day = date(2001, _SPRING_MONTH + 6 if south else _SPRING_MONTH, 1) + timedelta(days=day_of_year)
    return day.month, day.day


def _northern(day: date, south: bool) -> date:
    """The first of the month in which the same time of the year is in the north, which is all that is asked of it."""
    if not south:
        return day
    return date(day.year, day.month - 6, 1) if day.month > 6 else date(day.year - 1, day.month + 6, 1)
