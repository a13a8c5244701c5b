"""What every reader and every fetcher hands back: the days, and in words what was understood of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import NamedTuple

from msgspec import Struct


class DatedMinMax(NamedTuple):
    """A day's minimum and maximum in °C. A reading holds whole days only; rows that a person keeps may lack a value."""

    day: dt.date
    min_c: float | None
    max_c: float | None


class Reading(Struct, frozen=True):
    """Daily minima and maxima in °C out of one file or answer, by rising date, never a day twice.

    `gaps` counts the days missing between the first and the last. `rejected` holds (line or entry number, why) of what
    was set aside, for the first thousand of a kind. From `forecast_from` on the days are a forecast. `answered_at` is
    when a service gave or last confirmed the answer; None for a file.
    """

    format: str
    unit: str
    rows: tuple[DatedMinMax, ...]
    gaps: int
    rejected: tuple[tuple[int, str], ...]
    words: tuple[str, ...]
    attribution: str
    forecast_from: dt.date | None = None
    answered_at: dt.datetime | None = None

    @property
    def first_day(self) -> dt.date | None:
        return self.rows[0][0] if self.rows else None

    @property
    def last_day(self) -> dt.date | None:
        return self.rows[-1][0] if self.rows else None

    def marked_rows(self) -> tuple[tuple[dt.date, float | None, float | None, bool], ...]:
        """The rows, each with whether it is a forecast."""
        start = self.forecast_from or dt.date.max
        return tuple((day, low, high, day >= start) for day, low, high in self.rows)


def missing_between(rows: Sequence[DatedMinMax]) -> int:
    """How many days are missing between the first and the last of `rows`, which rise by date."""
    return (rows[-1][0] - rows[0][0]).days + 1 - len(rows) if rows else 0
