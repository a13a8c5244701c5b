"""From the readings of one or more answers to the reading that a fetcher hands back."""

from __future__ import annotations

from datetime import date

import msgspec

from tendwork.errors import PersonError
from tendwork.weather.fetching.web import Told
from tendwork.weather.readers.reading import Reading, missing_between


def told(reading: Reading, answer: Told) -> Reading:
    """`reading` with what there is to say of the answer that it comes from."""
    return msgspec.structs.replace(reading, words=(*reading.words, *answer.notes), answered_at=answer.answered_at)


def within(reading: Reading, first: date, last: date) -> Reading:
    """The days of first..last only. Raises PersonError if there is none."""
    rows = tuple(row for row in reading.rows if first <= row[0] <= last)
    if not rows:
        held = f"only {reading.first_day} to {reading.last_day}"
        at = "" if reading.answered_at is None else f" in its answer of {reading.answered_at:%Y-%m-%d %H:%M} UTC"
        raise PersonError(f"{reading.format} has no day from {first} to {last}, {held}{at}")
    return msgspec.structs.replace(reading, rows=rows, gaps=missing_between(rows))


def joined(earlier: Reading, later: Reading) -> Reading:
    """Two readings of one service as one, in which `later` stands where days overlap; as old as the older of them."""
    days = {row[0]: row for row in (*earlier.rows, *later.rows)}
    rows = tuple(days[day] for day in sorted(days))
    return msgspec.structs.replace(
        later,
        rows=rows,
        gaps=missing_between(rows),
        rejected=earlier.rejected + later.rejected,
        words=tuple(dict.fromkeys((*earlier.words, *later.words))),
        answered_at=min((at for at in (earlier.answered_at, later.answered_at) if at is not None), default=None),
    )
