"""Days in the planner's own sentences: "9 May"."""

from __future__ import annotations

from datetime import date

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def format_day(day: date) -> str:
    """Day and month; the year goes without saying."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def format_two_days(day: date, other: date) -> tuple[str, str]:
    """Two days that are held against each other, with their years where these differ."""
    if day.year == other.year:
        return format_day(day), format_day(other)
    return f"{format_day(day)} {day.year}", f"{format_day(other)} {other.year}"
