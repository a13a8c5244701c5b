"""What each species needs to reach each bud stage, with where the figures come from."""

from __future__ import annotations

from tendwork.species import STAGES

# Heat to full bloom in degree-days above 6.1 °C (43 °F), single sine, from 1 January: UMass Healthy Fruit 2010 for
# McIntosh, Cornell Scaffolds 1999 mid-points for the others; quince and medlar set after apple (common practice).
HEAT_TO_BLOOM: dict[str, float] = {
    "apple": 213.0,
    "pear": 190.0,
    "quince": 240.0,
    "medlar": 290.0,
    "plum": 180.0,
    "japanese plum": 150.0,
    "sweet cherry": 155.0,
    "sour cherry": 190.0,
    "peach": 165.0,
    "apricot": 115.0,
}

# Share of the heat to full bloom at which a stage of this BBCH code begins, after the McIntosh table of UMass Healthy
# Fruit (2010, 2019), which gives means and standard deviations from silver tip to petal fall.
SHARE_OF_BLOOM: dict[int, float] = {
    51: 0.21, 52: 0.24, 53: 0.26, 54: 0.48, 55: 0.60, 56: 0.66, 57: 0.76, 59: 0.86, 60: 0.92, 65: 1.0, 67: 1.25, 71: 1.45, 72: 1.50, 73: 1.75,
}  # fmt: skip

# Days from full bloom to the end of shoot growth: common practice, no source.
SHOOT_STOP_DAYS: dict[str, int] = {
    species: {"pear": 70, "apricot": 95, "peach": 115}.get(species, 85) for species in STAGES
}
