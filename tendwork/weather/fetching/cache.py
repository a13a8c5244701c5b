"""The last answer of each service, kept as files that the person may delete at any time."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

import msgspec
from msgspec import Struct


class Kept(Struct, frozen=True):
    """One answer. `answered_at` is when the service gave or confirmed it, `asked_on` the person's day then.

    Until `fresh_until` the service wants not to be asked again.
    """

    url: str
    text: str
    answered_at: datetime
    asked_on: date
    etag: str = ""
    last_modified: str = ""
    fresh_until: datetime | None = None


class AnswerCache:
    """One file per topic, such as the forecast of one service for one place; only its newest answer is kept."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def get(self, topic: str) -> Kept | None:
        """The answer kept, or None; a damaged file is as good as none."""
        try:
            return msgspec.json.decode(self._path(topic).read_bytes(), type=Kept)
        except (OSError, msgspec.DecodeError):
            return None

    def put(self, topic: str, kept: Kept) -> None:
        """Keep `kept` whole or not at all, readable by its owner only. Raises OSError."""
        import os
        import tempfile

        self.folder.mkdir(parents=True, exist_ok=True)
        handle, draft = tempfile.mkstemp(dir=self.folder, prefix=".answer-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(msgspec.json.encode(kept))
            os.replace(draft, self._path(topic))
        except OSError:
            os.unlink(draft)
            raise

    def _path(self, topic: str) -> Path:
        return self.folder / f"{topic}.json"
