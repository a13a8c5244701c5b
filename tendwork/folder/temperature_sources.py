"""Which temperature files a site has, best first, and how each is to be read.

The program writes some of them itself: what was added by hand, one file for each weather service, and the forecast.
Those are always in °C, whatever a pattern in site.toml says of the person's own; and what stands in the forecast stays
a forecast after its day is over.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path

from msgspec import Struct

from tendwork.folder.files import real_place, stands
from tendwork.folder.site import TemperatureSource
from tendwork.folder.temperature_origins import read_origins

ADDED_FILE = "temperatures/added.csv"
FORECAST_FILE = "temperatures/forecast.csv"


class SourceFile(Struct, frozen=True):
    """One file of daily temperatures; all its days are forecasts if `is_forecast`."""

    path: Path
    fahrenheit: bool = False
    is_forecast: bool = False


def service_file(service: str) -> str:
    """Where the past days of a weather service are kept, within the orchard folder."""
    return f"temperatures/{service}.csv"


def ranked_files(
    root: Path, sources: Iterable[TemperatureSource], found: Callable[[TemperatureSource], Iterable[Path]]
) -> tuple[SourceFile, ...]:
    """The files of all sources, best first, each once; `found` gives those of a pattern. Raises PersonError.

    A service's file stands where site.toml names the service. What was added by hand stands where a pattern finds it,
    else before the first service; the forecast always stands last. What is no plain file, or a link to nowhere, is
    among them, so that whoever reads it says so.
    """
    real_place(root / "temperatures")
    added, forecast = root / ADDED_FILE, root / FORECAST_FILE
    named = {root / service_file(source.service) for source in sources if source.service}
    ranked: list[SourceFile] = []
    before_services: int | None = None
    for source in sources:
        if source.service:
            before_services = len(ranked) if before_services is None else before_services
            ranked.append(SourceFile(root / service_file(source.service)))
            continue
        fahrenheit = source.options.get("units") == "us"
        in_celsius = {added, *(root / name for name in (read_origins(root) if fahrenheit else ()))}
        ranked += [
            SourceFile(path, fahrenheit and path not in in_celsius)
            for path in found(source)
            if path not in named and path != forecast
        ]
    if all(file.path != added for file in ranked):
        ranked.insert(len(ranked) if before_services is None else before_services, SourceFile(added))
    once: dict[Path, SourceFile] = {}
    for file in (*ranked, SourceFile(forecast, is_forecast=True)):
        once.setdefault(file.path, file)
    return tuple(file for file in once.values() if stands(file.path) and not file.path.is_dir())
