"""From when and until when picked fruit is good to eat, of what a person or a list says of a variety."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date, timedelta

from tendwork.orchard.rough_dates import month_named

_ASIDE = re.compile(r"\([^)]*\)")
_NUMBERS = {word: number for number, word in enumerate(
    ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"), 1
)} | {"a": 1, "half a": 0.5}  # fmt: skip
_NUMBER = rf"(\d+(?:[.,]\d+)?|1/2|{'|'.join(sorted(_NUMBERS, key=len, reverse=True))})"
_UNIT = r"(d|days?|wks?|weeks?|mths?|mos?|months?|yrs?|years?)"
_LENGTH = re.compile(rf"(?<![\w.,/]){_NUMBER}(?: ?(?:-|\u2013|to|or) ?{_NUMBER})? ?{_UNIT}\b", re.IGNORECASE)
_DAY = re.compile(r"(?<!\w)(\d{1,2}) ([a-z]{3,9})\b", re.IGNORECASE)
_WORD = re.compile(r"[a-z]{3,9}", re.IGNORECASE)
_MAY_BE = re.compile(r"\bmay (?!best\b|at\b|and\b|or\b|to\b|if\b|in\b|from\b|on\b)[a-z]", re.IGNORECASE)
_NONE = re.compile(
    r"(does not|doesn't|do not|don't|will not|not) (keep|store)|no keeper|eat at (harvest|once)", re.IGNORECASE
)
_LEAP_YEAR = 2024
_UNIT_DAYS = {"d": 1, "w": 7, "m": 30, "y": 365}
_LONGEST_DAYS = 730
"""No fruit keeps for longer than two years, so a longer time is a slip (our own bound)."""


def keeps_not(text: str) -> bool:
    """Whether a text says that the fruit does not keep: "does not keep", "eat at harvest"."""
    return _NONE.search(text) is not None


def keeps_fault(text: str) -> str:
    """Why a text cannot say how long fruit keeps, in words that follow the field's name; empty if it may."""
    for found in _LENGTH.finditer(_ASIDE.sub("", text)):
        if any(days > _LONGEST_DAYS for days in _days_of(found)):
            return f'"{text}" is longer than any fruit keeps, two years'
    for found in _DAY.finditer(text):
        month = month_named(found[2])
        if month is not None and not 1 <= int(found[1]) <= monthrange(_LEAP_YEAR, month)[1]:
            return f'"{text}" has a day that is none: {found[0]}'
    return ""


def _days_of(length: re.Match[str]) -> list[float]:
    each = _UNIT_DAYS[length[3][0].lower()]
    return [_number(part) * each for part in length.groups()[:2] if part]


def _number(text: str) -> float:
    text = text.lower()
    return _NUMBERS[text] if text in _NUMBERS else 0.5 if text == "1/2" else float(text.replace(",", "."))


def kept_until(text: str, picked: date) -> date | None:
    """The last day that a text gives, for fruit picked on a day; None where it gives none ("long", "does not keep").

    Of "2-3 months" it is the shorter time, of "Jan-Feb" the end of the later month, both the next after picking.
    """
    text = _ASIDE.sub("", text)
    if keeps_not(text) or keeps_fault(text):
        return None
    if found := _LENGTH.search(text):
        return picked + timedelta(days=round(min(_days_of(found))))
    text = _MAY_BE.sub(" ", text)
    if (found := _DAY.search(text)) and (month := month_named(found[2])):
        return _next(month, min(int(found[1]), 28), picked)
    named = [month for word in _WORD.findall(text.split(",")[0]) if (month := month_named(word))]
    return _next(named[-1], None, picked) if named else None


def used_from(text: str, picked: date) -> date | None:
    """The first day of the first of two months of use ("Nov-Feb"); None where no two are named, or it is past then."""
    named = [month for word in _WORD.findall(_ASIDE.sub("", text).split(",")[0]) if (month := month_named(word))]
    if len(named) < 2 or keeps_fault(text):
        return None
    last = _next(named[-1], None, picked)
    first = next((day for back in (0, 1) if (day := date(last.year - back, named[0], 1)) <= last), None)
    return first if first is not None and first > picked else None


def _next(month: int, day: int | None, picked: date) -> date:
    """That day, or the last one of the month, on or after picking."""
    for year in (picked.year, picked.year + 1):
        found = date(year, month, day or monthrange(year, month)[1])
        if found >= picked:
            return found
    return date(picked.year + 1, month, day or monthrange(picked.year + 1, month)[1])
