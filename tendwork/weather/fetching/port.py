"""The one port behind which weather services stand, and what each of them is, asks for and is told."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Protocol

from msgspec import Struct

from tendwork.weather.readers.reading import Reading

if TYPE_CHECKING:
    from tendwork.weather.fetching.web import Web


class Spot(Struct, frozen=True):
    """The place to ask for: degrees north and east, an IANA zone whose civil days count, height in metres if known."""

    latitude: float
    longitude: float
    timezone: str
    elevation_m: float | None = None


class Service(Struct, frozen=True):
    """A weather service. `attribution` and `licence` are shown wherever its data are shown.

    `sends` says what leaves this computer. `needs_contact`: its terms ask for a contact in every request.
    """

    name: str
    title: str
    covers: str
    gives: str
    attribution: str
    licence: str
    sends: str
    needs_contact: bool = False


class Fetcher(Protocol):
    """Asks one service for daily temperatures."""

    service: Service

    def __init__(self, web: Web, base_url: str = "") -> None: ...

    def fetch(self, spot: Spot, first: date, last: date, today: date) -> Reading:
        """The days of first..last that the service has; those from `today` on are a forecast. Raises PersonError.

        Where the service cannot be reached, its last answer that is still kept, with words on how old it is.
        """
        ...


def rounded(spot: Spot) -> tuple[str, str]:
    """Latitude and longitude as they are sent.

    Two decimals (about 1 km) where the height is sent along, since no model's cells are finer; else four, because the
    height that the service then takes from its own map changes within a kilometre of hillside, and none takes more.
    """
    places = 4 if spot.elevation_m is None else 2
    return written(spot.latitude, places), written(spot.longitude, places)


def written(degrees: float, places: int) -> str:
    """Degrees without the zeros at the end, for which some services redirect."""
    text = f"{degrees:.{places}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
