"""What sightings and usual dates teach: one factor on a species' heat requirement per site, shrunk towards the published value."""

from __future__ import annotations

from math import exp

from msgspec import Struct


class Lesson(Struct, frozen=True):
    """One piece of evidence: the log of (heat when it was seen / heat published for it) and its standard deviation."""

    log_ratio: float
    sd: float


class Factor(Struct, frozen=True):
    """The site's own factor on a heat requirement, and the standard deviation of its logarithm."""

    log_mean: float
    log_sd: float

    @property
    def value(self) -> float:
        return exp(self.log_mean)


def learn(prior_sd: float, lessons: tuple[Lesson, ...]) -> Factor:
    """The posterior of a normal prior around the published value and independent normal lessons."""
    precision = 1 / prior_sd**2
    weighted = 0.0
    for lesson in lessons:
        weight = 1 / lesson.sd**2
        precision += weight
        weighted += weight * lesson.log_ratio
    return Factor(weighted / precision, precision**-0.5)
