"""The daily answer of the Open-Meteo forecast and archive services (shape after the service's own source)."""

from __future__ import annotations

from datetime import date, datetime, timedelta, tzinfo
from itertools import zip_longest

from tendwork.weather.readers.clock import zone_of
from tendwork.weather.readers.dates import written_day
from tendwork.weather.readers.document import Document, degrees
from tendwork.weather.readers.gathering import UNREADABLE, Gathering
from tendwork.weather.readers.reading import Reading
from tendwork.weather.readers.values import UNIT_NAMES, Unit, to_celsius

ATTRIBUTION = "Weather data by Open-Meteo.com (CC BY 4.0)"
FORMAT = "Open-Meteo daily"
_UNITS: dict[str, Unit] = {"°C": "c", "°F": "f"}
_MINIMUM, _MAXIMUM = "temperature_2m_min", "temperature_2m_max"


def is_open_meteo(document: Document) -> bool:
    """Whether the document has this shape."""
    content = document.content
    return isinstance(content, dict) and ("daily" in content or "daily_units" in content)


def read_open_meteo(document: Document, timezone: str, today: date | None) -> Reading:
    """The reading of such an answer; its days from `today` on are a forecast. Raises PersonError."""
    import msgspec

    daily = document.table(document.content, "daily")
    lows, highs = document.array(daily, f"daily.{_MINIMUM}"), document.array(daily, f"daily.{_MAXIMUM}")
    days = document.array(daily, "daily.time")
    if not len(days) == len(lows) == len(highs):
        raise document.fault("daily.time", f"{len(days)} days, but {len(lows)} minima and {len(highs)} maxima")
    low_unit, high_unit = _unit(document, _MINIMUM), _unit(document, _MAXIMUM)
    gathering = Gathering(document.name, "entry")
    for entry, (text, low, high) in enumerate(zip_longest(days, lows, highs), start=1):
        try:
            day = written_day(text) if isinstance(text, str) else None
            low_c, high_c = degrees(low), degrees(high)
        except ValueError as error:
            gathering.reject(entry, UNREADABLE, str(error))
            continue
        if day is None:
            gathering.reject(entry, UNREADABLE, f"{text!r} is no date")
            continue
        gathering.add(
            entry,
            day,
            None if low_c is None else to_celsius(low_c, low_unit),
            None if high_c is None else to_celsius(high_c, high_unit),
        )
    reading = gathering.reading(FORMAT, UNIT_NAMES[low_unit], (), ATTRIBUTION)
    words = (*reading.words, *_day_words(document, reading, zone_of(timezone)), "Grid model, not a thermometer.")
    forecast_from = next((row[0] for row in reading.rows if today is not None and row[0] >= today), None)
    return msgspec.structs.replace(reading, words=words, forecast_from=forecast_from)


def _unit(document: Document, key: str) -> Unit:
    units = document.table(document.content, "daily_units")
    unit = _UNITS.get(str(units.get(key)))
    if unit is None:
        raise document.fault(f"daily_units.{key}", f"{units.get(key)!r} is neither °C nor °F")
    return unit


def _day_words(document: Document, reading: Reading, zone: tzinfo) -> list[str]:
    """How far the days of the answer, all cut at one offset from UTC, are off the place's own."""
    offset = document.content.get("utc_offset_seconds")
    if isinstance(offset, bool) or not isinstance(offset, int) or abs(offset) >= 86400:
        return ["The answer does not say where it cuts its days; GMT days are likely."]
    shift = timedelta(seconds=offset)
    off = [
        day
        for day, _, _ in reading.rows
        if datetime(day.year, day.month, day.day, 12, tzinfo=zone).utcoffset() != shift
    ]
    if not off:
        return []
    hours = offset / 3600
    return [
        f"All days are cut at midnight of UTC{hours:+g}; on {len(off)} of {len(reading.rows)} days "
        "the clock here is not at that offset."
    ]
