"""What sightings and usual dates teach a place about one species.

Every model of a season (see development.py) has the site's own factor on the published heat requirement, normal in
its logarithm and shrunk towards 1. Each lesson moves the factors, and moves belief towards the models that foresaw it
best, so that a place whose buds wait for chill and one whose buds wait for the days to lengthen both come right.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import erf, exp, log, sqrt
from statistics import median

from msgspec import Struct

from tendwork.almanac.requirements import SPREAD

_EVIDENCE_EXPONENT = 0.6  # one place's springs are no independent trials of a model
_SEASONS_BEHIND_SPREAD = 4.0
_LEAST_SEASON_DAYS, _MOST_SEASON_DAYS = 2.0, 9.0
_ENOUGH_TO_DOUBT_ONE, _FAR_SDS = 3, 2.0
_RANGE_SHARES = (0.1, 0.5, 0.9)


class Lesson(Struct, frozen=True):
    """One piece of evidence, for each model: the log of (heat when it was so / heat published), and its rate a day.

    `sd_days` is how unsure the evidence is; `spring` whether it is a season's own sighting.
    """

    log_ratios: tuple[float, ...]
    log_rates: tuple[float, ...]
    sd_days: float
    spring: bool


class Belief(Struct, frozen=True):
    """One model after the lessons: its weight, and the site's factor on its heat as mean and sd of the logarithm."""

    weight: float
    log_factor: float
    log_sd: float


class Learned(Struct, frozen=True):
    """What a place has learned about a species. `season_days` is the sd of a single season around the model."""

    beliefs: tuple[Belief, ...]
    season_days: float
    springs: int
    usual_dates: int

    def late_days(self, usual_log_rates: Sequence[float]) -> tuple[float, float]:
        """By how many days the site is after the published need, and how sure: mean and sd."""
        pairs = list(zip(self.beliefs, usual_log_rates, strict=True))
        mean = sum(belief.weight * belief.log_factor / rate for belief, rate in pairs)
        return mean, sqrt(sum(belief.weight * (belief.log_sd / rate) ** 2 for belief, rate in pairs))

    @property
    def best(self) -> int:
        """The model believed most."""
        return max(range(len(self.beliefs)), key=lambda model: self.beliefs[model].weight)


def learn(
    lessons: Sequence[Lesson],
    usual_log_rates: Sequence[float],
    weights: Sequence[float],
    site_days: float,
    late_days: float = 0.0,
) -> Learned:
    """Every model's posterior. `weights` are the models' before any lesson.

    By then the site is expected to be `late_days` after the published need, with `site_days` as sd;
    `usual_log_rates` turn days into each model's terms.
    """
    factors: list[tuple[float, float]] = []
    scores: list[float] = []
    for model, rate in enumerate(usual_log_rates):
        mean, precision = late_days * rate, 1 / (site_days * rate) ** 2
        fit = 0.0
        usual_spring = _middle_spring(lessons, model)
        for lesson in lessons:
            error = lesson.log_ratios[model] - mean
            own = (lesson.sd_days * lesson.log_rates[model]) ** 2
            if lesson.spring and usual_spring is not None:
                own *= _times_as_unsure(lesson.log_ratios[model] - usual_spring, own)
            foreseen = own + 1 / precision
            fit += log(lesson.log_rates[model]) - (log(foreseen) + error * error / foreseen) / 2
            mean += error / (1 + own * precision)
            precision += 1 / own
        factors.append((mean, precision**-0.5))
        scores.append(log(weights[model]) + _EVIDENCE_EXPONENT * fit)
    most = max(scores)
    weights = [exp(score - most) for score in scores]
    beliefs = tuple(
        Belief(weight / sum(weights), mean, sd) for weight, (mean, sd) in zip(weights, factors, strict=True)
    )
    springs = [lesson for lesson in lessons if lesson.spring]
    return Learned(beliefs, _season_days(beliefs, springs), len(springs), len(lessons) - len(springs))


def _middle_spring(lessons: Sequence[Lesson], model: int) -> float | None:
    """None where there are too few springs to tell which of them is the odd one out."""
    ratios = [lesson.log_ratios[model] for lesson in lessons if lesson.spring]
    return median(ratios) if len(ratios) >= _ENOUGH_TO_DOUBT_ONE else None


def _times_as_unsure(away: float, variance: float) -> float:
    """A spring that lies far from the others counts for less: a mistake, most likely, and no error is that large."""
    return max(1.0, away * away / variance / _FAR_SDS**2)


def offset(
    learned: Learned, lessons: Sequence[Lesson], usual_days: float = 0.0, sd_days: float = SPREAD.variety_days
) -> float:
    """How many days later than its species a variety is; `lessons` are the variety's own.

    Shrunk towards the days that are usual for it, by how unsure these are.
    """
    precision = 1 / sd_days**2
    weighted = precision * usual_days
    for lesson in lessons:
        weight = 1 / lesson.sd_days**2
        precision += weight
        weighted += weight * _days_late(learned.beliefs, lesson)
    return weighted / precision


def range_80(parts: Sequence[tuple[float, float, float]]) -> tuple[float, float, float]:
    """The 10 %, 50 % and 90 % points of a mixture of normal (weight, mean, sd) parts."""
    lowest = min(mean - 4 * sd for _, mean, sd in parts)
    highest = max(mean + 4 * sd for _, mean, sd in parts)
    whole = sum(weight for weight, _, _ in parts)
    points = []
    for share in _RANGE_SHARES:
        low, high = lowest, highest
        while high - low > 0.02:
            middle = (low + high) / 2
            below = sum(weight * (1 + erf((middle - mean) / (sd * sqrt(2)))) / 2 for weight, mean, sd in parts)
            low, high = (middle, high) if below < share * whole else (low, middle)
        points.append((low + high) / 2)
    return points[0], points[1], points[2]


def _season_days(beliefs: Sequence[Belief], springs: Sequence[Lesson]) -> float:
    """The published spread of a season, moved by how far the site's own springs lie from what was learned."""
    if len(springs) < 2:
        return SPREAD.season_days
    squares = sum(_days_late(beliefs, spring) ** 2 for spring in springs)
    known = _SEASONS_BEHIND_SPREAD
    variance = (known * SPREAD.season_days**2 + squares) / (known + len(springs) - 1)
    return min(max(sqrt(variance), _LEAST_SEASON_DAYS), _MOST_SEASON_DAYS)


def _days_late(beliefs: Sequence[Belief], lesson: Lesson) -> float:
    return sum(
        belief.weight * (ratio - belief.log_factor) / rate
        for belief, ratio, rate in zip(beliefs, lesson.log_ratios, lesson.log_rates, strict=True)
    )
