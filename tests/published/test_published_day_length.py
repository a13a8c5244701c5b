"""Day length and the hourly curve against published figures and other people's programs."""

from __future__ import annotations

from datetime import date
from math import log, pi, sin

import pytest
from reference_formulas import day_length_fao56

from tendwork.almanac.daylength import daylight
from tendwork.almanac.hourly import hours_of_day


def test_the_example_of_fao_56_comes_out() -> None:
    """FAO Irrigation and Drainage Paper 56, chapter 3: 20° south, day 246, printed 11.7; more digits in NCL."""
    assert day_length_fao56(-20, 246) == pytest.approx(11.66559, abs=1e-5)


def test_sunrise_and_sunset_are_those_of_chillr() -> None:
    """chillR 0.77, daylength (Spencer 1971, Almorox 2005): latitude 42.9, day 105."""
    light = daylight(42.9, 105)
    assert (light.sunrise_hour, light.sunset_hour, light.length_hours) == pytest.approx(
        (5.3269, 18.6731, 13.3462), abs=1e-3
    )


@pytest.mark.parametrize(
    ("latitude", "day_of_year", "hours"),
    [(42.9, 172, 15.3515), (50.4, 40, 9.6820), (40, 355, 9.3273), (0, 80, 12.1111)],
)
def test_day_length_is_that_of_chillr(latitude: float, day_of_year: int, hours: float) -> None:
    """chillR 0.77, daylength."""
    assert daylight(latitude, day_of_year).length_hours == pytest.approx(hours, abs=1e-3)


def test_day_length_is_within_two_minutes_of_an_almanac_of_the_sun() -> None:
    """astral 3.2: latitude 42.9, 15 April 2015, 13 h 22 min 15 s."""
    assert daylight(42.9, 105).length_hours == pytest.approx(13 + 22 / 60 + 15 / 3600, abs=2 / 60)


SEATTLE_LATITUDE = 47.45
SEATTLE_HOURS = hours_of_day(5.0, 13.9, date(2013, 3, 2), SEATTLE_LATITUDE, before=(11.1, 15.0), next_tmin_c=2.2)


@pytest.mark.parametrize(("hour", "temp_c"), [(8, 7.7981), (14, 13.9), (18, 10.2264), (23, 4.9316)])
def test_hours_from_sunrise_to_midnight_are_those_of_chillr(hour: int, temp_c: float) -> None:
    """chillR 0.77, make_hourly_temps (Linvill 1990): Seattle, 2 March 2013."""
    assert SEATTLE_HOURS[hour] == pytest.approx(temp_c, abs=1e-3)


@pytest.mark.parametrize(("hour", "temp_c"), [(0, 6.9218), (6, 4.8584)])
def test_hours_before_sunrise_fall_as_in_chillr_with_its_two_departures(hour: int, temp_c: float) -> None:
    """chillR 0.77, same day. Before sunrise it divides by ln(night), where Linvill has ln(night + 1), so that it dips
    below the minimum; and it takes yesterday's temperature at dusk with today's day length. Both are put back here."""
    yesterday, today = daylight(SEATTLE_LATITUDE, 60), daylight(SEATTLE_LATITUDE, 61)
    night = 24 - yesterday.sunset_hour + today.sunrise_hour
    dusk, dusk_in_chillr = (
        11.1 + (15.0 - 11.1) * sin(pi * light.length_hours / (light.length_hours + 4)) for light in (yesterday, today)
    )
    share_fallen = (dusk - SEATTLE_HOURS[hour]) / (dusk - 5.0)
    as_in_chillr = dusk_in_chillr - (dusk_in_chillr - 5.0) * share_fallen * log(night + 1) / log(night)
    assert as_in_chillr == pytest.approx(temp_c, abs=1e-3)
