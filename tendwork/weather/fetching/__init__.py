"""Weather services asked for daily temperatures, all behind one port. Nothing is asked before `fetch` is called."""

from __future__ import annotations

from tendwork.weather.fetching.port import Fetcher, Service, Spot
from tendwork.weather.fetching.services import SERVICES, fetcher_named

__all__ = ["SERVICES", "Fetcher", "Service", "Spot", "fetcher_named"]
