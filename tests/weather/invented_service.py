"""A weather service on loopback that answers every span it is asked for, in Open-Meteo's shape, with invented days."""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime, timedelta
from typing import Any

from loopback_service import LoopbackService, Reply, serving

from tendwork.weather.fetching.cache import AnswerCache
from tendwork.weather.fetching.open_meteo import OpenMeteo
from tendwork.weather.fetching.transfer import Limits
from tendwork.weather.fetching.web import Web


def invented(day: date) -> tuple[float, float]:
    """The minimum and maximum of a day."""
    low = float(day.toordinal() % 7)
    return low, low + 8.5


def answer_to(query: dict[str, str], warmer_c: float = 0.0) -> Reply:
    first, last = (date.fromisoformat(query[key]) for key in ("start_date", "end_date"))
    days = [first + timedelta(days=step) for step in range((last - first).days + 1)]
    return Reply(
        json.dumps(
            {
                "utc_offset_seconds": 0,
                "timezone": "Europe/London",
                "daily_units": {"time": "iso8601", "temperature_2m_max": "°C", "temperature_2m_min": "°C"},
                "daily": {
                    "time": [day.isoformat() for day in days],
                    "temperature_2m_max": [invented(day)[1] + warmer_c for day in days],
                    "temperature_2m_min": [invented(day)[0] + warmer_c for day in days],
                },
            }
        )
    )


@contextmanager
def answering(warmer_c: float = 0.0) -> Iterator[LoopbackService]:
    """A service that has every day that it is asked for, until a test puts other replies into its mouth."""
    with serving(Reply()) as service:
        spoken = service.next_reply
        service.replies = []
        service.next_reply = lambda: (  # type: ignore[method-assign]
            spoken() if service.replies else answer_to(service.requests[-1].query, warmer_c)
        )
        yield service


class Clock:
    """A clock that a test moves."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


def patient_for(clock: Clock) -> Any:
    """How fetchers are had: by this clock, without waiting."""

    def fetcher_for(name: str, *, contact: str, cache_folder: Any, base_url: str) -> OpenMeteo:
        assert name == "open-meteo"
        limits = Limits(attempts=1, connect_s=2.0, silence_s=2.0)
        cache = AnswerCache(cache_folder)
        return OpenMeteo(Web("Open-Meteo", contact, cache, limits=limits, sleep=lambda _: None, now=clock), base_url)

    return fetcher_for
