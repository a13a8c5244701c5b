"""How early or late a stage lies before full bloom at one site, where both were seen in springs gone by."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import exp

from msgspec import Struct

from tendwork.almanac.development import Progress
from tendwork.almanac.requirements import heat_to_bloom
from tendwork.almanac.stage_days import day_of_stage, log_need_ratio

_SPRINGS_OF_DOUBT = 1.0  # a distance from bloom is about as unsure as one spring's sightings of it
_FULL_BLOOM = (1.0, 0.0)


class SeenDistance(Struct, frozen=True):
    """A stage, by its share of the need, and the days by which it was later than the furthest stage seen foretells."""

    share: float
    days: float


class StageHabits(Struct, frozen=True):
    """(share, days later than usual) of each stage seen so, lowest share first, and how many springs say it."""

    points: tuple[tuple[float, float], ...] = ()
    springs: int = 0

    def days_at(self, share: float) -> float:
        """The days by which a stage is later, between those known and full bloom; before the first known as there."""
        if not self.points:
            return 0.0
        known = (*(point for point in self.points if point[0] < 1), _FULL_BLOOM)
        if share >= 1:
            return dict(self.points).get(share, 0.0)
        if share <= known[0][0]:
            return known[0][1]
        for (low, low_days), (high, high_days) in pairwise(known):
            if share <= high:
                return low_days + (high_days - low_days) * (share - low) / (high - low)
        return 0.0


def seen_distances(
    progress: Progress, species: str, model: int, seen: Sequence[tuple[float, int]]
) -> list[SeenDistance]:
    """What one season says: `seen` is each stage's share with the day of the season on which it was seen."""
    end_share, end = max(seen)
    need = heat_to_bloom(species)[model] * exp(log_need_ratio(progress, species, model, end_share, end))
    distances = []
    for share, index in seen:
        usual = day_of_stage(progress, species, model, need, share) if share != end_share else None
        if usual is not None:
            distances.append(SeenDistance(share, index - usual))
    return distances


def habits_of(seasons: Iterable[Sequence[SeenDistance]]) -> StageHabits:
    """The mean of each stage, drawn to none the more, the fewer springs there are."""
    by_share: dict[float, list[float]] = {}
    springs = 0
    for distances in seasons:
        springs += bool(distances)
        for distance in distances:
            by_share.setdefault(distance.share, []).append(distance.days)
    points = ((share, sum(days) / (len(days) + _SPRINGS_OF_DOUBT)) for share, days in sorted(by_share.items()))
    return StageHabits(tuple(points), springs)
