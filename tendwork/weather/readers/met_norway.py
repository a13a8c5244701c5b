"""MET Norway's locationforecast 2.0, `complete`: instants and six-hour extremes in UTC, cut into local days."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo
from typing import Any

from tendwork.almanac.temperature import HIGHEST_C, LOWEST_C
from tendwork.weather.readers.clock import utc_instant, zone_of
from tendwork.weather.readers.document import Document, degrees
from tendwork.weather.readers.gathering import BEYOND, CROSSED, UNREADABLE, Gathering
from tendwork.weather.readers.local_days import LocalDays
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.values import UNIT_NAMES

ATTRIBUTION = "Data from MET Norway (NLOD 2.0, CC BY 4.0)"
FORMAT = "MET Norway locationforecast"
# Whatever the zone, at least three of the four six-hour windows lie inside a local day.
_LEAST_HOURS = 18
_WINDOW_HOURS = 6


def is_met_norway(document: Document) -> bool:
    """Whether the document has this shape."""
    content = document.content
    properties = content.get("properties") if isinstance(content, dict) else None
    return isinstance(properties, dict) and "timeseries" in properties


def read_met_norway(document: Document, timezone: str) -> Reading:
    """The reading of such an answer, all of it a forecast. Raises PersonError."""
    import msgspec

    properties = document.table(document.content, "properties")
    series = document.array(properties, "properties.timeseries")
    units = document.table(document.table(properties, "properties.meta"), "properties.meta.units")
    if units.get("air_temperature") != "celsius":
        raise document.fault("properties.meta.units.air_temperature", "is not celsius")
    zone = zone_of(timezone)
    gathering = Gathering(document.name, "entry")
    days = LocalDays(_LEAST_HOURS)
    for entry, step in enumerate(series, start=1):
        try:
            start = utc_instant(step["time"])
            instant = degrees(step["data"]["instant"]["details"].get("air_temperature"))
            low, high = _window(step["data"])
        except (KeyError, TypeError, AttributeError, ValueError) as error:
            gathering.reject(entry, UNREADABLE, f"not a time with its temperatures ({error})")
            continue
        if any(value is not None and not LOWEST_C <= value <= HIGHEST_C for value in (instant, low, high)):
            gathering.reject(entry, BEYOND, f"{start:%Y-%m-%d %H:%M} UTC: {instant}, {low} to {high} °C")
            continue
        if low is not None and high is not None:
            if low > high:
                gathering.reject(entry, CROSSED, f"{start:%Y-%m-%d %H:%M} UTC: {low:g} to {high:g} °C")
                continue
            _add_window(days, entry, start, zone, low, high)
        if instant is not None:
            local = start.astimezone(zone)
            days.add(entry, local.date(), local.hour, instant, instant)
    incomplete = days.into(gathering)
    reading = gathering.reading(FORMAT, UNIT_NAMES["c"], (incomplete, "Grid model, not a thermometer."), ATTRIBUTION)
    return msgspec.structs.replace(reading, forecast_from=reading.first_day)


def _add_window(days: LocalDays, entry: int, start: datetime, zone: tzinfo, low: float, high: float) -> None:
    """Six hours from `start`, if they lie inside one local day."""
    hours = [(start + timedelta(hours=hour)).astimezone(zone) for hour in range(_WINDOW_HOURS)]
    end = (start + timedelta(hours=_WINDOW_HOURS, minutes=-1)).astimezone(zone)
    if end.date() == hours[0].date():
        for local in hours:
            days.add(entry, local.date(), local.hour, low, high)


def _window(data: dict[str, Any]) -> tuple[float | None, float | None]:
    details = data.get("next_6_hours", {}).get("details", {})
    return degrees(details.get("air_temperature_min")), degrees(details.get("air_temperature_max"))
