"""How far the chill of a winter falls short of what the varieties of a species need to end their rest.

The models carry between climates as long as there is chill enough. Where it runs short they have hardly been tried, and
varieties part by weeks: there the dates are less sure.
"""

from __future__ import annotations

from math import erf, exp, pi, sqrt

from msgspec import Struct

# Our own choice, no source: the published varieties lie about eleven portions apart, which a warm winter takes three to
# six weeks to bring, and buds that lack them open ragged, but not that late.
_SITE_DAYS_OF_A_PORTION, _MOST_SITE_DAYS = 1.5, 15.0
_SEASON_DAYS_OF_A_PORTION, _MOST_SEASON_DAYS = 0.5, 5.0


class ChillNeed(Struct, frozen=True):
    """What varieties of a species need to end their rest, in portions of the Dynamic Model: mean and spread."""

    portions: float
    sd_portions: float


# Means and spreads of the varieties listed. UC ANR (fruit and nut crop chill portions, K. Pope), UC Davis (tree
# phenology, table 1) and, for apple, Drepper et al. 2020: apple Golden Delicious, Boskoop, Cox; sweet cherry ten from
# Cristobalina to Sam; apricot eight from Currot to Orange Red; peach and plum the standard ones of UC, with the spread
# of the others. The rest have no published portions, and stand at those of a near relative.
_APPLE, _CHERRY, _APRICOT = ChillNeed(62, 12), ChillNeed(47, 11), ChillNeed(55, 10)
_CHILL_NEEDS: dict[str, ChillNeed] = {
    "apple": _APPLE,
    "pear": _APPLE,
    "quince": _APPLE,
    "medlar": _APPLE,
    "plum": ChillNeed(57, 11),
    "japanese plum": _APRICOT,
    "sweet cherry": _CHERRY,
    "sour cherry": _CHERRY,
    "peach": ChillNeed(66, 11),
    "apricot": _APRICOT,
}


def short_of_chill(species: str, portions: float) -> float:
    """By how many portions the varieties of a species lack chill, on average over their published spread."""
    need = _CHILL_NEEDS[species]
    away = (need.portions - portions) / need.sd_portions
    lacking = (1 + erf(away / sqrt(2))) / 2
    short = need.sd_portions * exp(-away * away / 2) / sqrt(2 * pi) + (need.portions - portions) * lacking
    return max(short, 0.0)  # for the last bits of a difference of two small numbers


def chill_need(species: str) -> ChillNeed:
    return _CHILL_NEEDS[species]


def site_days_short(portions_short: float) -> float:
    """How unsure the lack leaves what a site needs, as a standard deviation in days."""
    return min(_SITE_DAYS_OF_A_PORTION * portions_short, _MOST_SITE_DAYS)


def season_days_short(portions_short: float) -> float:
    """How unsure it leaves a single season of a site that is known, as a standard deviation in days."""
    return min(_SEASON_DAYS_OF_A_PORTION * portions_short, _MOST_SEASON_DAYS)
