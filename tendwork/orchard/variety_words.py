"""What stands in the fields of a variety's record, understood: its bloom, when it ripens, how strongly it grows.

The bloom group of the British lists, 1 to 7 or A to G, is the measure (bloom_groups.py). Words such as "early" have no
place on it and are refused.
"""

from __future__ import annotations

import re
from datetime import date

from tendwork.bloom_groups import group_of_days

MonthDay = tuple[int, int]

_ONE_GROUP = r"(\d{1,2}|[a-h])"
_GROUP = re.compile(rf"(?:bloom )?(?:group )?{_ONE_GROUP}(?:(?: to |-){_ONE_GROUP})?", re.IGNORECASE)
_DAYS = re.compile(r"([+-]\d{1,2}(?:\.\d)?)(?: ?days?)?", re.IGNORECASE)
_LATER = re.compile(r"(\d{1,2}(?:\.\d)?) ?days? (later|earlier)", re.IGNORECASE)
_SPAN = re.compile(r"(\d\d)-(\d\d)(?: (?:to|-) (\d\d)-(\d\d))?")
_AGAINST = re.compile(r"(.*\S) ([+-]?\d{1,3})(?: ?(days?|weeks?))?", re.IGNORECASE)
_VIGOUR = {
    "strong": ("strong", "vigorous"),
    "middle": ("middle", "medium", "moderate"),
    "weak": ("weak", "low", "compact", "dwarf"),
}


def group_words(group: float) -> str:
    """ "group 3", "group 2.5"."""
    return f"group {group:g}"


def bloom_group(text: str) -> float | None:
    """The bloom group that a text means, of "2 to 3" the middle, of "+4 days" the fourth; None for another text."""
    text = " ".join(text.split())
    if found := _GROUP.fullmatch(text):
        groups = [_number(part) for part in found.groups() if part]
        return sum(groups) / len(groups)
    if found := _DAYS.fullmatch(text):
        return group_of_days(float(found[1]))
    if found := _LATER.fullmatch(text):
        days = float(found[1]) * (1 if found[2].lower() == "later" else -1)
        return group_of_days(days)
    return None


def bloom_words(text: str) -> str:
    """A bloom as it is shown: "3" and "Bloom group 3" are "group 3", "c" is "group C", "+4" is "+4 days"."""
    text = " ".join(text.split())
    if found := _GROUP.fullmatch(text):
        return f"group {' to '.join(part.upper() for part in found.groups() if part)}"
    return f"{found[1]} days" if (found := _DAYS.fullmatch(text)) else text


def ripe_span(text: str) -> tuple[MonthDay, MonthDay] | None:
    """First and last (month, day) of "09-15 to 10-02" or "09-15"; None for another text."""
    found = _SPAN.fullmatch(" ".join(text.split()))
    if found is None:
        return None
    first = _month_day(found[1], found[2])
    last = first if found[3] is None else _month_day(found[3], found[4])
    return None if first is None or last is None else (first, last)


def span_text(first: MonthDay | None, last: MonthDay | None) -> str:
    """ "09-15 to 10-02", "from 09-15", "to 10-02"."""
    days = ["" if day is None else f"{day[0]:02d}-{day[1]:02d}" for day in (first, last)]
    if all(days):
        return f"{days[0]} to {days[1]}"
    return f"from {days[0]}" if days[0] else f"to {days[1]}"


def ripens_against(text: str) -> tuple[str, int] | None:
    """The other variety and the days after it, of "Red Delicious -12" or "Bing +1 week"; None for another text."""
    found = _AGAINST.fullmatch(" ".join(text.split()))
    if found is None or not any(letter.isalpha() for letter in found[1]):
        return None
    return found[1], int(found[2]) * (7 if (found[3] or "").lower().startswith("week") else 1)


def vigour_word(text: str) -> str:
    """ "strong", "middle" or "weak", where the text says one of them alone; else empty."""
    words = re.findall(r"[a-z]+", text.lower())
    found = [kind for kind, names in _VIGOUR.items() if any(word.startswith(names) for word in words)]
    return found[0] if len(found) == 1 else ""


def names_in(also: str) -> tuple[str, ...]:
    """The other names of a variety."""
    return tuple(name.strip() for name in also.split(",") if name.strip())


def bloom_fault(text: str) -> str:
    """Why a text is no bloom, in words that follow the field's name; empty if it is one."""
    if bloom_group(text) is not None:
        return ""
    return f'"{text}" is neither a bloom group, such as 3 or C, nor days after its species, such as +4'


def ripens_fault(text: str) -> str:
    """Why a text does not say when a variety ripens, in words that follow the field's name; empty if it does."""
    if ripe_span(text) is not None or ripens_against(text) is not None:
        return ""
    return f'"{text}" is neither days against another variety, such as Red Delicious -12, nor 09-15 to 10-02'


def _number(group: str) -> float:
    return float(group) if group.isdigit() else ord(group.lower()) - ord("a") + 1.0


def _month_day(month: str, day: str) -> MonthDay | None:
    try:
        date(2024, int(month), int(day))
    except ValueError:
        return None
    return int(month), int(day)
