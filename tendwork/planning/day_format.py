"""Days in words: in the planner's own sentences "9 May", and with their weekday or year where those are needed."""

from __future__ import annotations

from datetime import date

from tendwork.orchard.rough_dates import MONTHS, Noted, RoughDate, rough_words

WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_SAME_YEAR_DAYS = 183  # nearer than this a day needs no year


def day_and_month(day: date) -> str:
    """Day and month; the year goes without saying."""
    return f"{day.day} {MONTHS[day.month - 1]}"


def format_two_days(day: date, other: date) -> tuple[str, str]:
    """Two days that are held against each other, with their years where these differ."""
    if day.year == other.year:
        return day_and_month(day), day_and_month(other)
    return f"{day_and_month(day)} {day.year}", f"{day_and_month(other)} {other.year}"


def short_day(day: date, today: date) -> str:
    """ "12 Mar", with the year where the day is half a year or more away."""
    short = day_and_month(day)
    return short if abs((day - today).days) < _SAME_YEAR_DAYS else f"{short} {day.year}"


def full_day(day: date) -> str:
    """ "Thu 12 Mar 2026"."""
    return f"{WEEKDAYS[day.weekday()]} {day_and_month(day)} {day.year}"


def noted_short(noted: Noted, today: date) -> str:
    """ "12 Mar", "12 Mar 2025", "Mar 2025" or "2025", as far as it is known."""
    return rough_words(noted) if isinstance(noted, RoughDate) else short_day(noted, today)


def noted_full(noted: Noted) -> str:
    """ "Thu 12 Mar 2026", "Mar 2026" or "2026", as far as it is known."""
    return rough_words(noted) if isinstance(noted, RoughDate) else full_day(noted)
