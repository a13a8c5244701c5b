"""Dates of the past as a person knows and writes them: a day, a month or only a year.

What is not known is never made up: a `RoughDate` stays one wherever it is kept, shown or given away. A rule that needs
a day asks `day_known` and goes without; a bound asks for the first or the last day that it may have been.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Mapping
from datetime import date

from msgspec import Struct

_MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
    "december",
)  # fmt: skip
MONTHS = tuple(name[:3].capitalize() for name in _MONTHS)
_YEAR, _PART = r"(?P<year>[0-9]{4})", r"[0-9]{1,2}"
_ISO = re.compile(rf"{_YEAR}(?:-(?P<month>[0-9]{{2}})(?:-(?P<day>[0-9]{{2}}))?)?")
_YEAR_FIRST = re.compile(rf"{_YEAR}(?:(?P<mark>[-./])(?P<month>{_PART})(?:(?P=mark)(?P<day>{_PART}))?)?")
_YEAR_LAST = re.compile(rf"(?P<first>{_PART})(?P<mark>[-./])(?P<second>{_PART})(?P=mark){_YEAR}")
_MONTH_AND_YEAR = re.compile(rf"(?P<month>{_PART})[-./]{_YEAR}")
_NAMED = re.compile(rf"(?:(?P<day>{_PART})[. ] ?)?(?P<month>[a-z]{{3,9}})[. ] ?{_YEAR}", re.IGNORECASE)
_SUCH_AS = "such as 2026-03-15"


class RoughDate(Struct, frozen=True):
    """A date of which only the year is known, or the year and the month. Raises ValueError for what there is not."""

    year: int
    month: int | None = None

    def __post_init__(self) -> None:
        date(self.year, 1 if self.month is None else self.month, 1)


Noted = date | RoughDate
"""A day, or as much of it as is known."""


def day_known(noted: Noted | None) -> date | None:
    """The day, where it is known."""
    return noted if isinstance(noted, date) else None


def first_day(noted: Noted) -> date:
    """The first day that it may have been."""
    return noted if isinstance(noted, date) else date(noted.year, 1 if noted.month is None else noted.month, 1)


def last_day(noted: Noted) -> date:
    """The last day that it may have been."""
    if isinstance(noted, date):
        return noted
    month = noted.month or 12
    return date(noted.year, month, monthrange(noted.year, month)[1])


def middle_day(noted: Noted) -> date:
    """A day for rules that go by the year or the season alone, such as an age; never to be shown."""
    return noted if isinstance(noted, date) else date(noted.year, noted.month or 6, 15)


def may_be_on(noted: Noted, day: date) -> bool:
    """Whether it may have been on this day."""
    return first_day(noted) <= day <= last_day(noted)


def date_text(noted: Noted) -> str:
    """As files keep it: "2019", "2019-04" or "2019-04-13"."""
    if isinstance(noted, date):
        return noted.isoformat()
    return f"{noted.year:04d}" if noted.month is None else f"{noted.year:04d}-{noted.month:02d}"


def rough_words(noted: RoughDate) -> str:
    """As a person reads it: "2019" or "Apr 2019"."""
    return str(noted.year) if noted.month is None else f"{MONTHS[noted.month - 1]} {noted.year}"


def when_words(noted: Noted | None) -> str:
    """When, in a sentence: "on 2026-04-13", "in Apr 2019", "in 2019" or "on a day not noted"."""
    if noted is None:
        return "on a day not noted"
    return f"in {rough_words(noted)}" if isinstance(noted, RoughDate) else f"on {noted.isoformat()}"


def date_of_text(text: str) -> Noted:
    """The date of a text that `date_text` wrote. Raises ValueError for any other."""
    found = _ISO.fullmatch(text)
    if found is None:
        raise ValueError(text)
    return _noted(found.groupdict())


def date_written(text: str) -> Noted:
    """What a person means by a date in the past: a year, a month and year, or a day.

    2019; 2019-04, 4.2019, Apr 2019; 2019-04-13, 13.4.2019, 13 April 2019. Dots are day, month, year. Between slashes or
    hyphens the day is only where it can be no month. Raises ValueError whose words may follow the name of a field.
    """
    said = re.sub(r" ?([-./]) ?", r"\1", " ".join(text.split()))
    try:
        if found := _YEAR_FIRST.fullmatch(said) or _MONTH_AND_YEAR.fullmatch(said):
            return _noted(found.groupdict())
        if found := _YEAR_LAST.fullmatch(said):
            return _year_last(said, found)
        if (found := _NAMED.fullmatch(said)) and (month := month_named(found["month"])):
            return _noted({**found.groupdict(), "month": month})
    except _Ambiguous as error:
        raise ValueError(str(error)) from None
    except ValueError:
        raise ValueError(f'"{text}" is a day or a month that there is not; write one {_SUCH_AS}') from None
    raise ValueError(f'"{text}" is not a date, {_SUCH_AS}')


def day_written(text: str) -> date:
    """What a person means by a day, written in any way that `date_written` reads. Raises ValueError as that does."""
    noted = date_written(text)
    if isinstance(noted, date):
        return noted
    raise ValueError(f'"{text}" names no day; write one {_SUCH_AS}')


class _Ambiguous(ValueError):
    """A day that may be two."""


def _noted(parts: Mapping[str, str | int | None]) -> Noted:
    year, month, day = (None if (part := parts.get(name)) is None else int(part) for name in ("year", "month", "day"))
    assert year is not None
    return RoughDate(year, month) if month is None or day is None else date(year, month, day)


def _year_last(said: str, found: re.Match[str]) -> date:
    year, second = int(found["year"]), int(found["second"])
    first = int(found["first"])
    if found["mark"] == "." or first > 12 or first == second:
        return date(year, second, first)
    if second > 12:
        return date(year, first, second)
    one, other = date(year, second, first), date(year, first, second)
    raise _Ambiguous(
        f'"{said}" may be {one.day} {MONTHS[one.month - 1]} or {other.day} {MONTHS[other.month - 1]}; write'
        f" {one.isoformat()} or {other.isoformat()}"
    )


def month_named(word: str) -> int | None:
    """The month that an English word means, whole or in its first three or four letters; None for another word."""
    folded = word.casefold()
    fits = [number for number, name in enumerate(_MONTHS, 1) if name == folded or folded in (name[:3], name[:4])]
    return fits[0] if len(fits) == 1 else None
