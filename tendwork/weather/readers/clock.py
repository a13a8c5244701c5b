"""The clock of a station: times of day as files write them, and how a place's clock runs through daylight saving."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from tendwork.errors import PersonError

_TIME_OF_DAY = re.compile(
    r"(\d{1,2})(?::?(\d{2}))?(?::?\d{2}(?:[.,]\d+)?)?\s*(?:([ap])\.?m\.?)?\s*(z|utc|gmt|[+-]\d{2}:?\d{2})?$",
    re.IGNORECASE,
)
_LONGEST_TIME = 40  # characters
_DAY = timedelta(days=1)
TimeOfDay = tuple[int, int, timedelta | None]
"""(hour, minute, offset from UTC where it is written)"""


def zone_of(timezone: str) -> tzinfo:
    """The zone with this IANA name. Raises PersonError."""
    from zoneinfo import ZoneInfo

    try:
        return ZoneInfo(timezone)
    except (KeyError, ValueError, OSError) as error:
        raise PersonError(f'timezone "{timezone}" is not known. Give a name such as "Europe/London"') from error


def time_of_day(text: str) -> TimeOfDay:
    """The hour and minute in `text`, as in `13:05`, `1:05 PM` or `13:05:00+01:00`. Raises ValueError."""
    found = _TIME_OF_DAY.match(text) if len(text) <= _LONGEST_TIME else None
    if found is None:
        raise ValueError(text[:_LONGEST_TIME])
    hour, minute = int(found.group(1)), int(found.group(2) or 0)
    if half := found.group(3):
        if not 1 <= hour <= 12:
            raise ValueError(text)
        hour = hour % 12 + (12 if half in "pP" else 0)
    if hour > 23 or minute > 59:
        raise ValueError(text)
    return hour, minute, _offset(found.group(4))


def utc_instant(text: object) -> datetime:
    """The instant of an ISO 8601 text that says its offset. Raises ValueError."""
    if not isinstance(text, str):
        raise ValueError(f"{text!r} is no time")
    instant = datetime.fromisoformat(text)
    if instant.tzinfo is None:
        raise ValueError(f"{text} has no offset from UTC")
    try:
        return instant.astimezone(UTC)
    except OverflowError as error:
        raise ValueError(f"{text} is beyond all bounds") from error


def standard_offset(zone: tzinfo, year: int) -> timedelta:
    """The zone's offset from UTC outside daylight saving."""
    winter, summer = (datetime(year, month, 1, tzinfo=zone).utcoffset() or timedelta() for month in (1, 7))
    return min(winter, summer)


def keeps_standard_time(zone: tzinfo, hours: Iterable[tuple[date, int]]) -> bool:
    """Whether a clock that showed these hours of these dates was never put forward in spring.

    It was not if it shows hours that the place's clock left out, and never leaves out such hours itself.
    """
    seen: dict[date, set[int]] = {}
    for day, hour in hours:
        seen.setdefault(day, set()).add(hour)
    kept = skipped = 0
    for day, hours_of_day in seen.items():
        left_out = _hours_left_out(zone, day)
        if left_out & hours_of_day:
            kept += 1
        elif left_out and len(hours_of_day) > 20:
            skipped += 1
    return kept > 0 and skipped == 0


def _hours_left_out(zone: tzinfo, day: date) -> set[int]:
    midnight = datetime.combine(day, time(), zone)
    before, after = midnight.utcoffset(), (midnight + _DAY).utcoffset()
    if before is None or after is None or after <= before:
        return set()
    instants = (midnight + timedelta(hours=hour) for hour in range(24))
    return {instant.hour for instant in instants if instant.astimezone(UTC).astimezone(zone).hour != instant.hour}


def _offset(text: str | None) -> timedelta | None:
    if text is None:
        return None
    if text[0] not in "+-":
        return timedelta()
    minutes = int(text[1:3]) * 60 + int(text[-2:])
    if minutes >= 24 * 60:
        raise ValueError(text)
    return timedelta(minutes=-minutes if text[0] == "-" else minutes)
