"""The last answer of each service, kept as files that the person may delete at any time."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Annotated

import msgspec
from msgspec import Meta, Struct

from tendwork.folder.drafts import draft_of, sweep

Instant = Annotated[datetime, Meta(tz=True)]
_LARGEST_BYTES = 50_000_000  # ten times the largest answer: in JSON, a letter may need several bytes
_LONGEST_STAMP = 1000


class Kept(Struct, frozen=True):
    """One answer. `answered_at` is when the service gave or confirmed it, `asked_on` the person's day then.

    Until `fresh_until` the service wants not to be asked again.
    """

    url: str
    text: str
    answered_at: Instant
    asked_on: date
    etag: str = ""
    last_modified: str = ""
    fresh_until: Instant | None = None


class AnswerCache:
    """One file per topic, such as the forecast of one service for one place; only its newest answer is kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def get(self, topic: str, now: datetime) -> Kept | None:
        """The answer kept, or None; a damaged file is as good as none.

        So is an answer that is dated after `now`, which a clock that was wrong leaves behind.
        """
        path = self._path(topic)
        try:
            if not path.is_file():
                return None
            with path.open("rb") as file:
                content = file.read(_LARGEST_BYTES + 1)
            kept = msgspec.json.decode(content, type=Kept) if len(content) <= _LARGEST_BYTES else None
            return kept if kept is not None and _is_sound(kept, now) else None
        except (OSError, ValueError, OverflowError, RecursionError, msgspec.DecodeError):
            return None

    def put(self, topic: str, kept: Kept) -> None:
        """Keep `kept` whole or not at all, readable by its owner only. Raises OSError."""
        content = msgspec.json.encode(kept)
        self.folder.mkdir(parents=True, exist_ok=True)
        sweep(self.folder)
        with draft_of(self._path(topic)) as draft:
            draft.write_bytes(content)

    def _path(self, topic: str) -> Path:
        return self.folder / f"{topic}.json"


def can_be_sent(stamp: str) -> bool:
    """Whether a request can carry `stamp`, an ETag or a date, back to the service that gave it."""
    return stamp.isascii() and stamp.isprintable() and len(stamp) <= _LONGEST_STAMP


def _is_sound(kept: Kept, now: datetime) -> bool:
    """Whether what `kept` says of itself can be true."""
    if kept.answered_at > now or not can_be_sent(kept.etag + kept.last_modified):
        return False
    return abs(kept.asked_on - kept.answered_at.astimezone(UTC).date()) <= timedelta(days=1)
