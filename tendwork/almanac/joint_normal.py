"""Several unknown numbers, each normal beforehand, and what noisy sums of them that were seen make of all of them."""

from __future__ import annotations

from collections.abc import Mapping
from heapq import heapify, heappop, heappush

from msgspec import Struct

Row = Mapping[int, float]
"""The factors of a sum, by the place of each unknown number in it."""


class JointNormal:
    """Exact for normal errors: the posterior by its precision matrix, of which only what is not zero is held.

    Most numbers are tied to a few others alone, so that each is solved for by those few (`_Solved`).
    """

    def __init__(self, means: list[float], sds: list[float]) -> None:
        self._precision = [{place: 1 / (sd * sd)} for place, sd in enumerate(sds)]
        self._weighted = [mean / (sd * sd) for mean, sd in zip(means, sds, strict=True)]
        self._solved: _Solved | None = None

    def see(self, row: Row, value: float, variance: float) -> None:
        """That the sum with these factors was `value`, with this variance."""
        self._solved = None
        for place, factor in row.items():
            self._weighted[place] += factor * value / variance
            ties = self._precision[place]
            for other, other_factor in row.items():
                ties[other] = ties.get(other, 0.0) + factor * other_factor / variance

    def mean_and_variance(self, row: Row) -> tuple[float, float]:
        """Of the sum with these factors, as now believed."""
        if self._solved is None:
            self._solved = _solve(self._precision, self._weighted)
        mean = sum(self._solved.means[place] * value for place, value in row.items())
        return mean, self._solved.variance(row)


class _Solved(Struct, frozen=True):
    """The matrix taken apart (LDLᵀ): `order` is when each number is solved for, `pivots` and `later` are by that turn.

    `later` are the shares by which a number counts in those whose turn comes later.
    """

    means: list[float]
    order: list[int]
    pivots: list[float]
    later: list[dict[int, float]]

    def variance(self, row: Row) -> float:
        """Of a sum: it passes from turn to turn only through the numbers that it reaches."""
        reached = {self.order[place]: value for place, value in row.items()}
        turns = list(reached)
        heapify(turns)
        found = 0.0
        while turns:
            turn = heappop(turns)
            value = reached[turn]
            found += value * value / self.pivots[turn]
            for other, share in self.later[turn].items():
                if other not in reached:
                    reached[other] = 0.0
                    heappush(turns, other)
                reached[other] -= share * value
        return found


def _solve(precision: list[dict[int, float]], weighted: list[float]) -> _Solved:
    """Solve for the numbers one after the other, those with the fewest ties first, since each ties its others."""
    places = sorted(range(len(precision)), key=lambda place: len(precision[place]))
    order = [0] * len(places)
    for turn, place in enumerate(places):
        order[place] = turn
    rest = [{order[other]: value for other, value in precision[place].items()} for place in places]
    values = [weighted[place] for place in places]
    pivots, later = [], []
    for turn, ties in enumerate(rest):
        pivot = ties[turn]
        shares = {other: value / pivot for other, value in ties.items() if other > turn}
        for other, share in shares.items():
            own = rest[other]
            for third in shares:
                own[third] = own.get(third, 0.0) - share * ties[third]
            values[other] -= share * values[turn]
        pivots.append(pivot)
        later.append(shares)
    found = [0.0] * len(places)
    for turn in range(len(places) - 1, -1, -1):
        found[turn] = values[turn] / pivots[turn] - sum(share * found[other] for other, share in later[turn].items())
    return _Solved([found[order[place]] for place in range(len(places))], order, pivots, later)
