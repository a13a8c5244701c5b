"""How unsure a date is where chill runs short.

As long as winters bring chill enough, all ways of counting it give nearly the same day. Where it falls short of what
the varieties need, which differs by some thirty portions between them, the ways part, by weeks in the warmest places.
So how far they part is how much hangs on what nobody knows of a given tree.
"""

from __future__ import annotations

from statistics import pstdev

from tendwork.almanac.development import SEASON_DAYS, Progress
from tendwork.almanac.requirements import heat_to_bloom

# Set in hindcasts of stations and invented orchards, so that ranges hold in mild winters too and stay as they are
# elsewhere: tests/bench/almanac-comparison.md.
_SITE_SHARE, _MOST_SITE_DAYS = 0.7, 20.0
_SEASON_SHARE, _MOST_SEASON_DAYS = 0.1, 5.0


def models_part_days(progress: Progress, species: str) -> float:
    """How far the models' days of full bloom lie apart, by the published needs; one not reached stands at the end."""
    reached = [progress.day_reached(model, heat) for model, heat in enumerate(heat_to_bloom(species))]
    return pstdev(float(SEASON_DAYS) if day is None else day for day in reached)


def site_days_of_doubt(part_days: float) -> float:
    """What it adds to how unsure a site's need is, as a standard deviation in days."""
    return min(_SITE_SHARE * part_days, _MOST_SITE_DAYS)


def season_days_of_doubt(part_days: float) -> float:
    """What it adds to how unsure a single season of a known site is, as a standard deviation in days."""
    return min(_SEASON_SHARE * part_days, _MOST_SEASON_DAYS)
