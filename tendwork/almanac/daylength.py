"""Sunrise, sunset and day length at a latitude: what turns a day's two temperatures into twenty-four."""

from __future__ import annotations

from functools import lru_cache
from math import acos, cos, pi, radians, sin

from msgspec import Struct

_HORIZON = radians(-0.8333)  # the sun's upper edge, refraction included


class Daylight(Struct, frozen=True):
    """Solar hours of one day. Polar night is 12 to 12, polar day 0 to 24."""

    sunrise_hour: float
    sunset_hour: float

    @property
    def length_hours(self) -> float:
        return self.sunset_hour - self.sunrise_hour


@lru_cache(maxsize=1500)
def daylight(latitude_deg: float, day_of_year: int) -> Daylight:
    """Sunrise and sunset with Spencer's declination (1971) and the sun's edge on the horizon (Almorox 2005)."""
    turn = 2 * pi * (day_of_year - 1) / 365
    declination = (
        0.006918
        - 0.399912 * cos(turn)
        + 0.070257 * sin(turn)
        - 0.006758 * cos(2 * turn)
        + 0.000907 * sin(2 * turn)
        - 0.002697 * cos(3 * turn)
        + 0.00148 * sin(3 * turn)
    )
    latitude = radians(latitude_deg)
    # At a pole itself cos is not quite 0 in floating point, so the quotient stays finite and is clamped like the rest.
    cosine = (sin(_HORIZON) - sin(latitude) * sin(declination)) / (cos(latitude) * cos(declination))
    half_day = acos(max(-1.0, min(1.0, cosine))) * 12 / pi
    return Daylight(12 - half_day, 12 + half_day)
