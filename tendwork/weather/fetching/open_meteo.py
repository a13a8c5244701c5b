"""Forecast and archive by coordinates, from Open-Meteo; free for use that is not commercial."""

from __future__ import annotations

from datetime import date, timedelta

import msgspec

from tendwork.errors import PersonError
from tendwork.weather.fetching.answers import joined, told, within
from tendwork.weather.fetching.port import Service, Spot, rounded
from tendwork.weather.fetching.web import Told, Web
from tendwork.weather.readers.clock import standard_offset, zone_of
from tendwork.weather.readers.document import Document
from tendwork.weather.readers.open_meteo import ATTRIBUTION, read_open_meteo
from tendwork.weather.readers.reading import Reading

SERVICE = Service(
    name="open-meteo",
    title="Open-Meteo",
    covers="the whole world",
    gives="past years and 16 days ahead, from grid models",
    attribution=ATTRIBUTION,
    licence="CC BY 4.0; free of charge for non-commercial use; a link to open-meteo.com beside the data",
    sends="the coordinates to two decimals with the height, or to four without; the time zone; a contact if given",
)
FORECAST_URL = "https://api.open-meteo.com"
ARCHIVE_URL = "https://archive-api.open-meteo.com"
_DAYS_AHEAD = timedelta(days=15)
_DAYS_BACK_IN_THE_FORECAST = timedelta(days=92)


class OpenMeteo:
    """The days up to 92 back from the forecast service, older ones from the archive."""

    service = SERVICE

    def __init__(self, web: Web, base_url: str = "") -> None:
        self._web = web
        self._forecast_url = f"{base_url or FORECAST_URL}/v1/forecast"
        self._archive_url = f"{base_url or ARCHIVE_URL}/v1/archive"

    def fetch(self, spot: Spot, first: date, last: date, today: date) -> Reading:
        """See Fetcher. Where one of the two services fails, what the other gives, with words on the failure."""
        turn = today - _DAYS_BACK_IN_THE_FORECAST
        last = min(last, today + _DAYS_AHEAD)
        if first > last:
            raise PersonError(f"{SERVICE.title} gives no days from {first} on, only to {today + _DAYS_AHEAD}")
        readings: list[Reading] = []
        troubles: list[str] = []
        for ask, begin, end in (
            (self._archive, first, min(last, turn - timedelta(days=1))),
            (self._forecast, max(first, turn), last),
        ):
            if begin <= end:
                try:
                    readings.append(ask(spot, begin, end, today))
                except PersonError as error:
                    troubles.append(str(error))
        if not readings:
            raise PersonError(troubles[0])
        reading = readings[0] if len(readings) == 1 else joined(readings[0], readings[1])
        return within(msgspec.structs.replace(reading, words=(*reading.words, *troubles)), first, last)

    def _forecast(self, spot: Spot, first: date, last: date, today: date) -> Reading:
        return self._ask(self._forecast_url, "forecast", spot, spot.timezone, first, last, today)

    def _archive(self, spot: Spot, first: date, last: date, today: date) -> Reading:
        """Days of standard time all year, as far as the service lets them be asked for.

        It cuts all days of an answer at the one offset that the zone has when it is asked, so that an answer fetched in
        summer would cut winter days elsewhere than one fetched in winter.
        """
        fixed = _fixed_zone(spot.timezone, today)
        if fixed != spot.timezone:
            try:
                return self._ask(self._archive_url, "archive", spot, fixed, first, last, today)
            except PersonError as error:
                if "timezone" not in str(error).lower():
                    raise
        return self._ask(self._archive_url, "archive", spot, spot.timezone, first, last, today)

    def _ask(self, url: str, kind: str, spot: Spot, timezone: str, first: date, last: date, today: date) -> Reading:
        latitude, longitude = rounded(spot)
        parameters = {
            "latitude": latitude,
            "longitude": longitude,
            "daily": "temperature_2m_max,temperature_2m_min",
            "timezone": timezone,
            "start_date": first.isoformat(),
            "end_date": last.isoformat(),
        }
        if spot.elevation_m is not None:
            parameters["elevation"] = (
                f"{spot.elevation_m:.0f}"  # a parameter from memory; one that is unknown does no harm
            )

        def read(answer: Told) -> Reading:
            document = Document(f"answer of {SERVICE.title} ({kind})", answer.text)
            return told(read_open_meteo(document, spot.timezone, answer.asked_on), answer)

        return self._web.ask(f"{SERVICE.name}-{kind}_{latitude}_{longitude}", url, parameters, read, today)


def _fixed_zone(timezone: str, today: date) -> str:
    """The zone of fixed offset that keeps the standard time of `timezone` (IANA: Etc/GMT-1 is an hour ahead of UTC)."""
    hours, rest = divmod(standard_offset(zone_of(timezone), today.year), timedelta(hours=1))
    if rest:
        return timezone
    return f"Etc/GMT{-hours:+d}" if hours else "Etc/GMT"
