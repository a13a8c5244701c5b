"""Forecast for the United States, from their National Weather Service."""

from __future__ import annotations

from datetime import date

from tendwork.weather.fetching.answers import told, within
from tendwork.weather.fetching.port import Service, Spot, written
from tendwork.weather.fetching.web import Told, Web
from tendwork.weather.readers.document import Document
from tendwork.weather.readers.nws_gridpoint import ATTRIBUTION, read_nws_gridpoint
from tendwork.weather.readers.reading import Reading

SERVICE = Service(
    name="us-weather-service",
    title="US National Weather Service",
    covers="the United States and their territories",
    gives="about 7 days ahead and no past days, on a grid of 2.5 km",
    attribution=ATTRIBUTION,
    licence="public domain",
    sends="the coordinates to four decimals, since no height can be sent along; your contact",
    needs_contact=True,
)
BASE_URL = "https://api.weather.gov"
_PLACES = 4


class UsWeatherService:
    """The grid cell of a point, then the cell's forecast."""

    service = SERVICE

    def __init__(self, web: Web, base_url: str = "") -> None:
        self._web = web
        self._base_url = base_url or BASE_URL

    def fetch(self, spot: Spot, first: date, last: date, today: date) -> Reading:
        """See Fetcher."""
        point = f"{written(spot.latitude, _PLACES)},{written(spot.longitude, _PLACES)}"
        topic = f"{SERVICE.name}_{point.replace(',', '_')}"
        cell_url = self._web.ask(f"{topic}_cell", f"{self._base_url}/points/{point}", {}, self._cell_url, today)

        def read(answer: Told) -> Reading:
            return told(read_nws_gridpoint(Document(f"answer of {SERVICE.title}", answer.text), spot.timezone), answer)

        return within(self._web.ask(topic, cell_url, {}, read, today), first, last)

    def _cell_url(self, answer: Told) -> str:
        """Where the cell's forecast is: an address of the same service, wherever else an answer may point."""
        document = Document(f"answer of {SERVICE.title} for the point", answer.text)
        key = "properties.forecastGridData"
        url = document.table(document.content, "properties").get("forecastGridData")
        if not isinstance(url, str) or not url.startswith(f"{self._base_url}/gridpoints/"):
            raise document.fault(key, "names no grid cell of this service")
        return url
