"""Which weeks of a season some varieties can cover, each ripe for weeks on end: bounds by dynamic programming.

Weeks are numbered from 0; a span is the first and the last week of a variety, both in it. Where only the number of
varieties is limited, taking of all that are ripe in a week the one that is ripe longest is best, since nothing else
tells them apart; where each has its price, the cheapest cover is a shortest path through the weeks.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from functools import cache, cached_property

Span = tuple[int, int]
NEVER = 1 << 90


def weeks_of(span: Span | None) -> range:
    """The weeks of a span; none where it is not known."""
    return range(0) if span is None else range(span[0], span[1] + 1)


def bare_weeks(weeks: int, covered: Collection[int], spans: Iterable[Span | None]) -> tuple[int, ...]:
    """The weeks that neither what is there nor one of these spans covers."""
    filled = {*covered, *(week for span in spans for week in weeks_of(span))}
    return tuple(week for week in range(weeks) if week not in filled)


def longest_run(bare: Iterable[int]) -> int:
    """How many weeks the longest run of bare weeks has."""
    longest = run = 0
    before = -2
    for week in bare:
        run = run + 1 if week == before + 1 else 1
        before = week
        longest = max(longest, run)
    return longest


def least_bare(weeks: int, covered: Collection[int], spans: Iterable[Span | None], most: int, longest: int) -> int:
    """The fewest bare weeks that at most `most` of these spans leave with no run over `longest`; NEVER if none do."""
    reach = [-1] * weeks
    for span in spans:
        for week in weeks_of(span):
            if week < weeks:
                reach[week] = max(reach[week], min(span[1] if span else -1, weeks - 1))
    filled = frozenset(covered)

    @cache
    def least(week: int, run: int, left: int) -> int:
        if week >= weeks:
            return 0
        if week in filled:
            return least(week + 1, 0, left)
        found = NEVER if run >= longest else 1 + least(week + 1, run + 1, left)
        if left and reach[week] >= 0:
            found = min(found, least(reach[week] + 1, 0, left - 1))
        return min(found, NEVER)

    return least(0, 0, most)


def fewest_to_cover(
    weeks: int, covered: Collection[int], held: Iterable[tuple[Span | None, int]], bare: int, needs: int, unserved: int
) -> int:
    """The fewest that leave at most `bare` weeks bare and so many needs `unserved`; NEVER where none do.

    `held` are spans, each with the needs that it serves, as bits. How long runs of bare weeks are is not looked at. Of
    those that serve the same the one that is ripe longest is best.
    """
    sets = 1 << needs
    reach: list[dict[int, int]] = [{} for _ in range(weeks)]
    serving: set[int] = set()
    for span, served in held:
        if served:
            serving.add(served)
        for week in weeks_of(span):
            if week < weeks and span is not None:
                reach[week][served] = max(reach[week].get(served, -1), min(span[1], weeks - 1))
    besides = _fewest_to_serve(serving, needs, unserved)
    # table[week][left][served]: the fewest from this week on, where so many may be bare and these are served already
    last = [besides] * (bare + 1)
    table = [last] * (weeks + 1)
    filled = frozenset(covered)
    for week in range(weeks - 1, -1, -1):
        after = table[week + 1]
        if week in filled:
            table[week] = after
            continue
        rows = []
        onward = [(served, table[edge + 1]) for served, edge in reach[week].items()]
        for left in range(bare + 1):
            row = list(after[left - 1]) if left else [NEVER] * sets
            for served, beyond in onward:
                then = beyond[left]
                for before in range(sets):
                    count = 1 + then[before | served]
                    if count < row[before]:
                        row[before] = count
            rows.append(row)
        table[week] = rows
    return table[0][bare][0]


def _fewest_to_serve(serving: Iterable[int], needs: int, unserved: int) -> list[int]:
    """For every set of needs that are served, as bits, the fewest that serve all others but so many."""
    fewest = [0] * (1 << needs)
    for served in range((1 << needs) - 1, -1, -1):
        if needs - served.bit_count() > unserved:
            fewest[served] = min((1 + fewest[served | one] for one in serving if served | one != served), default=NEVER)
    return fewest


class Covers:
    """The cheapest covers of a season by some spans, each at its price (0 or more), leaving at most `bare` weeks bare.

    How long the runs of bare weeks are is not looked at. `least` is the price of the cheapest, NEVER where there is
    none.
    """

    def __init__(
        self,
        weeks: int,
        covered: Collection[int],
        spans: Sequence[Span | None],
        prices: Sequence[int],
        bare: int,
    ) -> None:
        self._weeks, self._spans, self._prices, self._bare = weeks, spans, prices, bare
        self._filled = frozenset(covered)
        self._ends: list[dict[int, int]] = [{} for _ in range(weeks)]
        self._starts: list[dict[int, int]] = [{} for _ in range(weeks)]
        for number, span in enumerate(spans):
            if span is None or prices[number] >= NEVER:
                continue
            for week in weeks_of(span):
                if week < weeks:
                    for held, edge in ((self._ends[week], min(span[1], weeks - 1)), (self._starts[week], span[0])):
                        if edge not in held or prices[number] < prices[held[edge]]:
                            held[edge] = number
        self._from = self._table(range(weeks - 1, -1, -1), self._ends, 1)
        self.least = self._from[0][bare]

    @cached_property
    def _until(self) -> list[list[int]]:
        return self._table(range(self._weeks), self._starts, -1)

    def _table(self, order: range, edges: Sequence[dict[int, int]], step: int) -> list[list[int]]:
        """The least price for all weeks from one on (`step` 1), or up to it (-1), with so many left bare at most.

        The table has a column more at its end, of price 0, which -1 finds too.
        """
        table = [[0] * (self._bare + 1) for _ in range(self._weeks + 1)]
        for week in order:
            after = table[week + step]
            if week in self._filled:
                table[week] = after
                continue
            row = [NEVER, *after[: self._bare]]
            for edge, number in edges[week].items():
                beyond, price = table[edge + step], self._prices[number]
                for left in range(self._bare + 1):
                    if price + beyond[left] < row[left]:
                        row[left] = price + beyond[left]
            table[week] = row
        return table

    def least_with(self, number: int) -> int:
        """The price of the cheapest cover in which this span is, whether the season needs it or not.

        Either another span reaches past both its ends, and the season is covered without it, or none does, and those
        before and those after it have nothing in common.
        """
        span, price = self._spans[number], self._prices[number]
        if span is None or span[0] >= self._weeks:
            return price + self.least
        before = self._until[span[0] - 1]
        after = self._from[min(span[1] + 1, self._weeks)]
        return price + min(self.least, *(before[left] + after[self._bare - left] for left in range(self._bare + 1)))

    def cheapest(self) -> tuple[int, ...]:
        """The spans of a cheapest cover, by number; none where there is no cover."""
        taken: list[int] = []
        if self.least >= NEVER:
            return ()
        week, left = 0, self._bare
        while week < self._weeks:
            here = self._from[week][left]
            if week in self._filled:
                week += 1
            elif left and here == self._from[week + 1][left - 1]:
                week, left = week + 1, left - 1
            else:
                edge, number = next(
                    (edge, number)
                    for edge, number in self._ends[week].items()
                    if here == self._prices[number] + self._from[edge + 1][left]
                )
                taken.append(number)
                week = edge + 1
        return tuple(taken)
