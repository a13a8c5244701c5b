"""How long to wait before a service is asked again: what it says itself, else longer each time, never in step."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

FIRST_WAIT_S = 1.0
LONGEST_FRESH = timedelta(days=1)
_MAX_AGE = re.compile(r"\bmax-age=(\d{1,9})\b")


def wait_s(attempt: int, chance: float) -> float:
    """Seconds before attempt number `attempt` + 1; `chance` from 0 to 1 halves it or adds a half."""
    return FIRST_WAIT_S * 2.0**attempt * (0.5 + chance)


def retry_after_s(header: str, now: datetime) -> float | None:
    """The seconds that a Retry-After header asks for, in either of its forms (RFC 9110, 10.2.3); None without one."""
    if header.strip().isdecimal():
        return float(header.strip()[:9])
    at = http_date(header)
    return None if at is None else max(0.0, (at - now).total_seconds())


def fresh_until(cache_control: str, expires: str, now: datetime) -> datetime | None:
    """Until when a service wants not to be asked again; None if it may be at once (RFC 9111, 4.2.1: max-age first)."""
    if found := _MAX_AGE.search(cache_control):
        return now + min(timedelta(seconds=int(found.group(1))), LONGEST_FRESH)
    return http_date(expires)


def is_fresh(answered_at: datetime, until: datetime | None, now: datetime) -> bool:
    """Whether an answer need not be asked for again.

    After a day it must be, whatever the service says: by then it has a new forecast and its measured days are more.
    """
    return until is not None and answered_at <= now < until and now - answered_at < LONGEST_FRESH


def http_date(header: str) -> datetime | None:
    """The instant of an HTTP date (RFC 9110, 5.6.7), or None."""
    from email.utils import parsedate_to_datetime

    try:
        at = parsedate_to_datetime(header)
        return at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)
    except (ValueError, TypeError, IndexError, OverflowError):
        return None
