"""Days of a season in a report: without a year where it is the season's own name."""

from __future__ import annotations

from datetime import date

from tendwork.almanac.seasons import Season
from tendwork.orchard.rough_dates import Noted, RoughDate, rough_words
from tendwork.planning.day_format import day_and_month


def season_day(day: date, season: Season) -> str:
    """ "14 Jun", or "5 Dec 2025" in season 2026."""
    short = day_and_month(day)
    return short if day.year == season.name else f"{short} {day.year}"


def noted_words(noted: Noted | None, season: Season) -> str:
    """The same of a day as it is known: "Jun 2026", "2026" or "on a day not noted"."""
    if noted is None:
        return "on a day not noted"
    return rough_words(noted) if isinstance(noted, RoughDate) else season_day(noted, season)
