"""A place in time for the work that is pressing; what comes short where there is not enough time.

What has the most at stake goes first, and all of it before anything with less. Of it what ends first goes first, and
whenever there is too much the longest is dropped (J. M. Moore, An n job, one machine sequencing algorithm for
minimizing the number of late jobs, Management Science 15, 1968, with T. J. Hodgson's form of it). With barred days,
units that are not divisible and visits that set up again this is only a start, so work that stands in the way is moved
to other days first, then what came short is tried again, also in place of longer work, and last in place of shorter
work, so that what comes short takes less time.
DEVELOPERS.md has how near to the fewest that comes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from tendwork.planning.fit_board import Board, days_in
from tendwork.planning.fit_pieces import Piece
from tendwork.planning.vocabulary import GRAVE, STAKES, stake_rank

_MOVES_DEEP = 2  # what makes room may itself need room to be made
_MOST_TRIES = 10_000
_MOST_TRIES_TIMES_TASKS = 150_000  # the more work there is, the longer one try takes

_MORE_THAN_A_WEEK = 10_000  # no week has so many tasks

Pieces = tuple[Piece, ...]


def worth_of(pieces: Pieces) -> int:
    """What it is worth to have this task in time: more than all tasks with less at stake, as much as any with the same.

    So the least at stake comes short first, and of it the fewest tasks: what still has another week or another round
    before what has none, and that before what is late where a tree or a graft is at stake, which harms already.
    """
    if not pieces:
        return 0
    harms = pieces[0].stake in GRAVE and any(piece.is_late for piece in pieces)
    haste = 2 if harms else 1 if not all(piece.ahead or piece.kept_up for piece in pieces) else 0
    steps = 3 * (len(STAKES) - 1 - stake_rank(pieces[0].stake)) + haste
    return int(_MORE_THAN_A_WEEK**steps)


class Pressing:
    """A board with tasks, each the tuple of its pieces: wholly in time, or `short` (by their place in the list)."""

    def __init__(self, board: Board, tasks: Sequence[Pieces]) -> None:
        self.board = board
        self.short = set(range(len(tasks)))
        self._in_time: set[int] = set()
        self._tasks = tasks
        self._seconds = [
            sum(piece.count * piece.seconds_each for piece in pieces) + pieces[0].setup_seconds for pieces in tasks
        ]
        # what others of its visit set up for is not asked for again
        self._least = [
            seconds - (pieces[0].setup_seconds if pieces[0].shared else 0)
            for pieces, seconds in zip(tasks, self._seconds, strict=True)
        ]
        self._worth = [worth_of(pieces) for pieces in tasks]
        self._dearness = [self._dear(number) for number in range(len(tasks))]
        self._days = [_union(piece.days for piece in pieces) for pieces in tasks]
        self._tries = min(_MOST_TRIES, _MOST_TRIES_TIMES_TASKS // max(1, len(tasks)))
        self._failed: set[tuple[object, ...]] = set()  # what looks the same as what found no room on this board

    @property
    def worth(self) -> int:
        """What all that is in time is worth."""
        return sum(self._worth[number] for number in self._in_time)

    def keep(self) -> None:
        """Put the tasks that an earlier placing had wholly in time where they were."""
        for number, pieces in enumerate(self._tasks):
            mark = self.board.mark
            for piece in pieces:
                spread = self.board.kept_spread(piece, piece.days)
                if sum(units for _, units in spread) < piece.count:
                    self.board.undo(mark)
                    break
                self.board.put(piece, spread)
            else:
                self._enter(number)

    def complete(self) -> None:
        """Put what an earlier placing had of the tasks that come short, and their rests where they fit most tightly.

        Nothing where it had nothing. So whoever adds the minutes named, on the days named, finds that they do.
        """
        begun = sorted(self.short, key=lambda number: (-self._worth[number], number))
        for number in begun:
            for piece in self._tasks[number]:
                self.board.put(piece, self.board.kept_spread(piece, piece.days))
        if not self.board.placed:
            return
        for number in begun:
            if all(map(self._put_rest_tightly, self._tasks[number])):
                self._enter(number)
            else:
                for piece in self._tasks[number]:
                    self.board.take(piece, self.board.spread_of(piece))

    def place_all(self) -> None:
        """Place all that can be, what is worth the most first: what is worth less then takes no time from it."""
        for worth in sorted(set(self._worth), reverse=True):
            self._place_all_of(worth)

    def _place_all_of(self, worth: int) -> None:
        """Place what is worth so much, exchange until nothing is gained, and leave less."""
        for number in self._waiting(worth, self._ends_first):
            if not self._place(number, _MOVES_DEEP):
                self._exchange(number, 0)
        while any(
            self._place(number, _MOVES_DEEP) or self._exchange(number, _MOVES_DEEP)
            for number in reversed(self._waiting(worth, self._dearest_first))
        ):
            pass
        for number in self._waiting(worth, self._dearest_first):
            self._leave_less(number)

    def _waiting(self, worth: int, order: Callable[[int], tuple[float, ...]]) -> list[int]:
        return sorted((number for number in self.short if self._worth[number] == worth), key=order)

    def give_way(self) -> None:
        """Take up what has less at stake where a task that does not fit whole can have more of its units in time."""
        lacking_of = dict.fromkeys(self._worth, 0)  # there are few kinds of worth, and may be many tasks
        for short in self.short:
            lacking_of[self._worth[short]] += self._seconds[short]
        for number in sorted(self.short, key=lambda short: (-self._worth[short], short)):
            worth, days = self._worth[number], self._days[number]
            lacking = sum(seconds for other, seconds in lacking_of.items() if other >= worth)
            lesser = (other for other in self._in_time if self._worth[other] < worth)
            for other in sorted(lesser, key=lambda other: (self._worth[other], -self._seconds[other], other)):
                if sum(self.board.free[day] for day in days_in(days)) >= lacking:
                    break
                spreads = [(piece, self.board.spread_of(piece)) for piece in self._tasks[other]]
                if any(days >> day & 1 for _, spread in spreads for day, _ in spread):
                    for piece, spread in spreads:
                        self.board.take(piece, spread)
                    self._in_time.discard(other)
                    self.short.add(other)
                    lacking_of[self._worth[other]] += self._seconds[other]

    def place_easily(self) -> None:
        """Place what has room, or gets it by moving others once."""
        for deep in range(_MOVES_DEEP):
            for number in sorted(self.short, key=self._ends_first):
                self._place(number, deep)

    def _ends_first(self, number: int) -> tuple[int, int, int, int, int]:
        """What has the most at stake; of equals, what ends first, what has the fewest days, then the longest."""
        days = self._days[number]
        return -self._worth[number], days.bit_length(), days.bit_count(), -self._seconds[number], number

    def _dearest_first(self, number: int) -> tuple[float, bool, int]:
        """The longest for what it is worth; of equals, what is still worth doing after its time."""
        return self._dearness[number]

    def _dear(self, number: int) -> tuple[float, bool, int]:
        pieces = self._tasks[number]
        return -self._seconds[number] / self._worth[number], all(piece.late_days == 0 for piece in pieces), number

    def _enter(self, number: int) -> None:
        self.short.discard(number)
        self._in_time.add(number)
        self._failed.clear()

    def _place(self, number: int, deep: int) -> bool:
        """Place the whole task, moving others for it; if that is impossible, all is as it was."""
        look = (*((p.days, p.ladder, p.count, p.seconds_each, p.setup_seconds) for p in self._tasks[number]), deep)
        if (first := self._tasks[number][0]).shared:
            look = (*look, first.visit)
        if look in self._failed or not self._can_hold(number):
            return False
        mark = self.board.mark
        if all(self._settle(piece, piece.count, deep) for piece in self._tasks[number]):
            self._enter(number)
            return True
        self.board.undo(mark)
        self._failed.add(look)
        return False

    def _exchange(self, number: int, deep: int) -> bool:
        """Place the task instead of a longer one that is worth the same."""
        others = [
            other
            for other in self._in_time
            if self._worth[other] == self._worth[number] and self._seconds[other] > self._seconds[number]
        ]
        return any(self._place_instead(number, other, deep) for other in sorted(others, key=self._dearest_first))

    def _leave_less(self, number: int) -> bool:
        """Place the task instead of a shorter one that is worth the same, the shortest first: less work comes short."""
        others = [
            other
            for other in self._in_time
            if self._worth[other] == self._worth[number] and self._seconds[other] < self._seconds[number]
        ]
        shortest_first = sorted(others, key=self._dearest_first, reverse=True)
        return any(self._place_instead(number, other, _MOVES_DEEP - 1) for other in shortest_first)

    def _place_instead(self, number: int, other: int, deep: int) -> bool:
        """Place the task where another one was, which comes short; if that is impossible, all is as it was."""
        if self._tries < 0 or sum(self.board.free) + self._seconds_on_board(other) < self._least[number]:
            return False
        mark = self.board.mark
        for piece in self._tasks[other]:
            self.board.take(piece, self.board.spread_of(piece))
        held, self._failed = self._failed, set()
        if self._place(number, deep):
            self._in_time.discard(other)
            self.short.add(other)
            return True
        self._failed = held
        self.board.undo(mark)
        return False

    def _seconds_on_board(self, number: int) -> int:
        """The time that the task takes as it is placed, with setting up for every visit."""
        pieces = self._tasks[number]
        visited = {day for piece in pieces for day, _ in self.board.spread_of(piece)}
        return self._seconds[number] + (len(visited) - 1) * pieces[0].setup_seconds

    def _settle(self, piece: Piece, count: int, deep: int) -> bool:
        """Put so many units of a piece, emptying one of its days as far as that is needed for it."""
        self._tries -= 1
        spread = self.board.cheapest_spread(piece, count)
        if spread is not None:
            self.board.put(piece, spread)
            return True
        if not deep:
            return False
        for day in days_in(piece.days):
            may_move = self._has_another_day if deep > 1 else self._has_room_elsewhere
            movable = [held for held in self.board.on(day) if held[0] is not piece and may_move(held[0], day)]
            for first in range(len(movable)):
                if self._tries < 0:
                    return False
                mark = self.board.mark
                moved = self._make_room(piece, count, day, (*movable[first:], *movable[:first]))
                if not moved:
                    break
                moved.sort(key=lambda held: -held[1] * held[0].seconds_each)
                if all(self._settle(other, units, deep - 1) for other, units in moved):
                    return True
                self.board.undo(mark)
        return False

    def _put_rest_tightly(self, piece: Piece) -> bool:
        """Put all units that have no day yet on the one day that has the least room beside them; False for no room."""
        rest = piece.count - sum(units for _, units in self.board.spread_of(piece))
        rooms = self.board.rooms(piece, piece.days, rest)
        if rest and rest in rooms.values():
            left = self.board.left_beside
            day = min((day for day, room in rooms.items() if room == rest), key=lambda day: left(piece, rest, day))
            self.board.put(piece, ((day, rest),))
            return True
        return not rest

    def _has_another_day(self, piece: Piece, day: int) -> bool:
        return piece.days & ~(1 << day) != 0

    def _has_room_elsewhere(self, piece: Piece, day: int) -> bool:
        """Whether a unit of the piece has room on another of its days, without anything being moved for it."""
        free, each = self.board.free, piece.seconds_each
        for other in days_in(piece.days):
            if free[other] >= each and other != day and self.board.room(piece, other):
                return True
        return False

    def _make_room(
        self, piece: Piece, count: int, day: int, movable: Sequence[tuple[Piece, int]]
    ) -> list[tuple[Piece, int]]:
        """Take up others of that day one by one until the units have a place, and put these; none if that fails."""
        mark = self.board.mark
        moved: list[tuple[Piece, int]] = []
        most = self.board.free[day] + sum(
            [units * other.seconds_each + other.setup_seconds for other, units in movable]
        )
        if most < piece.seconds_each:
            return moved
        for other, units in movable:
            self.board.take(other, ((day, units),))
            moved.append((other, units))
            spread = self.board.cheapest_spread(piece, count)
            if spread is not None:
                self.board.put(piece, spread)
                return moved
        self.board.undo(mark)
        return []

    def _can_hold(self, number: int) -> bool:
        """Whether the days that it has, and those to which what is there may move, have time enough in sum."""
        before: tuple[int, ...] = ()
        days = days_in(self._days[number])
        while days != before:
            before = days
            days = days_in(_union(self.board.reach[day] for day in before) | self._days[number])
        return sum(self.board.free[day] for day in days) >= self._least[number]


def placed_in_time(empty: Callable[[], Board], tasks: Sequence[Pieces]) -> Pressing:
    """Place as much as can be wholly in time, as the earlier placing had it unless that would let less be in time."""
    kept = Pressing(empty(), tasks)
    kept.keep()
    if kept.worth:
        kept.place_easily()
    if not kept.short:
        return kept
    fresh = Pressing(empty(), tasks)
    fresh.place_all()
    best = kept if 0 < kept.worth >= fresh.worth else fresh
    if best.short:
        completed = Pressing(empty(), tasks)
        completed.keep()
        completed.complete()
        best = completed if completed.worth > best.worth else best
    best.give_way()
    return best


def _union(masks: Iterable[int]) -> int:
    days = 0
    for mask in masks:
        days |= mask
    return days
