"""The weather services by name, each made ready to be asked."""

from __future__ import annotations

from pathlib import Path

from tendwork.errors import PersonError
from tendwork.weather.fetching.cache import AnswerCache
from tendwork.weather.fetching.met_norway import MetNorway
from tendwork.weather.fetching.open_meteo import OpenMeteo
from tendwork.weather.fetching.port import Fetcher, Service
from tendwork.weather.fetching.us_weather_service import UsWeatherService
from tendwork.weather.fetching.web import Web, user_agent

_FETCHERS: dict[str, type[Fetcher]] = {made.service.name: made for made in (OpenMeteo, MetNorway, UsWeatherService)}
SERVICES: tuple[Service, ...] = tuple(fetcher.service for fetcher in _FETCHERS.values())


def fetcher_named(name: str, *, contact: str = "", cache_folder: Path | None = None, base_url: str = "") -> Fetcher:
    """The fetcher of the service `name`; nothing is asked yet. Raises PersonError for a wrong name or contact."""
    if name not in _FETCHERS:
        raise PersonError(f'there is no weather service "{name}". There are: {", ".join(_FETCHERS)}')
    made = _FETCHERS[name]
    if made.service.needs_contact and not contact.strip():
        raise PersonError(
            f"{made.service.title} wants to know whom to write to. Give an e-mail address or web page as its contact"
        )
    user_agent(contact)
    cache = AnswerCache(cache_folder) if cache_folder is not None else None
    return made(Web(made.service.title, contact, cache), base_url)
