"""Whether a day suits a job, and the job's wish in words."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.planning.anchors import SeasonAlmanac
from tendwork.planning.vocabulary import Weather

_KNOWN_MARKS = ("m", "f")  # measured and forecast; an interpolated or a normal day says nothing about this one


def suits(weather: Weather, day: date, almanac: SeasonAlmanac) -> bool | None:
    """True or False where measured or forecast temperatures decide it, None where they are not known.

    `min_c` asks that the day's maximum reaches it, `max_c` that the maximum does not pass it. Rain is never known:
    `dry` is the person's own look out of the window.
    """
    today = almanac.day(day)
    if today is None or today[2] not in _KNOWN_MARKS:
        return None
    tmax_c = today[1]
    if weather.min_c is not None and tmax_c < weather.min_c:
        return False
    if weather.max_c is not None and tmax_c > weather.max_c:
        return False
    for nights in range(1, weather.frost_free_nights + 1):
        night = almanac.day(day + timedelta(days=nights))
        if night is not None and night[2] in _KNOWN_MARKS and night[0] <= weather.frost_c:
            return False
    return True


def weather_words(weather: Weather) -> str:
    """The wish as a phrase, empty where the job has none. Temperatures stay in °C; the view turns them."""
    parts = []
    if weather.dry:
        parts.append("a dry day")
    if weather.min_c is not None and weather.max_c is not None:
        parts.append(f"{weather.min_c:g} to {weather.max_c:g} °C")
    elif weather.min_c is not None:
        parts.append(f"at least {weather.min_c:g} °C")
    elif weather.max_c is not None:
        parts.append(f"at most {weather.max_c:g} °C")
    if weather.frost_free_nights:
        count = weather.frost_free_nights
        frost = f"no night of {weather.frost_c:g} °C or colder" if weather.frost_c else "no frost"
        parts.append(f"{frost} the night after" if count == 1 else f"{frost} in the {count} nights after")
    return ", ".join(parts)
