"""From when and until when picked fruit is good to eat, of what a person or a list says of a variety."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date, timedelta

from tendwork.orchard.rough_dates import month_named

_ASIDE = re.compile(r"\([^)]*\)")
_LENGTH = re.compile(r"(\d+)(?: ?(?:-|\u2013|to) ?\d+)? ?(d|days?|weeks?|months?)\b", re.IGNORECASE)
_DAY = re.compile(r"(\d{1,2}) ([a-z]{3,9})\b", re.IGNORECASE)
_WORD = re.compile(r"[a-z]{3,9}", re.IGNORECASE)
_MONTH_DAYS = 30


def kept_until(text: str, picked: date) -> date | None:
    """The last day that a text gives, for fruit picked on a day; None where it gives none ("long", "does not keep").

    Of "2-3 months" it is the shorter time, of "Jan-Feb" the end of the later month, both the next after picking.
    """
    text = _ASIDE.sub("", text)
    if found := _LENGTH.search(text):
        unit = found[2].lower()
        each = 7 if unit.startswith("week") else _MONTH_DAYS if unit.startswith("month") else 1
        return picked + timedelta(days=int(found[1]) * each)
    if (found := _DAY.search(text)) and (month := month_named(found[2])):
        return _next(month, min(int(found[1]), 28), picked)
    named = [month for word in _WORD.findall(text.split(",")[0]) if (month := month_named(word))]
    return _next(named[-1], None, picked) if named else None


def used_from(text: str, picked: date) -> date | None:
    """The first day of the first of two months of use ("Nov-Feb"); None where no two are named, or it is past then."""
    named = [month for word in _WORD.findall(_ASIDE.sub("", text).split(",")[0]) if (month := month_named(word))]
    if len(named) < 2:
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
