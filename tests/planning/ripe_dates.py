"""Ripening dates for tests, out of the day of picking."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.planning.ripening_dates import RipeDates


def ripe_dates(
    pick: date,
    species: str = "apple",
    variety: str = "x",
    *,
    spread_days: int = 5,
    hang_days: int = 10,
    eat: date | None = None,
    until: date | None = None,
) -> RipeDates:
    """As planning/ripening_dates.py has them: looked at a week before the range, eaten off the tree unless said."""
    spread, week = timedelta(days=spread_days), timedelta(days=7)
    return RipeDates(
        species=species,
        variety=variety,
        look=pick - spread - week,
        pick_low=pick - spread,
        pick=pick,
        pick_high=pick + spread,
        until=until,
        because=(f"made up for the test of {variety}",),
        usual=pick,
        hangs=pick + timedelta(days=hang_days),
        eat=eat or pick,
    )
