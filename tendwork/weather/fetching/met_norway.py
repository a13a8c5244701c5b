"""Forecast for the whole world, from the Norwegian national service."""

from __future__ import annotations

from datetime import date

from tendwork.weather.fetching.answers import told, within
from tendwork.weather.fetching.port import Service, Spot, rounded
from tendwork.weather.fetching.web import Told, Web
from tendwork.weather.readers.document import Document
from tendwork.weather.readers.met_norway import ATTRIBUTION, read_met_norway
from tendwork.weather.readers.reading import Reading

SERVICE = Service(
    name="met-norway",
    title="MET Norway",
    covers="the whole world, finest in the Nordic countries",
    gives="about 9 days ahead and no past days, from grid models",
    attribution=ATTRIBUTION,
    licence="NLOD 2.0 and CC BY 4.0",
    sends="the coordinates to two decimals with the height, or to four without; your contact",
    needs_contact=True,
)
BASE_URL = "https://api.met.no"


class MetNorway:
    """The `complete` product of locationforecast 2.0."""

    service = SERVICE

    def __init__(self, web: Web, base_url: str = "") -> None:
        self._web = web
        self._url = f"{base_url or BASE_URL}/weatherapi/locationforecast/2.0/complete"

    def fetch(self, spot: Spot, first: date, last: date, today: date) -> Reading:
        """See Fetcher."""
        latitude, longitude = rounded(spot)
        parameters = {"lat": latitude, "lon": longitude}
        if spot.elevation_m is not None:
            parameters["altitude"] = f"{spot.elevation_m:.0f}"

        def read(answer: Told) -> Reading:
            return told(read_met_norway(Document(f"answer of {SERVICE.title}", answer.text), spot.timezone), answer)

        topic = f"{SERVICE.name}_{latitude}_{longitude}"
        return within(self._web.ask(topic, self._url, parameters, read, today), first, last)
