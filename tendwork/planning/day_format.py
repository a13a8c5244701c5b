"""Days in the planner's own sentences: "9 May"."""

from __future__ import annotations

from datetime import date

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_words(day: date) -> str:
    """Day and month; the year goes without saying."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def two_days_words(day: date, other: date) -> tuple[str, str]:
    """Two days that are held against each other, with their years where these differ."""
    if day.year == other.year:
        return day_words(day), day_words(other)
    return f"{day_words(day)} {day.year}", f"{day_words(other)} {other.year}"
