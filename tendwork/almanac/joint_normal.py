"""Several unknown numbers, each normal beforehand, and what noisy sums of them that were seen make of all of them."""

from __future__ import annotations

from collections.abc import Mapping
from math import sqrt

Row = Mapping[int, float]
"""The factors of a sum, by the place of each unknown number in it."""


class JointNormal:
    """Exact for normal errors: the posterior by its precision matrix (Cholesky). A few hundred numbers at most."""

    def __init__(self, means: list[float], sds: list[float]) -> None:
        self._precision = [[0.0] * len(means) for _ in means]
        for place, sd in enumerate(sds):
            self._precision[place][place] = 1 / (sd * sd)
        self._weighted = [mean / (sd * sd) for mean, sd in zip(means, sds, strict=True)]
        self._factor: list[list[float]] | None = None
        self._means: list[float] = []

    def see(self, row: Row, value: float, variance: float) -> None:
        """That the sum with these factors was `value`, with this variance."""
        self._factor = None
        for place, factor in row.items():
            self._weighted[place] += factor * value / variance
            for other, other_factor in row.items():
                self._precision[place][other] += factor * other_factor / variance

    def mean_and_variance(self, row: Row) -> tuple[float, float]:
        """Of the sum with these factors, as now believed."""
        factor = self._solved()
        mean = sum(self._means[place] * value for place, value in row.items())
        lower = _forward(factor, [row.get(place, 0.0) for place in range(len(factor))])
        return mean, sum(value * value for value in lower)

    def _solved(self) -> list[list[float]]:
        if self._factor is None:
            self._factor = _cholesky(self._precision)
            self._means = _backward(self._factor, _forward(self._factor, self._weighted))
        return self._factor


def _cholesky(matrix: list[list[float]]) -> list[list[float]]:
    """The lower triangle whose product with its own transpose is the matrix."""
    lower: list[list[float]] = []
    for place, row in enumerate(matrix):
        made: list[float] = []
        for column in range(place):
            above = lower[column]
            rest = row[column] - sum(map(float.__mul__, made, above))
            made.append(rest / above[column])
        made.append(sqrt(row[place] - sum(value * value for value in made)))
        lower.append(made)
    return lower


def _forward(lower: list[list[float]], values: list[float]) -> list[float]:
    found: list[float] = []
    for row, value in zip(lower, values, strict=True):
        found.append((value - sum(map(float.__mul__, found, row))) / row[-1])
    return found


def _backward(lower: list[list[float]], values: list[float]) -> list[float]:
    rest = list(values)
    for place in range(len(lower) - 1, -1, -1):
        row = lower[place]
        rest[place] /= row[-1]
        for before in range(place):
            rest[before] -= row[before] * rest[place]
    return rest
