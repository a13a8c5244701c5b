"""If not everything fits in time: the fewest tasks that come short.

Minutes taken as divisible, work that has the same first day and no barred days comes short least often if what ends
first is added first, and the longest is dropped whenever there is too much (J. M. Moore, An n job, one machine
sequencing algorithm for minimizing the number of late jobs, Management Science 15, 1968, with T. J. Hodgson's form of
it). With barred days and visits that set up again the same rule is a good start, and the cuts say how few it could be
at the least; where the two differ, every smaller choice is tried, up to EXACT_TASKS tasks and SEARCH_STEPS placings.

The tests find weeks of eight tasks again that were filled to the last minute, and weeks of eighty with four minutes in
a hundred to spare; where the bound is reached the answer says that it is not proven.
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import combinations
from random import Random

from msgspec import Struct

from tendwork.planning.fit_board import Board, Spread
from tendwork.planning.fit_cuts import Cuts
from tendwork.planning.fit_pieces import Piece
from tendwork.planning.fit_search import Budget, Demand, demand_of, place_all, spreads

EXACT_TASKS = 24
SEARCH_STEPS = 4000
_FIRST_TRY_STEPS = 1000
_SHUFFLES = 10
_SHUFFLE_STEPS = 100
_SHUFFLE_DAYS = 3
_CUTS_ASKED = 8

Pieces = tuple[Piece, ...]
Placed = list[tuple[Piece, Spread]]


class Fewest(Struct, frozen=True):
    """The board with all tasks in time but those in `short` (places in the list of tasks).

    `proven`: fewer is impossible, and with none short every task was found its time.
    """

    board: Board
    placed: Placed
    short: frozenset[int]
    proven: bool


def fewest_short(empty: Callable[[], Board], tasks: Sequence[Pieces]) -> Fewest:
    """Place as many tasks wholly and in time as can be; each is the tuple of its pieces."""
    return _Choice(empty, tasks).best()


class _Choice:
    def __init__(self, empty: Callable[[], Board], tasks: Sequence[Pieces]) -> None:
        self._empty = empty
        self._tasks = tasks
        board = empty()
        self._cuts = Cuts(board.free, board.light)
        self._no_demand = self._cuts.held
        self._demands: dict[int, Demand] = {}
        for number, pieces in enumerate(tasks):
            demand = demand_of(board, pieces)
            if demand is not None:
                self._demands[number] = demand
        self._hopeless = frozenset(range(len(tasks))) - self._demands.keys()
        # What ends first goes first; of equals, what has the fewest days, then the longest.
        self._order = sorted(
            self._demands,
            key=lambda number: (
                self._demands[number].days.bit_length(),
                self._demands[number].days.bit_count(),
                -self._demands[number].seconds,
                number,
            ),
        )
        self._longest_first = sorted(self._demands, key=self._droppable)

    def best(self) -> Fewest:
        least = self._least()
        found = self._tried(least)
        if len(found.short) == len(self._hopeless) + least:
            return Fewest(found.board, found.placed, found.short, True)
        if len(self._order) > EXACT_TASKS:
            return found
        for size in range(least, len(found.short) - len(self._hopeless)):
            # A week that just fits is found sooner if what is hardest to place goes first.
            order = self._order if size else self._longest_first
            budget = Budget(SEARCH_STEPS)
            for short in self._worth_trying(size, budget):
                done = self._attempt(short, order, budget)
                if done is not None:
                    return Fewest(*done, short, True)
            if budget.spent:
                return found
        return Fewest(found.board, found.placed, found.short, True)

    def _tried(self, least: int) -> Fewest:
        """The best of three ways: as it was kept, the longest dropped, and one after the other as room is found."""
        ways = sorted((self._unkept(), self._longest_dropped()), key=len)
        for short in ways:
            done = self._first_found(short)
            if done is not None:
                found = Fewest(*done, short, False)
                break
        else:
            return self._one_by_one()
        if len(found.short) == len(self._hopeless) + least:
            return found
        other = self._one_by_one()
        return other if len(other.short) < len(found.short) else found

    def _first_found(self, short: frozenset[int]) -> tuple[Board, Placed] | None:
        """All but those in `short` in order; if that finds no way soon, in a few orders that are shuffled a little."""
        draw = Random(0)
        count = len(self._tasks) - len(short)
        done = self._attempt(short, self._order, Budget(_FIRST_TRY_STEPS + count))
        for _ in range(_SHUFFLES):
            if done is not None:
                break
            late = {
                number: self._demands[number].days.bit_length() + _SHUFFLE_DAYS * draw.random()
                for number in self._order
            }
            done = self._attempt(short, sorted(self._order, key=late.__getitem__), Budget(_SHUFFLE_STEPS + count))
        return done

    def _attempt(self, short: frozenset[int], order: Iterable[int], budget: Budget) -> tuple[Board, Placed] | None:
        board = self._empty()
        self._cuts.held = self._no_demand
        kept = [(self._tasks[number], self._demands[number]) for number in order if number not in short]
        placed = place_all(board, self._cuts, kept, budget)
        return None if placed is None else (board, placed)

    def _unkept(self) -> frozenset[int]:
        """The tasks that the earlier placing did not have wholly in time."""
        return self._hopeless | frozenset(
            number
            for number in self._demands
            if any(day < 0 or not piece.days >> day & 1 for piece in self._tasks[number] for day in piece.kept)
        )

    def _longest_dropped(self) -> frozenset[int]:
        cuts, demands = self._cuts, self._demands
        cuts.held = self._no_demand
        longest_first: list[tuple[int, bool, int]] = []
        short = set(self._hopeless)
        for number in self._order:
            demands[number].ask(cuts)
            insort(longest_first, self._droppable(number))
            while not cuts.fits:
                slack = cuts.slack
                worst = slack.index(min(slack))
                entry = next(entry for entry in longest_first if demands[entry[2]].behind(cuts, worst) > 0)
                longest_first.remove(entry)
                demands[entry[2]].ask(cuts, -1)
                short.add(entry[2])
        return frozenset(short)

    def _droppable(self, number: int) -> tuple[int, bool, int]:
        """Sorts the longest first; of equals, what is still worth doing after its time."""
        return -self._demands[number].seconds, all(piece.late_days == 0 for piece in self._tasks[number]), number

    def _one_by_one(self) -> Fewest:
        board = self._empty()
        placed: Placed = []
        short = set(self._hopeless)
        for number in self._order:
            own: Placed = []
            for piece in self._tasks[number]:
                spread = next(spreads(board, piece), None)
                if spread is None:
                    short.add(number)
                    for done in own:
                        board.take(*done)
                    break
                board.put(piece, spread)
                own.append((piece, spread))
            else:
                placed.extend(own)
        return Fewest(board, placed, frozenset(short), False)

    def _least(self) -> int:
        """How many tasks must come short at the least: enough of the longest behind a cut to give it back its time."""
        self._ask_all()
        slack = self._cuts.slack
        least = 0
        for cut in sorted(range(len(slack)), key=slack.__getitem__)[:_CUTS_ASKED]:
            lacking, count = -slack[cut], 0
            if lacking <= 0:
                break
            for seconds in sorted((held.behind(self._cuts, cut) for held in self._demands.values()), reverse=True):
                if lacking <= 0:
                    break
                lacking -= seconds
                count += 1
            least = max(least, count)
        return least

    def _worth_trying(self, size: int, budget: Budget) -> Iterator[frozenset[int]]:
        """The choices of so many tasks that leave no cut lacking, until the budget is spent."""
        self._ask_all()
        asked = self._cuts.held
        for dropped in combinations(self._longest_first, size):
            if not budget.step():
                return
            self._cuts.held = asked
            self._ask(dropped, -1)
            if self._cuts.fits:
                yield self._hopeless | frozenset(dropped)

    def _ask_all(self) -> None:
        self._cuts.held = self._no_demand
        self._ask(self._order, 1)

    def _ask(self, numbers: Iterable[int], sign: int) -> None:
        for number in numbers:
            self._demands[number].ask(self._cuts, sign)
