"""What each species needs to come to each bud stage, how sure that is, and where the figures come from.

The heat to full bloom was set so that thirteen climates from Kentville to Meknes come out nearest to the dates on which
these species usually bloom there; those dates and the climates' normals are from memory, so they are no oracle. Korean
peach and the published New York and Belgrade sums moved peach and the plums. tests/bench/almanac-comparison.md has the
whole of it, and tests/bench/compare_development_models.py makes it again.
"""

from __future__ import annotations

from msgspec import Struct

CHILL_FIRST_PORTIONS = (35.0, 45.0, 55.0, 65.0, 75.0)
"""The chill requirements that are tried, in portions: published ones of standard varieties lie between 30 and 80."""

READING_WEIGHTS = (0.66, 0.07, 0.08, 0.08, 0.07, 0.04)
"""How much each reading is believed before anything was seen: the first carried best between left-out climates."""

READING_WORDS = (
    "heat counted as the days lengthen, less of it needed the more chill there was",
    *(f"heat counted once about {portions:.0f} chill portions are met" for portions in CHILL_FIRST_PORTIONS),
)

_HEAT_TO_FULL_BLOOM: dict[str, tuple[float, ...]] = {
    "apple": (4300, 7560, 7150, 6930, 6780, 6610),
    "pear": (2850, 5850, 5470, 5260, 5100, 4920),
    "quince": (6280, 9870, 9520, 9330, 9170, 9020),
    "medlar": (8160, 12120, 11730, 11540, 11410, 11230),
    "plum": (2470, 5440, 5060, 4830, 4680, 4490),
    "japanese plum": (1600, 4430, 4000, 3770, 3600, 3420),
    "sweet cherry": (2690, 5690, 5290, 5090, 4910, 4750),
    "sour cherry": (3450, 6560, 6190, 5960, 5790, 5630),
    "peach": (2100, 4990, 4590, 4370, 4210, 4040),
    "apricot": (1350, 4150, 3700, 3450, 3300, 3130),
}

# Share of the heat to full bloom at which a stage begins. Apple: the McIntosh sums of UMass Healthy Fruit (2010, 2019)
# in the terms of the first reading, Geneva NY. Pear, peach and cherry: bud burst and first bloom as medians of the
# Korean stations; between them the New York ranges of Scaffolds (1999). Quince, medlar, plum and apricot: by likeness.
_SHARES: dict[str, dict[int, float]] = {
    "apple": {51: 0.17, 53: 0.22, 54: 0.45, 55: 0.57, 57: 0.74, 59: 0.81, 60: 0.87, 65: 1.0, 67: 1.28, 71: 1.5},
    "pear": {51: 0.22, 53: 0.36, 55: 0.52, 57: 0.69, 59: 0.76, 60: 0.82, 65: 1.0, 67: 1.28, 71: 1.5},
    "quince": {51: 0.18, 53: 0.28, 60: 0.85, 65: 1.0, 67: 1.28, 71: 1.5},
    "plum": {51: 0.22, 53: 0.34, 54: 0.42, 55: 0.55, 57: 0.72, 60: 0.82, 65: 1.0, 67: 1.28, 72: 1.55},
    "cherry": {51: 0.2, 52: 0.27, 53: 0.34, 55: 0.52, 56: 0.63, 57: 0.72, 60: 0.81, 65: 1.0, 67: 1.28, 71: 1.5},
    "peach": {51: 0.2, 53: 0.34, 55: 0.48, 57: 0.6, 59: 0.7, 60: 0.79, 65: 1.0, 67: 1.28, 72: 1.5, 73: 1.8},
    "apricot": {51: 0.2, 53: 0.34, 55: 0.5, 57: 0.66, 60: 0.79, 65: 1.0, 67: 1.28, 72: 1.5, 73: 1.8},
}
_LIKE = {"medlar": "quince", "japanese plum": "plum", "sweet cherry": "cherry", "sour cherry": "cherry"}

_SOURCES: dict[str, str] = {
    "apple": "bud stages after the McIntosh sums of UMass Healthy Fruit 2010 and 2019",
    "pear": "bud stages after Korean stations 1973-2024 and Cornell Scaffolds 1999",
    "peach": "bud stages after Korean stations 1973-2024 and Cornell Scaffolds 1999",
    "sweet cherry": "bud stages after Korean stations 1973-2024 and Cornell Scaffolds 1999",
}

SHOOT_STOP_DAYS: dict[str, int] = {"pear": 70, "apricot": 95, "peach": 115}
"""Days from full bloom to the end of shoot growth where it is not the usual 85: common practice, no source."""
USUAL_SHOOT_STOP_DAYS = 85


class Spread(Struct, frozen=True):
    """Standard deviations in days, at the time of full bloom."""

    site_days: float = 6.5
    """Of a site and its varieties around the published requirement."""
    season_days: float = 3.1
    """Of one season around what its temperatures say: Korean pear and peach 4, Japanese cherry 2."""
    variety_days: float = 4.0
    """Of a variety around its species at one site."""
    usual_days: float = 4.0
    """Of a date known by heart: good to about five days."""
    year_days: float = 6.0
    """Of a single year around the usual date."""
    look_days: float = 1.5
    """Of the day on which a stage is seen."""


SPREAD = Spread()


def heat_to_bloom(species: str) -> tuple[float, ...]:
    """Growing degree hours (Anderson) to full bloom, for each reading."""
    return _HEAT_TO_FULL_BLOOM[species]


def share_of_bloom(species: str, code: int) -> float | None:
    """Share of the heat to full bloom at which the stage with this BBCH code begins; None for stages outside it."""
    return _SHARES[_LIKE.get(species, species)].get(code)


def share_log_sd(share: float) -> float:
    """How unsure a share is, as the standard deviation of its logarithm: the further from full bloom, the more."""
    return 0.35 * abs(1 - share)


def source_words(species: str) -> str:
    return _SOURCES.get(species, "bud stages by likeness to the species with published sums, no source of its own")
