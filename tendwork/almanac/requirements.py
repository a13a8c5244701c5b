"""What each species needs to come to each bud stage, how sure that is, and where the figures come from.

The heat to full bloom was set so that thirteen climates from Kentville to Meknes come out nearest to the dates on which
these species usually bloom there; those dates and the climates' normals are from memory, so they are no oracle. Korean
peach and the published New York and Belgrade sums moved peach and the plums. When the models changed, every need was
set so that its mean date in six of these climates stayed. tests/bench/almanac-comparison.md has the whole of it, and
tests/bench/compare_development_models.py shows how the models compare.
"""

from __future__ import annotations

from msgspec import Struct


class Surplus(Struct, frozen=True):
    """How much more than fully chilled buds need, in shares, is needed without chill; half of it is gone at `half`."""

    most: float
    half_portions: float
    width_portions: float


LENGTHENING_DAYS = (Surplus(5.0, 80.0, 15.0), Surplus(3.5, 80.0, 22.0))
"""Two ways in which chill lowers the need: much, as apple, pear and cherries look, and less, as the others do."""

CHILL_FIRST_PORTIONS = (50.0, 65.0, 80.0)
"""The chill requirements that are tried, in portions: published ones of standard varieties lie between 30 and 80.

Lower ones were left out: wherever winters are mild, dates so counted came weeks too early.
"""

MODEL_WORDS = (
    "counted as the days lengthen, and far more of them after a winter with little chill",
    "counted as the days lengthen, and more of them after a winter with little chill",
    *(f"counted once about {portions:.0f} chill portions are met" for portions in CHILL_FIRST_PORTIONS),
)

# How much each model is believed before anything was seen.
_HUNGRY_FOR_CHILL = (0.70, 0.15, 0.03, 0.06, 0.06)
_CONTENT_WITH_LITTLE = (0.15, 0.70, 0.03, 0.06, 0.06)
# Quince and medlar want less chill than apple (common practice, no source): as hungry as it, quince would come into
# leaf long after apple in mild places.
_BETWEEN = (0.29, 0.56, 0.03, 0.06, 0.06)
_MODEL_WEIGHTS = {
    **dict.fromkeys(("plum", "japanese plum", "peach", "apricot"), _CONTENT_WITH_LITTLE),
    **dict.fromkeys(("quince", "medlar"), _BETWEEN),
}

_HEAT_TO_FULL_BLOOM: dict[str, tuple[float, ...]] = {
    "apple": (4070, 3680, 6890, 6680, 6440),
    "pear": (2790, 2560, 5440, 5220, 4960),
    "quince": (6510, 5860, 9510, 9300, 9060),
    "medlar": (8730, 7850, 11810, 11590, 11340),
    "plum": (2270, 2100, 4820, 4600, 4360),
    "japanese plum": (1400, 1320, 3730, 3500, 3260),
    "sweet cherry": (2620, 2410, 5240, 5020, 4780),
    "sour cherry": (3370, 3070, 6110, 5890, 5640),
    "peach": (1760, 1650, 4190, 3970, 3730),
    "apricot": (1130, 1080, 3380, 3140, 2900),
}

# Share of the heat to full bloom at which a stage begins. Apple: the McIntosh sums of UMass Healthy Fruit (2010, 2019)
# in the terms of the first model, Geneva NY; its first two stages a little earlier, after the 31 days from green tip
# to full bloom that MSU gives for Peach Ridge. Peach and cherry: bud burst and first bloom as medians of the Korean
# stations; between them the New York ranges of Scaffolds (1999). Pear: first bloom and the stages before it in the same
# way, but its first two stages with apple's silver and green tip, as Michigan saw them on 7 May 2018 (USDA NASS in
# Fruit Growers News): pear at burst to tight cluster, apple at silver tip to half-inch green. The Korean pears, of
# another species, put them six days later. Plum and apricot: by likeness. Quince, medlar: they bloom long after apple,
# but quince shows green up to ten days before it, and medlar with it or a few days later (common practice, no source).
_SHARES: dict[str, dict[int, float]] = {
    "apple": {51: 0.085, 53: 0.125, 54: 0.37, 55: 0.525, 57: 0.7, 59: 0.78, 60: 0.85, 65: 1.0, 67: 1.32, 71: 1.58},
    "pear": {51: 0.13, 53: 0.19, 55: 0.5, 57: 0.67, 59: 0.74, 60: 0.79, 65: 1.0, 67: 1.32, 71: 1.58},
    "quince": {51: 0.032, 53: 0.051, 60: 0.83, 65: 1.0, 67: 1.32, 71: 1.58},
    "medlar": {51: 0.052, 53: 0.076, 60: 0.83, 65: 1.0, 67: 1.32, 71: 1.58},
    "plum": {51: 0.2, 53: 0.33, 54: 0.41, 55: 0.54, 57: 0.7, 60: 0.79, 65: 1.0, 67: 1.32, 72: 1.62},
    "cherry": {51: 0.18, 52: 0.25, 53: 0.33, 55: 0.5, 56: 0.61, 57: 0.7, 60: 0.78, 65: 1.0, 67: 1.32, 71: 1.58},
    "peach": {51: 0.18, 53: 0.33, 55: 0.46, 57: 0.58, 59: 0.68, 60: 0.76, 65: 1.0, 67: 1.32, 72: 1.58, 73: 1.9},
    "apricot": {51: 0.18, 53: 0.33, 55: 0.48, 57: 0.64, 60: 0.77, 65: 1.0, 67: 1.32, 72: 1.58, 73: 1.9},
}
_CHILL_FIRST_SHARE = 0.67

