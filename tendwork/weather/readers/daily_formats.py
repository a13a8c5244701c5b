"""The daily tables with named columns that are known by name: their units, flags, day definitions and attributions."""

from __future__ import annotations

from msgspec import Struct

from tendwork.weather.readers import ghcn
from tendwork.weather.readers.columns import Header
from tendwork.weather.readers.values import Unit


class DailyFormat(Struct, frozen=True):
    """A daily table. `keys` are columns that tell it; no unit where the file does not settle it.

    `quality_in_attributes`: its ..._ATTRIBUTES columns hold GHCN's "measurement,quality,source[,time]".
    """

    name: str
    keys: frozenset[str]
    unit: Unit | None = None
    quality_in_attributes: bool = False
    words: tuple[str, ...] = ()
    attribution: str = ""


_KNOWN = (
    DailyFormat(
        "DWD daily climate (KL)",
        frozenset({"messdatum", "tnk", "txk"}),
        "c",
        words=("A day runs from 00 to 24 UTC since 2001, before that by the hours of observation.",),
        attribution="Quelle: Deutscher Wetterdienst (CC BY 4.0)",
    ),
    DailyFormat(
        "Environment Canada daily",
        frozenset({"climateid", "maxtemp", "mintemp"}),
        "c",
        words=("A day ends at 06 UTC of the next one since July 1961.",),
        attribution="Environment and Climate Change Canada",
    ),
    DailyFormat(
        "GSOD, global summary of the day",
        frozenset({"station", "max", "min", "maxattributes", "minattributes"}),
        "f",
        words=("Days are UTC days.",),
        attribution="NOAA NCEI, Global Surface Summary of the Day; US government data",
    ),
    DailyFormat(
        "GHCN-Daily (one line a day)",
        frozenset({"station", "latitude", "tmax", "tmin", "tmaxattributes", "tminattributes"}),
        "tenths",
        quality_in_attributes=True,
        attribution=ghcn.ATTRIBUTION,
    ),
    DailyFormat(
        "NCEI daily summaries",
        frozenset({"station", "tmax", "tmin"}),
        quality_in_attributes=True,
        attribution=ghcn.SERVICE_ATTRIBUTION,
    ),
)
_ANY = DailyFormat("a table of days", frozenset())


def daily_format(header: Header) -> DailyFormat:
    """The known format with these columns, else a plain table."""
    keys = set(header.keys)
    for known in _KNOWN:
        if known.keys <= keys and _in_its_order(known, header):
            return known
    return _ANY


def _in_its_order(known: DailyFormat, header: Header) -> bool:
    """A web order may carry the columns of the one-line GHCN file in another unit; its station's name comes earlier."""
    if known.unit != "tenths":
        return True
    return header.keys[:3] == ("station", "date", "latitude")
