"""A day in the planner's own sentences: "9 May"."""

from __future__ import annotations

from datetime import date

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_words(day: date) -> str:
    """Day and month; the year goes without saying."""
    return f"{day.day} {_MONTHS[day.month - 1]}"
