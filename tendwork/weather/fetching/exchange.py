"""One request and its answer, and every failure as a sentence."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.weather.fetching.cache import can_be_sent
from tendwork.weather.fetching.failures import Outage, Refusal, quoted
from tendwork.weather.fetching.patience import fresh_until, retry_after_s
from tendwork.weather.fetching.transfer import Limits, deliver

if TYPE_CHECKING:
    import httpx

_TRY_AGAIN = frozenset({408, 425, 429, 500, 502, 503, 504})
_CONDITIONS = frozenset({"If-None-Match", "If-Modified-Since"})
_DAY_S = 86_400.0


class Answer(Struct, frozen=True):
    """An answer that can be used; `text` is None where the one that is kept still holds (304)."""

    status: int
    text: str | None
    etag: str
    last_modified: str
    fresh_until: datetime | None


def exchange(title: str, url: str, headers: Mapping[str, str], limits: Limits, now: datetime, seconds: float) -> Answer:
    """Ask once, and be done within `seconds`. Raises Outage, or PersonError where asking again gains nothing."""
    response, body = deliver(title, url, headers, limits, seconds)
    status, said = response.status_code, response.headers
    if status in _TRY_AGAIN:
        wait = retry_after_s(said.get("retry-after", ""), now)
        raise Outage(f"{title} is busy or out of order ({status}: {_reason(response, body)}){_later(wait)}", wait)
    if status == 304 and not _CONDITIONS.intersection(headers):
        raise Outage(f"{title} confirms an answer that it never gave")
    if status not in (200, 203, 304):
        raise Refusal(f"{title} refuses the request ({status}): {_reason(response, body)}")
    return Answer(
        status=status,
        text=None if status == 304 else body.decode("utf-8-sig", errors="replace"),
        etag=_stamp(said.get("etag", "")),
        last_modified=_stamp(said.get("last-modified", "")),
        fresh_until=fresh_until(said.get("cache-control", ""), said.get("expires", ""), now),
    )


def _stamp(given: str) -> str:
    return given if can_be_sent(given) else ""


def _later(wait_s: float | None) -> str:
    if not wait_s:
        return ""
    return f", and asks to be left alone for {f'{wait_s:.0f} seconds' if wait_s <= _DAY_S else 'more than a day'}"


def _reason(response: httpx.Response, body: bytes) -> str:
    """The service's own reason, from its JSON or its plain text, as one inert line."""
    import json

    text = body.decode("utf-8-sig", errors="replace")
    otherwise = quoted(response.reason_phrase) or "no reason given"
    try:
        content = json.loads(text)
    except (ValueError, RecursionError):
        is_page = "html" in response.headers.get("content-type", "") or text.lstrip().startswith("<")
        return quoted("" if is_page else text) or otherwise
    fields = content if isinstance(content, dict) else {}
    reasons = (fields.get(key) for key in ("reason", "detail", "title", "message"))
    found = next((reason for reason in reasons if isinstance(reason, str) and reason), "")
    return quoted(found) or otherwise
