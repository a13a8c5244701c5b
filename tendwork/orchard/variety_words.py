"""What stands in the fields of a variety's record, understood: its bloom, when it ripens, how strongly it grows.

The bloom group of the British lists, 1 to 7 or A to G, is the measure (bloom_groups.py). Words such as "early" have no
place on it and are refused. What was taken once is read on: what may be written
is said by the faults.
"""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date

from tendwork.bloom_groups import group_of_days
from tendwork.orchard.rough_dates import month_named

MonthDay = tuple[int, int]

_LAST_GROUP = 7
_LONGEST_SPAN_DAYS = 183  # no variety ripens for longer, so a last day before the first is a slip (our own bound)
_LEAP_YEAR = 2024
_ONE_GROUP = r"(\d{1,2}|[a-h])"
_GROUP = re.compile(rf"(?:bloom )?(?:group )?{_ONE_GROUP}(?:(?: to |-){_ONE_GROUP})?", re.IGNORECASE)
_DAYS = re.compile(r"([+-]\d{1,2}(?:\.\d)?)(?: ?days?)?", re.IGNORECASE)
_LATER = re.compile(r"(\d{1,2}(?:\.\d)?) ?days? (later|earlier)", re.IGNORECASE)
_TO = re.compile(r" (?:to|until|-|\u2013) |(?<=[a-z.])[-\u2013](?=[a-z0-9])", re.IGNORECASE)
_IN_ONE_MONTH = (
    re.compile(r"(?P<first>\d{1,2})\.? ?(?:-|\u2013|to) ?(?P<last>\d{1,2})\.? (?P<month>[a-z]{3,9})", re.IGNORECASE),
    re.compile(r"(?P<month>[a-z]{3,9}) (?P<first>\d{1,2}) ?(?:-|\u2013|to) ?(?P<last>\d{1,2})", re.IGNORECASE),
)
_DAY = re.compile(r"(?P<month>\d\d)-(?P<day>\d\d)")
_NAMED_DAY = re.compile(r"(?:(?P<day>\d{1,2})\.? )?(?P<month>[a-z]{3,9})\.?(?: (?P<day_after>\d{1,2}))?", re.IGNORECASE)
_AGAINST = re.compile(r"(.*[^\s+\-\u2212\u2013]) ((?:[+\-\u2212\u2013] ?)?\d{1,3})(?: ?(days?|weeks?))?", re.IGNORECASE)
POLLEN = ("diploid", "triploid", "self-fertile", "partly self-fertile", "self-sterile", "no good pollen")
_POLLEN_WORDS = frozenset(word for said in POLLEN for word in re.findall("[a-z]+", said))
_NEAR, _SHORT = 0.8, 5  # how alike two words are of which one is misspelt, and how long a word must be for that
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
    """First and last (month, day) of "09-15 to 10-02", "15 Aug - 10 Sep", "Aug to Sep" or "Nov"; None for any other."""
    text = " ".join(text.split())
    if found := next(filter(None, (form.fullmatch(text) for form in _IN_ONE_MONTH)), None):
        text = f"{found['first']} {found['month']} to {found['last']} {found['month']}"
    parts = [_days_of(part) for part in _TO.split(text)]
    if len(parts) > 2 or parts[0] is None or parts[-1] is None:
        return None
    return parts[0][0], parts[-1][1]


def span_days(span: tuple[MonthDay, MonthDay]) -> int:
    """How many days after its first the last day of a span is."""
    first, last = (date(_LEAP_YEAR, *day).timetuple().tm_yday for day in span)
    return (last - first) % 366


def _days_of(text: str) -> tuple[MonthDay, MonthDay] | None:
    """The first and last day that a text means: the day, or those of the month where no day is said."""
    found = _DAY.fullmatch(text)
    if found is not None:
        month, day = int(found["month"]), found["day"]
    else:
        found = _NAMED_DAY.fullmatch(text)
        named = None if found is None else month_named(found["month"])
        if found is None or named is None or (found["day"] and found["day_after"]):
            return None
        month, day = named, found["day"] or found["day_after"]
    if day is None:
        return (month, 1), (month, monthrange(_LEAP_YEAR, month)[1])
    one = _month_day(month, int(day))
    return None if one is None else (one, one)


def span_text(first: MonthDay | None, last: MonthDay | None) -> str:
    """ "09-15 to 10-02", "from 09-15", "to 10-02"."""
    days = ["" if day is None else f"{day[0]:02d}-{day[1]:02d}" for day in (first, last)]
    if all(days):
        return f"{days[0]} to {days[1]}"
    return f"from {days[0]}" if days[0] else f"to {days[1]}"


def ripens_against(text: str) -> tuple[str, int] | None:
    """The other variety and the days after it, of "Red Delicious -12" or "Bing +1 week"; None for another text."""
    found = _AGAINST.fullmatch(" ".join(text.split()))
    if found is None or ripe_span(text) is not None or not any(letter.isalpha() for letter in found[1]):
        return None
    days = int(found[2].replace(" ", "").replace("\u2212", "-").replace("\u2013", "-"))
    return found[1], days * (7 if (found[3] or "").lower().startswith("week") else 1)


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
    if bloom_group(text) is None:
        return f'"{text}" is neither a bloom group, such as 3 or C, nor days after its species, such as +4'
    found = _GROUP.fullmatch(" ".join(text.split()))
    groups = [] if found is None else [_number(part) for part in found.groups() if part]
    if any(not 1 <= group <= _LAST_GROUP for group in groups):
        return f'"{text}" is no bloom group, which are 1 to 7 or A to G; days after its species have a sign, such as +4'
    return f'"{text}" has the later bloom group first' if groups != sorted(groups) else ""


def ripens_fault(text: str) -> str:
    """Why a text does not say when a variety ripens, in words that follow the field's name; empty if it does."""
    span = ripe_span(text)
    if span is None:
        if ripens_against(text) is not None:
            return ""
        return (
            f'"{text}" is neither days against another variety, such as Red Delicious -12, nor days of the year, such'
            " as 09-15 to 10-02 or 15 Sep to 2 Oct"
        )
    return f'"{text}" ends before it begins' if span_days(span) > _LONGEST_SPAN_DAYS else ""


def pollen_fault(text: str) -> str:
    """Whether a word of a text is a misspelt word for pollen, in words that follow the field's name; empty if not."""
    from difflib import get_close_matches

    for word in re.findall("[a-z]+", text.casefold()):
        known = any(word.startswith(one) or word.endswith(one) for one in _POLLEN_WORDS if len(one) > _SHORT)
        meant = get_close_matches(word, _POLLEN_WORDS, 1, _NEAR)
        if len(word) > _SHORT and not known and meant:
            return f'"{text}" is not known. Did you mean "{meant[0]}"?'
    return ""


def _number(group: str) -> float:
    return float(group) if group.isdigit() else ord(group.lower()) - ord("a") + 1.0


def _month_day(month: int, day: int) -> MonthDay | None:
    try:
        date(_LEAP_YEAR, month, day)
    except ValueError:
        return None
    return month, day
