"""Asking a weather service over HTTP as its terms want it: named, seldom, patient, and never without end."""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Mapping
from datetime import UTC, date, datetime
from typing import TypeVar

from msgspec import Struct

from tendwork import __version__
from tendwork.errors import PersonError
from tendwork.weather.fetching.cache import AnswerCache, Kept
from tendwork.weather.fetching.exchange import Answer, exchange
from tendwork.weather.fetching.failures import Outage, Refusal
from tendwork.weather.fetching.patience import is_fresh, wait_s
from tendwork.weather.fetching.transfer import USUAL_LIMITS, Limits

Result = TypeVar("Result")


class Told(Struct, frozen=True):
    """The text of an answer, and what to say of it. `asked_on` is the person's day on which it was given."""

    text: str
    answered_at: datetime
    asked_on: date
    notes: tuple[str, ...] = ()


class Web:
    """Asks one service called `title`. What waits, throws dice and tells the time can be put in its place by a test."""

    def __init__(
        self,
        title: str,
        contact: str = "",
        cache: AnswerCache | None = None,
        *,
        limits: Limits = USUAL_LIMITS,
        sleep: Callable[[float], None] = time.sleep,
        chance: Callable[[], float] = random.random,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self.title = title
        self.contact = contact.strip()
        self.cache = cache
        self.limits = limits
        self._sleep = sleep
        self._chance = chance
        self._now = now

    def ask(
        self, topic: str, url: str, parameters: Mapping[str, str], read: Callable[[Told], Result], today: date
    ) -> Result:
        """What `read` makes of the answer, within `limits.whole_s` seconds. Raises PersonError.

        An answer that is fresh by the service's own word is not asked for again, an older one only if it changed. If
        the service is out, or answers what cannot be read, its last answer to `topic` is read, with a note.
        """
        from urllib.parse import urlencode

        full_url = f"{url}?{urlencode(parameters)}" if parameters else url
        now = self._now()
        kept = self._kept(topic, read, now)
        same = kept if kept is not None and kept.url == full_url else None
        if same is not None and is_fresh(same.answered_at, same.fresh_until, now):
            return read(Told(same.text, same.answered_at, same.asked_on))
        try:
            answer = self._answer(full_url, same)
            new = _to_keep(full_url, answer, same, self._now(), today)
            notes = self._notes(answer)
            result = read(Told(new.text, new.answered_at, new.asked_on, notes))
        except (Outage, PersonError) as error:
            if isinstance(error, Refusal):
                raise
            if kept is None:
                raise PersonError(f"{error}. Try again later") from error
            return read(Told(kept.text, kept.answered_at, kept.asked_on, (self._old_words(error, kept, now),)))
        if trouble := self._keep(topic, new):
            return read(Told(new.text, new.answered_at, new.asked_on, (*notes, trouble)))
        return result

    def _kept(self, topic: str, read: Callable[[Told], object], now: datetime) -> Kept | None:
        """The answer kept, if it can still be read: one that cannot must not be confirmed or stand in for a new one."""
        kept = self.cache.get(topic, now) if self.cache is not None else None
        if kept is not None:
            try:
                read(Told(kept.text, kept.answered_at, kept.asked_on))
            except PersonError:
                return None
        return kept

    def _answer(self, url: str, kept: Kept | None) -> Answer:
        """One answer, after as many attempts as the limits allow. Raises Outage or Refusal."""
        headers = {"User-Agent": user_agent(self.contact), "Accept": "application/json"}
        if kept is not None and kept.etag:
            headers["If-None-Match"] = kept.etag
        if kept is not None and kept.last_modified:
            headers["If-Modified-Since"] = kept.last_modified
        end = time.monotonic() + self.limits.whole_s
        for attempt in range(self.limits.attempts):
            try:
                return exchange(self.title, url, headers, self.limits, self._now(), end - time.monotonic())
            except Outage as outage:
                wait = wait_s(attempt, self._chance()) if outage.wait_s is None else outage.wait_s
                longest = min(self.limits.longest_wait_s, end - time.monotonic())
                if attempt == self.limits.attempts - 1 or wait > longest:
                    raise
                self._sleep(wait)
        raise Outage(f"{self.title} was not asked, as no attempt is allowed")

    def _notes(self, answer: Answer) -> tuple[str, ...]:
        if answer.status != 203:
            return ()
        return (f"{self.title} says that this product is being withdrawn or on trial.",)

    def _old_words(self, error: Exception, kept: Kept, now: datetime) -> str:
        hours = max(0, round((now - kept.answered_at).total_seconds() / 3600))
        age = f"{hours} hours" if hours < 48 else f"{round(hours / 24)} days"
        return f"{error}. This is its answer of {kept.answered_at:%Y-%m-%d %H:%M} UTC, {age} old."

    def _keep(self, topic: str, new: Kept) -> str:
        """Keep an answer; why that did not work, or nothing."""
        if self.cache is not None:
            try:
                self.cache.put(topic, new)
            except OSError as error:
                return (
                    f"This answer cannot be kept in {self.cache.folder.name}: {(error.strerror or str(error)).lower()}."
                )
        return ""


def user_agent(contact: str) -> str:
    """Who asks. Raises PersonError for a contact that no HTTP header can carry."""
    if not (contact.isascii() and contact.isprintable()) or "(" in contact or ")" in contact:
        raise PersonError(f"contact {contact!r} must be an e-mail address or a web page, in plain letters")
    return f"tendwork/{__version__} ({f'+{contact}' if contact else 'no contact given'})"


def _to_keep(url: str, answer: Answer, kept: Kept | None, now: datetime, today: date) -> Kept:
    text = kept.text if answer.text is None and kept is not None else answer.text or ""
    return Kept(
        url=url,
        text=text,
        answered_at=now,
        asked_on=today,
        etag=answer.etag or (kept.etag if kept is not None and answer.text is None else ""),
        last_modified=answer.last_modified or (kept.last_modified if kept is not None and answer.text is None else ""),
        fresh_until=answer.fresh_until,
    )
