"""The first two lines of Morning, kept beside the plan: what a dashboard paints before anything else is loaded."""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path
from typing import NamedTuple

FRONT_PAGE_FILE = "front.json"


class FrontPage(NamedTuple):
    """The orchard's name, and its next job as it stood on `day`; `day` is None where nothing is kept yet."""

    day: date | None = None
    timezone: str = ""
    site_name: str = ""
    next_job: str = ""

    def today(self) -> date:
        """The person's day at the orchard; at this computer, where nothing is kept."""
        if not self.timezone:
            return date.today()  # noqa: DTZ011 - no orchard is known yet, so there is no other day
        from zoneinfo import ZoneInfo

        return datetime.now(ZoneInfo(self.timezone)).date()

    def encoded(self) -> bytes:
        """As it is kept."""
        return json.dumps({**self._asdict(), "day": None if self.day is None else self.day.isoformat()}).encode()


def read_front_page(folder: Path) -> FrontPage:
    """What the folder keeps; an empty page where it keeps none that can be read."""
    kept = folder / "cache" / FRONT_PAGE_FILE
    try:
        held = json.loads(kept.read_bytes() if kept.is_file() else b"")  # opening a pipe would wait without end
        page = FrontPage(date.fromisoformat(held["day"]), *(str(held[name]) for name in FrontPage._fields[1:]))
        page.today()
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return FrontPage()
    return page
