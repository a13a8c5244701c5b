"""What `tendwork watch` did, in lines for a terminal, a journal and the dashboard."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Protocol

from tendwork.view.text import plain, wrapped
from tendwork.view.words import full_day


class Entry(Protocol):
    """What one daily job did, by the site's clock; `times` counts its failures in a row."""

    @property
    def at(self) -> datetime: ...
    @property
    def job(self) -> str: ...
    @property
    def words(self) -> str: ...
    @property
    def failed(self) -> bool: ...
    @property
    def times(self) -> int: ...


def entry_line(entry: Entry) -> str:
    """ "2026-03-12 06:30  sheet: ...", with "failed" and how often in a row where it did."""
    mark = "" if not entry.failed else " failed" if entry.times == 1 else f" failed, {entry.times} times by now"
    return f"{entry.at:%Y-%m-%d %H:%M}  {plain(entry.job)}{mark}: {plain(entry.words)}"


def watch_log_text(entries: Iterable[Entry], width: int) -> str:
    """The log, newest day first and each day in its order."""
    days: dict[str, list[str]] = {}
    for entry in entries:
        lines = days.setdefault(full_day(entry.at.date()), [])
        lines += wrapped(entry_line(entry)[11:], width, "  ", " " * 9)
    blocks = ["\n".join((day, *lines)) for day, lines in reversed(days.items())]
    return "\n\n".join(blocks) or "The watch has done nothing here yet. `tendwork watch` starts it."


def watching_words(site_name: str, sheet_at: str) -> str:
    """What a watch says when it begins."""
    sheet = f"The sheet goes out at {sheet_at}." if sheet_at else "site.toml has no [remind], so no sheet goes out."
    return f"{plain(site_name)}: watching. {sheet}"
