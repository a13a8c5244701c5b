"""One request and its answer, within limits of time and size, and every failure as a sentence."""

from __future__ import annotations

import time
from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.errors import PersonError
from tendwork.weather.fetching.patience import fresh_until, retry_after_s

if TYPE_CHECKING:
    import httpx

_TRY_AGAIN = frozenset({408, 425, 429, 500, 502, 503, 504})
_LONGEST_REASON = 200


class Limits(Struct, frozen=True):
    """How long and how much, in seconds and bytes."""

    connect_s: float = 5.0
    silence_s: float = 15.0
    whole_answer_s: float = 60.0
    largest_bytes: int = 50_000_000
    attempts: int = 3
    longest_wait_s: float = 60.0


USUAL_LIMITS = Limits()


class Answer(Struct, frozen=True):
    """An answer that can be used; `text` is None where the one that is kept still holds (304)."""

    status: int
    text: str | None
    etag: str
    last_modified: str
    fresh_until: datetime | None


class Outage(Exception):
    """The service cannot be had now. `wait_s` is how long it asks to be left alone."""

    def __init__(self, sentence: str, wait_s: float | None = None) -> None:
        super().__init__(sentence)
        self.wait_s = wait_s


class Refusal(PersonError):
    """The service does not want this request, now or later."""


def exchange(title: str, url: str, headers: Mapping[str, str], limits: Limits, now: datetime) -> Answer:
    """Ask once. Raises Outage or Refusal."""
    import httpx

    timeout = httpx.Timeout(limits.silence_s, connect=limits.connect_s)
    try:
        with (
            httpx.Client(timeout=timeout, follow_redirects=True, max_redirects=3) as client,
            client.stream("GET", url, headers=headers) as response,
        ):
            body = _body(title, response, limits)
    except httpx.TimeoutException as error:
        raise Outage(f"{title} did not answer in time") from error
    except (httpx.UnsupportedProtocol, httpx.InvalidURL, UnicodeError) as error:
        raise Refusal(f"{title} cannot be asked at {url}: {error}") from error
    except httpx.HTTPError as error:
        raise Outage(f"{title} cannot be reached ({_plain(str(error)) or type(error).__name__})") from error
    return _answer(title, response, body, now)


def _body(title: str, response: httpx.Response, limits: Limits) -> bytes:
    start = time.monotonic()
    parts: list[bytes] = []
    size = 0
    for part in response.iter_bytes():
        parts.append(part)
        size += len(part)
        if size > limits.largest_bytes:
            raise Outage(f"{title} answers more than {limits.largest_bytes / 1e6:g} MB")
        if time.monotonic() - start > limits.whole_answer_s:
            raise Outage(f"{title} answers too slowly, not whole after {limits.whole_answer_s:g} seconds")
    return b"".join(parts)


def _answer(title: str, response: httpx.Response, body: bytes, now: datetime) -> Answer:
    status, headers = response.status_code, response.headers
    if status in _TRY_AGAIN:
        wait = retry_after_s(headers.get("retry-after", ""), now)
        later = f", and asks to be left alone for {wait:g} seconds" if wait else ""
        raise Outage(f"{title} is busy or out of order ({status}: {_reason(response, body)}){later}", wait)
    if status not in (200, 203, 304):
        raise Refusal(f"{title} refuses the request ({status}): {_reason(response, body)}")
    return Answer(
        status=status,
        text=None if status == 304 else body.decode("utf-8", errors="replace"),
        etag=headers.get("etag", ""),
        last_modified=headers.get("last-modified", ""),
        fresh_until=fresh_until(headers.get("cache-control", ""), headers.get("expires", ""), now),
    )


def _reason(response: httpx.Response, body: bytes) -> str:
    """The service's own reason, from its JSON or its plain text, as one inert line."""
    import json

    text = body.decode("utf-8", errors="replace")
    try:
        content = json.loads(text)
    except (ValueError, RecursionError):
        is_page = "html" in response.headers.get("content-type", "") or text.lstrip().startswith("<")
        return _plain("" if is_page else text) or response.reason_phrase or "no reason given"
    fields = content if isinstance(content, dict) else {}
    reasons = (fields.get(key) for key in ("reason", "detail", "title", "message"))
    found = next((reason for reason in reasons if isinstance(reason, str) and reason), "")
    return _plain(found) or response.reason_phrase or "no reason given"


def _plain(text: str) -> str:
    """Printable characters in one line, so that nothing a service says can steer a terminal."""
    line = "".join(letter if letter.isprintable() else " " for letter in text[: 2 * _LONGEST_REASON])
    return " ".join(line.split())[:_LONGEST_REASON].rstrip(". ")
