"""An orchard in a real folder that asks a weather service on loopback."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from invented_service import Clock, patient_for
from loopback_service import LoopbackService

from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.workbench.temperature_fetching import Fetched, fetch_temperatures

MORNING = datetime(2026, 3, 12, 6, 11, tzinfo=UTC)
TODAY = MORNING.date()
FIRST = date(2013, 9, 1)
FORECAST = "temperatures/forecast.csv"
PAST = "temperatures/open-meteo.csv"


class Hill:
    """An orchard whose site.toml names the service on loopback, and the morning on which it is asked."""

    def __init__(self, path: Path, service: LoopbackService, options: str = "") -> None:
        self.clock = Clock(MORNING)
        self.path = path
        self.service = service
        with (path / "site.toml").open("a") as site:
            site.write(f'\n[[temperatures]]\nservice = "open-meteo"\nurl = "{service.url}"\n{options}')

    @property
    def folder(self) -> OrchardFolder:
        return OrchardFolder.open(self.path)

    @property
    def today(self) -> date:
        return self.clock.now.date()

    def fetch(self, stopped: Callable[[], bool] = lambda: False) -> Fetched:
        return fetch_temperatures(self.folder, self.today, self.clock.now, patient_for(self.clock), stopped)

    def fetch_recent(self) -> Fetched:
        """As a fetch that is stopped before it comes to older years."""
        return self.fetch(lambda: True)

    def days(self, name: str) -> dict[date, tuple[float, float]]:
        return read_temperatures(self.path / name).days

    def asked(self) -> list[tuple[str, date, date]]:
        """(path, first day, last day) of every request so far, and forget them."""
        asked = [
            (request.path, *(date.fromisoformat(request.query[key]) for key in ("start_date", "end_date")))
            for request in self.service.requests
        ]
        self.service.requests.clear()
        return asked
