"""The gridpoint answer of the US National Weather Service: one interval per maximum and minimum, in UTC."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta, tzinfo
from typing import Any

from tendwork.weather.readers.clock import utc_instant, zone_of
from tendwork.weather.readers.document import Document, degrees
from tendwork.weather.readers.gathering import DOUBLED, UNREADABLE, Gathering
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.values import UNIT_NAMES, Unit, to_celsius

ATTRIBUTION = "US National Weather Service (public domain)"
FORMAT = "US National Weather Service gridpoint"
_UNITS: dict[str, Unit] = {"wmoUnit:degC": "c", "wmoUnit:degF": "f"}
_DURATION = re.compile(r"P(?:(\d{1,3})D)?(?:T(?:(\d{1,3})H)?(?:(\d{1,3})M)?)?$")
# What is left of a day that has begun is no extreme of that day.
_SHORTEST, _LONGEST = timedelta(hours=6), timedelta(hours=24)


def is_nws_gridpoint(document: Document) -> bool:
    """Whether the document has this shape."""
    content = document.content
    properties = content.get("properties") if isinstance(content, dict) else None
    return isinstance(properties, dict) and ("maxTemperature" in properties or "minTemperature" in properties)


def read_nws_gridpoint(document: Document, timezone: str) -> Reading:
    """The reading of such an answer, all of it a forecast. Raises PersonError."""
    import msgspec

    properties = document.table(document.content, "properties")
    zone = zone_of(timezone)
    gathering = Gathering(document.name, "entry")
    lows = _layer(document, properties, "minTemperature", zone, gathering)
    highs = _layer(document, properties, "maxTemperature", zone, gathering)
    for day in sorted(lows.keys() | highs.keys()):
        low, high = lows.get(day), highs.get(day)
        entry = (low or high or (0, 0.0))[0]
        gathering.add(entry, day, low[1] if low else None, high[1] if high else None)
    reading = gathering.reading(FORMAT, UNIT_NAMES["c"], ("Grid model, not a thermometer.",), ATTRIBUTION)
    return msgspec.structs.replace(reading, forecast_from=reading.first_day)


def _layer(
    document: Document, properties: dict[str, Any], name: str, zone: tzinfo, gathering: Gathering
) -> dict[date, tuple[int, float]]:
    """(entry, °C) by the local date of the middle of each interval."""
    layer = document.table(properties, f"properties.{name}")
    unit = _UNITS.get(str(layer.get("uom")))
    if unit is None:
        raise document.fault(f"properties.{name}.uom", f"{layer.get('uom')!r} is neither degC nor degF")
    days: dict[date, tuple[int, float]] = {}
    for entry, step in enumerate(document.array(layer, f"properties.{name}.values"), start=1):
        try:
            value = degrees(step["value"])
            start, length = _interval(step["validTime"])
        except (KeyError, TypeError, ValueError) as error:
            gathering.reject(entry, UNREADABLE, f"{name}: not an interval with its value ({error})")
            continue
        if value is None or length < _SHORTEST:
            continue
        if length > _LONGEST:
            gathering.reject(entry, UNREADABLE, f"{name}: an interval longer than a day, {step['validTime']}")
            continue
        day = (start + length / 2).astimezone(zone).date()
        if day in days:
            gathering.reject(entry, DOUBLED, f"{name}: {day} stands on entry {days[day][0]} already, which is kept")
        else:
            days[day] = (entry, to_celsius(value, unit))
    return days


def _interval(text: Any) -> tuple[datetime, timedelta]:
    if not isinstance(text, str):
        raise ValueError(f"{text!r} is no interval")
    begin, _, duration = text.partition("/")
    found = _DURATION.match(duration)
    if found is None:
        raise ValueError(text)
    days, hours, minutes = (int(part or 0) for part in found.groups())
    return utc_instant(begin), timedelta(days=days, hours=hours, minutes=minutes)
