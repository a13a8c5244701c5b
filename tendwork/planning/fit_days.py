"""What the coming days give: the person's minutes, and how many of them are fit for standing on a ladder."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, timedelta

from tendwork.almanac.daylength import Daylight, daylight
from tendwork.planning.results import DayHours

WEEK_DAYS = 7
USUAL_MINUTES = (30.0, 30.0, 30.0, 30.0, 30.0, 240.0, 120.0)  # Monday first, where the site says nothing
AFTER_WORK_HOUR = 17.0  # by the sun; our own choice, for hours that the site gives without a time of day
AFTER_WORK_MOST_MINUTES = 120.0  # a weekday with more than this is taken to be free by day
_SATURDAY = 5


def week_days(
    first: date,
    minutes_by_weekday: tuple[float, ...] = USUAL_MINUTES,
    latitude_deg: float | None = None,
    windy: Collection[date] = (),
) -> tuple[DayHours, ...]:
    """The seven days from `first` on. `minutes_by_weekday` is Monday first.

    Nobody goes up a ladder in the dark or in wind that moves branches: on a `windy` day no minute is for the ladder,
    and the short hours of a weekday are taken to begin at five in the afternoon, so that only what the sun leaves of
    them is. Without a latitude every minute counts as light.
    """
    days = []
    for day in (first + timedelta(days=step) for step in range(WEEK_DAYS)):
        minutes = minutes_by_weekday[day.weekday()]
        ladder = 0.0 if day in windy else minutes
        if latitude_deg is not None:
            ladder = min(ladder, _light_minutes(day, minutes, daylight(latitude_deg, day.timetuple().tm_yday)))
        days.append(DayHours(day, minutes, ladder))
    return tuple(days)


def _light_minutes(day: date, minutes: float, sun: Daylight) -> float:
    if day.weekday() < _SATURDAY and minutes <= AFTER_WORK_MOST_MINUTES:
        return max(0.0, sun.sunset_hour - max(AFTER_WORK_HOUR, sun.sunrise_hour)) * 60
    return sun.length_hours * 60
