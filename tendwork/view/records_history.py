"""The life of one graft as plain text."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.orchard.history import Event
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import full_day

_DAY_COLUMNS = 15


def history_text(events: Iterable[Event], width: int) -> str:
    """A line for each event, its day first; blank where the day is not known."""
    lines = []
    for event in events:
        day = "" if event.day is None else full_day(event.day)
        lines += wrapped(plain(event.words), width, padded(day, _DAY_COLUMNS) + " ", " " * (_DAY_COLUMNS + 1))
    return "\n".join(lines) or "Nothing is known of it yet."
