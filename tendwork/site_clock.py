"""The clock of the place: which day it is there, what it shows at an instant, and when it shows a time of day.

The one place that knows pendulum. Two read a zone elsewhere: the front page, which is painted before pendulum could be
loaded (`workbench/front_page.py`), and the readers of weather, whose stamps are a service's and not the person's.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, tzinfo


def today(timezone: str) -> date:
    """The person's day at the place. Raises ValueError for a zone that the database of time zones does not know."""
    import pendulum

    local = pendulum.now(timezone)
    return date(local.year, local.month, local.day)


def shown_at(instant: datetime, timezone: str) -> datetime:
    """What the clock of the place shows at an aware instant. Raises ValueError for a zone that is not known."""
    return instant.astimezone(zone(timezone))


def moment(day: date, at: time, timezone: str) -> datetime:
    """The moment, in UTC, at which the clock of the place shows a time of day. Raises ValueError for an unknown zone.

    A time that daylight saving skips is read with the offset before the gap, one that comes twice is its first, as
    RFC 5545, 3.3.5 has it.
    """
    return datetime.combine(day, at, zone(timezone)).astimezone(UTC)


def zone(timezone: str) -> tzinfo:
    """The zone of this name. Raises ValueError where the database of time zones does not know it."""
    import pendulum

    return pendulum.timezone(timezone)


def own_timezone() -> str:
    """The name of this computer's time zone; "UTC" or an offset where it has no name."""
    from pendulum.tz import get_local_timezone

    return get_local_timezone().name
