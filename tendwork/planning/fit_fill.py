"""The time that pressing work leaves: a share for the rest of the work, and like work gathered on one day.

Nothing here can make pressing work late: only free time is used, and a piece moves only among the days it is in time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tendwork.planning.fit_board import Board, days_in
from tendwork.planning.fit_pieces import Piece


class Filling:
    """A board being filled. A whole piece on one day may still move there, unless an earlier placing had it there."""

    def __init__(self, board: Board) -> None:
        self.board = board

    def left_of(self, piece: Piece) -> int:
        """How many units of the piece have no day yet."""
        return piece.count - sum(self.board.placed.get(piece, ()))

    def left_in_time(self, piece: Piece) -> int:
        """How many units of the piece have no day on which they are in time."""
        return piece.count - sum(units for day, units in self.board.spread_of(piece) if piece.days >> day & 1)

    def days_of_units(self, piece: Piece) -> Iterator[tuple[str, int]]:
        """The units that have a day, with it: one that was kept stays where it was, the others go in their order."""
        open_days = dict(self.board.spread_of(piece))
        others = []
        for unit, day in zip(piece.units, piece.kept, strict=True):
            if open_days.get(day):
                open_days[day] -= 1
                yield unit, day
            else:
                others.append(unit)
        yield from zip(others, (day for day in sorted(open_days) for _ in range(open_days[day])), strict=False)

    def keep(self, piece: Piece) -> None:
        """Put back what an earlier placing had of the piece. To be called before any `place`."""
        self.board.put(piece, self.board.kept_spread(piece, piece.days | piece.late_days))

    def place(self, piece: Piece) -> int:
        """Put as much of the piece as there is room for, in time first. Returns how many units."""
        if piece.seconds_each > max(self.board.free):
            return 0
        wanted = left = self.left_of(piece)
        for mask in (piece.days, piece.late_days):
            if mask and left:
                left -= self._place_on(piece, mask, left)
        return wanted - left

    def place_all(self, pieces: Iterable[Piece]) -> None:
        """Place in this order until nothing more finds room: one piece may set up for another of its task."""
        waiting = [piece for piece in pieces if self.left_of(piece)]
        for piece in waiting:
            self.place(piece)
        begun = [piece for piece in waiting if self.left_of(piece) and any(self.board.units.get(piece.visit, ()))]
        while sum(self.place(piece) for piece in begun):
            pass

    def gather(self) -> None:
        """Move whole pieces while that lowers the sum of what all visits cost."""
        movable = [piece for piece in self.board.placed if self._is_movable(piece)]
        while sum(self._moved(piece) for piece in movable):
            pass

    def _is_movable(self, piece: Piece) -> bool:
        (day, units), *others = self.board.spread_of(piece)
        return not others and units == piece.count and piece.days >> day & 1 == 1 and day not in piece.kept

    def _moved(self, piece: Piece) -> bool:
        board, ((day, _),) = self.board, self.board.spread_of(piece)
        board.take(piece, ((day, piece.count),))
        roomy = (other for other in days_in(piece.days) if board.room(piece, other) == piece.count)
        cheapest = board.cheapest(piece, roomy)[0]
        moves = board.cost(piece, cheapest) < board.cost(piece, day)
        to = cheapest if moves else day
        board.put(piece, ((to, piece.count),))
        return moves

    def _place_on(self, piece: Piece, mask: int, left: int) -> int:
        """Put up to `left` units on one day that has room for all, or else on the cheapest days. Returns how many."""
        rooms = self.board.rooms(piece, mask, left)
        if not rooms:
            return 0
        whole = self.board.cheapest(piece, (day for day, room in rooms.items() if room == left))[:1]
        spread = []
        waiting = left
        for day in whole or self.board.cheapest(piece, rooms):
            units = min(waiting, rooms[day])
            waiting -= units
            if units:
                spread.append((day, units))
        self.board.put(piece, tuple(spread))
        return left - waiting
