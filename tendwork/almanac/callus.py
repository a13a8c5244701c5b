"""Callus weather: how many of the coming days are warm enough, and not too hot, for a graft to knit.

All published ranges are growers' reports (grade C); no handbook table by species was found. They are given as the
warmest hour of the day, so that is what a day is measured by.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct


class CallusRange(Struct, frozen=True):
    """Daily maxima in °C between which callus forms well, and where the figures come from."""

    lowest_c: float
    highest_c: float
    source: str


_GROWER = "a Maryland grower's list of spring grafting weather (growingfruit.org 27655)"
_COMPILATION = "a growers' compilation of callus temperatures (growingfruit.org 70053)"

_RANGES: dict[str, CallusRange] = {
    "apple": CallusRange(7.0, 21.0, _GROWER),
    "pear": CallusRange(7.0, 21.0, _GROWER),
    "quince": CallusRange(13.0, 24.0, f"{_COMPILATION}, which goes on to 30 °C; the end at 24 °C is ours"),
    "medlar": CallusRange(10.0, 21.0, "common practice, no source; the compilation guesses at 18 °C as best"),
    "plum": CallusRange(13.0, 21.0, f"{_GROWER}, there for japanese plum"),
    "japanese plum": CallusRange(13.0, 21.0, _GROWER),
    "sweet cherry": CallusRange(13.0, 21.0, _GROWER),
    "sour cherry": CallusRange(13.0, 21.0, _GROWER),
    "peach": CallusRange(18.0, 27.0, _GROWER),
    "apricot": CallusRange(16.0, 27.0, _GROWER),
}


def callus_range(species: str) -> CallusRange:
    """The range for a species. Raises KeyError for an unknown one."""
    return _RANGES[species]


def callus_share(species: str, days: Sequence[tuple[float, float]]) -> float:
    """Share of (tmin_c, tmax_c) days whose maximum is inside the published range, edges included; 0 for no days."""
    if not days:
        return 0.0
    wanted = _RANGES[species]
    return sum(wanted.lowest_c <= high <= wanted.highest_c for _, high in days) / len(days)
