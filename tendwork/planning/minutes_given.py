"""The minutes that a person gives with a tick: whether they can be, and each unit's share of them."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.errors import PersonError
from tendwork.orchard.outcomes import NO_WORK

MOST_MINUTES = 24 * 60
_LEAST_SHARE = 0.01


def share_of_minutes(minutes: float | None, units: int, outcome: str) -> float | None:
    """Each unit's part of the minutes that all of them took; None where none are given.

    Raises PersonError for minutes that no work can have taken, and where the outcome says that nothing was done.
    """
    if minutes is None:
        return None
    if not 0 < minutes <= MOST_MINUTES:
        raise PersonError(
            f"{minutes:g} minutes cannot be: write more than 0, and no more than the {MOST_MINUTES} of a day. "
            "Nothing was ticked."
        )
    if outcome in NO_WORK:
        raise PersonError(f'Minutes are noted with work that was done, not with "{outcome}". Nothing was ticked.')
    return max(_LEAST_SHARE, round(minutes / units, 2))


def minutes_read(text: str) -> float | None:
    """The minutes that a person wrote, "40" or "7,5"; None for nothing. Raises PersonError for what is no number."""
    if not text.strip():
        return None
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise PersonError(f'"{text.strip()}" is no number of minutes such as 40. Nothing was ticked.') from None


def minutes_words(given: Iterable[float | None]) -> str:
    """That minutes were noted, as a sentence; empty where none were given."""
    noted = [f"{minutes:g}" for minutes in given if minutes is not None]
    return f"Minutes noted: {', '.join(noted)}." if noted else ""
