"""From when and until when picked fruit is good to eat, of what a person or a list says of a variety."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date, timedelta

from tendwork.orchard.rough_dates import MONTHS, month_named

_ASIDE = re.compile(r"\([^)]*\)")
_NUMBERS = {word: number for number, word in enumerate(
    ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"), 1
)} | {"a": 1, "half a": 0.5}  # fmt: skip
_NUMBER = rf"((?:\d+ ?)?(?:1/2|\u00bd)|\d+(?:[.,]\d+)?|{'|'.join(sorted(_NUMBERS, key=len, reverse=True))})"
_UNIT = r"(d|days?|wks?|weeks?|mths?|mos?|months?|yrs?|years?)"
_TIME = rf"(?<![\w.,/\u2013-]){_NUMBER}(?: ?(?:-|\u2013|to|or) ?{_NUMBER})? ?{_UNIT}\b"
_LENGTH = re.compile(_TIME, re.IGNORECASE)
_NOT_SO_LONG = re.compile(rf"\bnot {_TIME}", re.IGNORECASE)
_MONTH = rf"(?P<month>(?:{'|'.join(MONTHS)})[a-z]{{0,6}})\b"
_DAY_BEFORE = r"(?:(?<!\w)(?P<before>\d{1,2})(?:st|nd|rd|th)?\.? )?"
_DAY_AFTER = r"(?:\.? (?:\d{1,2} ?[-\u2013] ?(?=\d{1,2}(?!\w| [a-z])))?(?P<after>\d{1,2})(?:st|nd|rd|th)?(?!\w))?"
_DATE = re.compile(rf"{_DAY_BEFORE}(?<![a-z]){_MONTH}{_DAY_AFTER}", re.IGNORECASE)
_WORD = re.compile(r"[a-z]{3,9}", re.IGNORECASE)
_MAY_BE = re.compile(
    r"\b(?:it|they|fruit) may\b|\bmay (?!(?:best|at|and|or|to|if|in|from|on)\b)(?=[a-z])", re.IGNORECASE
)
_NONE = re.compile(
    r"(?:(?:does not|doesn't|will not|won't|may not) (?:keep|store)|(?:do not|don't) keep)"
    r"(?! (?:beyond|past|after|into|until|till|for|over|longer|more)\b)|no keeper|eat at (?:harvest|once)",
    re.IGNORECASE,
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
    said = _plain(text)
    for found in _LENGTH.finditer(said):
        if any(days > _LONGEST_DAYS for days in _days_of(found)):
            return f'"{text}" is longer than any fruit keeps, two years'
    for found in _DATE.finditer(_LENGTH.sub("", said)):
        month = month_named(found["month"])
        if month is not None and any(
            day and not 1 <= int(day) <= monthrange(_LEAP_YEAR, month)[1] for day in (found["before"], found["after"])
        ):
            return f'"{text}" has a day that is none: {found[0]}'
    return ""


def _plain(text: str) -> str:
    """A text without asides, without what it is said not to keep, and without "may" where it is no month."""
    return _MAY_BE.sub(" ", _NOT_SO_LONG.sub("", _ASIDE.sub("", text)))


def _days_of(length: re.Match[str]) -> list[float]:
    each = _UNIT_DAYS[length[3][0].lower()]
    return [_number(part) * each for part in length.groups()[:2] if part]


def _number(text: str) -> float:
    text = text.lower().replace("\u00bd", "1/2")
    if text.endswith("1/2"):
        return float(text.removesuffix("1/2").strip() or 0) + 0.5
    return _NUMBERS[text] if text in _NUMBERS else float(text.replace(",", "."))


def kept_until(text: str, picked: date) -> date | None:
    """The last day that a text gives, for fruit picked on a day; None where it gives none ("long", "does not keep").

    Of "2-3 months" it is the shorter time, of "Jan-Feb" the end of the later month, both the next after picking.
    """
    if keeps_not(text) or keeps_fault(text):
        return None
    text = _plain(text)
    if found := _LENGTH.search(text):
        return picked + timedelta(days=round(min(_days_of(found))))
    said = [(month, one) for one in _DATE.finditer(text.split(",")[0]) if (month := month_named(one["month"]))]
    if not said:
        return None
    month, last = said[-1]
    day = last["after"] or last["before"]
    return _next(month, int(day) if day else None, picked)


def used_from(text: str, picked: date) -> date | None:
    """The first day of the first of two months of use ("Nov-Feb"); None where no two are named, or it is past then."""
    named = [month for word in _WORD.findall(_plain(text).split(",")[0]) if (month := month_named(word))]
    if len(named) < 2 or keeps_fault(text):
        return None
    last = _next(named[-1], None, picked)
    first = next((day for back in (0, 1) if (day := date(last.year - back, named[0], 1)) <= last), None)
    return first if first is not None and first > picked else None


def _next(month: int, day: int | None, picked: date) -> date:
    """That day, or the last one of the month, on or after picking."""
    for year in (picked.year, picked.year + 1):
        last = monthrange(year, month)[1]
        found = date(year, month, min(day or last, last))
        if found >= picked:
            break
    return found
