"""A place for every piece that is pressing, or the proof that there is none: exact search, guarded by the cuts.

With minutes divisible at will, work with windows fits if what ends first goes first (W. A. Horn, Some simple scheduling
algorithms, Naval Research Logistics Quarterly 21, 1974), and with days barred by weather if no cut lacks time
(fit_cuts). Units are not divisible and every visit sets up again, so the cuts only guard the way: a placing that leaves
a cut lacking cannot be completed and is turned back at once; what they let through is tried to the end.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from msgspec import Struct

from tendwork.planning.fit_board import Board, Spread, days_in
from tendwork.planning.fit_cuts import Cuts
from tendwork.planning.fit_pieces import Piece


class Demand(Struct, frozen=True):
    """The least time that one task takes: `parts` as (days, ladder, seconds), and its setting up on any of `days`."""

    parts: tuple[tuple[int, bool, int], ...]
    days: int
    setup_seconds: int

    @property
    def seconds(self) -> int:
        return sum(part[2] for part in self.parts) + self.setup_seconds

    def ask(self, cuts: Cuts, sign: int = 1) -> None:
        """Ask the cuts for this time; -1 takes it back."""
        for days, ladder, seconds in self.parts:
            cuts.demand(days, ladder, sign * seconds)
        cuts.demand(self.days, False, sign * self.setup_seconds)

    def behind(self, cuts: Cuts, cut: int) -> int:
        """The seconds of it that have no time outside the cut."""
        parts = (*self.parts, (self.days, False, self.setup_seconds))
        return sum(seconds for days, ladder, seconds in parts if cuts.is_behind(cut, days, ladder))


class Budget:
    """How many placings may still be tried."""

    def __init__(self, steps: int) -> None:
        self.steps = steps

    def step(self) -> bool:
        """Take one step; False when there is none left."""
        self.steps -= 1
        return self.steps >= 0

    @property
    def spent(self) -> bool:
        return self.steps <= 0


def demand_of(empty: Board, pieces: Sequence[Piece]) -> Demand | None:
    """The least that the pieces of one task take of an empty week; None if even that cannot hold one of them."""
    visits, union = 1, 0
    for piece in pieces:
        least = _fewest_visits(empty, piece)
        if least is None:
            return None
        visits, union = max(visits, least), union | piece.days
    parts = tuple((piece.days, piece.ladder, piece.count * piece.seconds_each) for piece in pieces)
    return Demand(parts, union, visits * pieces[0].setup_seconds)


def spreads(board: Board, piece: Piece) -> Iterator[Spread]:
    """Every way to spread the units of a piece: as it was kept, then by fewest visits, cheapest days, fullest first."""
    kept = board.kept_spread(piece, piece.days)
    if sum(units for _, units in kept) == piece.count:
        yield kept
    rooms = {day: room for day in days_in(piece.days) if (room := board.room(piece, day)) > 0}
    cheapest = board.cheapest(piece, rooms)
    for visits in range(1, min(len(cheapest), piece.count) + 1):
        for days in combinations(cheapest, visits):
            yield from _shares(piece.count, [(day, rooms[day]) for day in days])


def place_all(
    board: Board, cuts: Cuts, tasks: Sequence[tuple[tuple[Piece, ...], Demand]], budget: Budget
) -> list[tuple[Piece, Spread]] | None:
    """Put every piece of the tasks on the board; None, and the board as it was, if that is impossible or too long.

    `cuts` have the time of the board and no demand. It was proved impossible if the budget is not spent.
    """
    search = _Search(board, cuts, tasks)
    return search.run(budget) if cuts.fits else None


class _Search:
    """Depth first, without recursion: `ways` of the pieces begun, and the `done` placings with the setting up paid."""

    def __init__(self, board: Board, cuts: Cuts, tasks: Sequence[tuple[tuple[Piece, ...], Demand]]) -> None:
        self.board = board
        self.cuts = cuts
        self.pieces = [piece for pieces, _ in tasks for piece in pieces]
        self.demands = {pieces[0].task: demand for pieces, demand in tasks}
        self.owed = {number: demand.setup_seconds for number, demand in self.demands.items()}
        self.done: list[tuple[Spread, int]] = []
        for demand in self.demands.values():
            demand.ask(cuts)

    def run(self, budget: Budget) -> list[tuple[Piece, Spread]] | None:
        dead: set[tuple[object, ...]] = set()
        ways: list[Iterator[Spread]] = []
        while len(self.done) < len(self.pieces):
            if len(ways) == len(self.done):
                ways.append(spreads(self.board, self.pieces[len(ways)]))
            if self._advance(ways[-1], dead, budget):
                continue
            dead.add(self._standing())
            ways.pop()
            if not self.done:
                return None
            self._back()
        return [(piece, spread) for piece, (spread, _) in zip(self.pieces, self.done, strict=True)]

    def _advance(self, ways: Iterator[Spread], dead: set[tuple[object, ...]], budget: Budget) -> bool:
        for spread in ways:
            if not budget.step():
                return False
            self._forth(spread)
            if self.cuts.fits and self._standing() not in dead:
                return True
            self._back()
        return False

    def _forth(self, spread: Spread) -> None:
        piece = self.pieces[len(self.done)]
        demand = self.demands[piece.task]
        new = sum(1 for day, _ in spread if not self.board.visits(piece.task, day)) * piece.setup_seconds
        paid = min(new, self.owed[piece.task])
        self.board.put(piece, spread)
        self._settle(piece, demand, spread, paid, 1)
        self.done.append((spread, paid))

    def _back(self) -> None:
        spread, paid = self.done.pop()
        piece = self.pieces[len(self.done)]
        self._settle(piece, self.demands[piece.task], spread, paid, -1)
        self.board.take(piece, spread)

    def _settle(self, piece: Piece, demand: Demand, spread: Spread, paid: int, sign: int) -> None:
        """Turn demand into use. Called while the piece is on the board, so that shared visits set up once."""
        self.owed[piece.task] -= sign * paid
        self.cuts.demand(piece.days, piece.ladder, -sign * piece.count * piece.seconds_each)
        self.cuts.demand(demand.days, False, -sign * paid)
        for day, units in spread:
            self.cuts.use(day, piece.ladder, sign * units * piece.seconds_each)
            if self.board.units[piece.task][day] == units:
                self.cuts.use(day, False, sign * piece.setup_seconds)

    def _standing(self) -> tuple[object, ...]:
        """All that the pieces still to place depend on; those of one task stand side by side."""
        number = len(self.done)
        visited = self.board.units.get(self.pieces[number].task, ()) if number < len(self.pieces) else ()
        return number, tuple(self.board.free), tuple(self.board.light), tuple(units > 0 for units in visited)


def _fewest_visits(empty: Board, piece: Piece) -> int | None:
    """On how many days of an empty week the piece must be worked at least; None if the week cannot hold it."""
    left = piece.count
    rooms = sorted((empty.room(piece, day) for day in days_in(piece.days)), reverse=True)
    for visits, room in enumerate(rooms, start=1):
        left -= room
        if left <= 0:
            return visits
    return None


def _shares(count: int, rooms: list[tuple[int, int]]) -> Iterator[Spread]:
    """Every way to share units among all of these days, at least one each and no more than the room."""
    (day, room), rest = rooms[0], rooms[1:]
    if not rest:
        if count <= room:
            yield ((day, count),)
        return
    most, least = min(room, count - len(rest)), max(1, count - sum(other for _, other in rest))
    for units in range(most, least - 1, -1):
        for others in _shares(count - units, rest):
            yield ((day, units), *others)
