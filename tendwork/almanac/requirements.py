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

MODEL_WEIGHTS = (0.66, 0.07, 0.08, 0.08, 0.07, 0.04)
"""How much each model is believed before anything was seen: the first carried best between left-out climates."""

MODEL_WORDS = (
    "heat counted as the days lengthen, less of it needed the more chill the winter had",
    *(f"heat counted once about {portions:.0f} chill portions are met" for portions in CHILL_FIRST_PORTIONS),
)

_HEAT_TO_FULL_BLOOM: dict[str, tuple[float, ...]] = {
    "apple": (3250, 7570, 7160, 6960, 6800, 6640),
    "pear": (2230, 6110, 5720, 5500, 5340, 5170),
    "quince": (5260, 10080, 9740, 9550, 9380, 9230),
    "medlar": (7140, 12340, 11980, 11790, 11640, 11480),
    "plum": (1820, 5500, 5120, 4890, 4730, 4540),
    "japanese plum": (1130, 4440, 4010, 3780, 3600, 3420),
    "sweet cherry": (2100, 5910, 5530, 5310, 5160, 4980),
    "sour cherry": (2690, 6720, 6370, 6110, 5960, 5790),
    "peach": (1420, 4890, 4490, 4240, 4080, 3910),
    "apricot": (920, 4100, 3650, 3400, 3260, 3090),
}

# Share of the heat to full bloom at which a stage begins. Apple: the McIntosh sums of UMass Healthy Fruit (2010, 2019)
# in the terms of the first model, Geneva NY; its first two stages a little earlier, after the 31 days from green tip
# to full bloom that MSU gives for Peach Ridge. Pear, peach and cherry: bud burst and first bloom as medians of the
# Korean stations; between them the New York ranges of Scaffolds (1999). Plum and apricot: by likeness. Quince, medlar:
# they bloom long after apple, but quince shows green up to ten days before it, and medlar with it or a few days later
# (common practice, no source).
_SHARES: dict[str, dict[int, float]] = {
    "apple": {51: 0.085, 53: 0.125, 54: 0.37, 55: 0.525, 57: 0.7, 59: 0.78, 60: 0.85, 65: 1.0, 67: 1.32, 71: 1.58},
    "pear": {51: 0.2, 53: 0.34, 55: 0.5, 57: 0.67, 59: 0.74, 60: 0.79, 65: 1.0, 67: 1.32, 71: 1.58},
    "quince": {51: 0.025, 53: 0.045, 60: 0.83, 65: 1.0, 67: 1.32, 71: 1.58},
    "medlar": {51: 0.044, 53: 0.066, 60: 0.83, 65: 1.0, 67: 1.32, 71: 1.58},
    "plum": {51: 0.2, 53: 0.33, 54: 0.41, 55: 0.54, 57: 0.7, 60: 0.79, 65: 1.0, 67: 1.32, 72: 1.62},
    "cherry": {51: 0.18, 52: 0.25, 53: 0.33, 55: 0.5, 56: 0.61, 57: 0.7, 60: 0.78, 65: 1.0, 67: 1.32, 71: 1.58},
    "peach": {51: 0.18, 53: 0.33, 55: 0.46, 57: 0.58, 59: 0.68, 60: 0.76, 65: 1.0, 67: 1.32, 72: 1.58, 73: 1.9},
    "apricot": {51: 0.18, 53: 0.33, 55: 0.48, 57: 0.64, 60: 0.77, 65: 1.0, 67: 1.32, 72: 1.58, 73: 1.9},
}
_CHILL_FIRST_SHARE = 0.67
_LIKE = {"japanese plum": "plum", "sweet cherry": "cherry", "sour cherry": "cherry"}

_SOURCES: dict[str, str] = {
    "apple": "bud stages after the McIntosh sums of UMass Healthy Fruit 2010 and 2019",
    "pear": "bud stages after Korean stations 1973-2024 and Cornell Scaffolds 1999",
    "peach": "bud stages after Korean stations 1973-2024 and Cornell Scaffolds 1999",
    "sweet cherry": "bud stages after Korean stations 1973-2024 and Cornell Scaffolds 1999",
}


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


SPREAD = Spread()


def heat_to_bloom(species: str) -> tuple[float, ...]:
    """Growing degree hours (Anderson) to full bloom, for each model."""
    return _HEAT_TO_FULL_BLOOM[species]


def share_of_bloom(species: str, code: int) -> float | None:
    """Share of the heat to full bloom at which the stage with this BBCH code begins; None for stages outside it."""
    return _SHARES[_LIKE.get(species, species)].get(code)


def share_in_model(model: int, share: float) -> float:
    """The share as a model counts heat: the chill-first ones have counted some before the buds are seen to move.

    Two thirds of the distance from full bloom bring the stages to the same mean dates in the reference climates.
    """
    return share if model == 0 else 1 - _CHILL_FIRST_SHARE * (1 - share)


def share_log_sd(share: float) -> float:
    """How unsure a share is, as the standard deviation of its logarithm: the further from full bloom, the more."""
    return 0.35 * abs(1 - share)


def source_words(species: str) -> str:
    """Where the sums of a species come from, or that it has none of its own."""
    return _SOURCES.get(species, "bud stages by likeness to the species with published sums, no source of its own")