# The most heat, in growing degree hours as the days lengthen, that buds take from dormant to full bloom once they move.
# Where chill is short the need itself is swollen, and shares of it would bring the first stages a month too early. It
# is 1.35 times the heat that gives the stages the same mean dates in Bonn, Belgrade, Trento, East Malling, Geneva and
# Wenatchee, so that it bears only on mild places.
_MOST_HEAT_ONCE_MOVING: dict[str, float] = {
    "apple": 6000,
    "pear": 4620,
    "quince": 8990,
    "medlar": 11890,
    "plum": 3850,
    "japanese plum": 2540,
    "sweet cherry": 4350,
    "sour cherry": 5330,
    "peach": 3070,
    "apricot": 2110,
}
_LIKE = {"japanese plum": "plum", "sweet cherry": "cherry", "sour cherry": "cherry"}

_SOURCES: dict[str, str] = {
    "apple": "bud stages after the McIntosh sums of UMass Healthy Fruit 2010 and 2019",
    "pear": "bud stages after Korean stations 1973-2024, Cornell Scaffolds 1999 and USDA NASS Michigan 2018",
    "peach": "bud stages after Korean stations 1973-2024 and Cornell Scaffolds 1999",
    "sweet cherry": "bud stages after Korean stations 1973-2024 and Cornell Scaffolds 1999",
}


class Spread(Struct, frozen=True):
    """Standard deviations in days, at the time of full bloom."""

    site_days: float = 5.5
    """Of a site and its varieties around the published requirement."""
    season_days: float = 3.5
    """Of one season around what its temperatures say: Korean pear and peach 4, Japanese cherry 2."""
    site_drift_days: float = 0.9
    """Of what a site needs, from one year to the next: Korean stations. An old spring teaches less than the last."""
    variety_days: float = 4.0
    """Of a variety around its species at one site."""
    usual_days: float = 3.0
    """Of a date known by heart, which is rounded to about five days."""
    year_days: float = 6.0
    """Of a single year around the usual date."""
    normals_days: float = 8.0
    """Of what monthly normals say, where no season was measured: they are a degree off, and of other years."""
    guess_days: float = 20.0
    """Of what a climate guessed from the latitude says."""


SPREAD = Spread()


def heat_to_bloom(species: str) -> tuple[float, ...]:
    """Growing degree hours (Anderson) to full bloom, for each model."""
    return _HEAT_TO_FULL_BLOOM[species]


def model_weights(species: str) -> tuple[float, ...]:
    """How much each model is believed before anything was seen."""
    return _MODEL_WEIGHTS.get(species, _HUNGRY_FOR_CHILL)


def share_of_bloom(species: str, code: int) -> float | None:
    """Share of the heat to full bloom at which the stage with this BBCH code begins; None for stages outside it."""
    return _SHARES[_LIKE.get(species, species)].get(code)


def most_heat_from_bloom(species: str, share: float) -> float:
    """The most growing degree hours from full bloom to the stage with this share; negative for one before bloom."""
    return _MOST_HEAT_ONCE_MOVING[species] * (share - 1)


def share_in_model(model: int, share: float) -> float:
    """The share as a model counts heat: the chill-first ones have counted some before the buds are seen to move.

    Two thirds of the distance from full bloom bring the stages to the same mean dates in the reference climates.
    """
    return share if model < len(LENGTHENING_DAYS) else 1 - _CHILL_FIRST_SHARE * (1 - share)


def share_log_sd(share: float) -> float:
    """How unsure a share is, as the standard deviation of its logarithm: the further from full bloom, the more."""
    return 0.35 * abs(1 - share)


def source_words(species: str) -> str:
    """Where the sums of a species come from, or that it has none of its own."""
    return _SOURCES.get(species, "bud stages by likeness to the species with published sums, no source of its own")
