"""The week as a board on which pieces of work are put and taken up again, with the time that each day has left."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations
from typing import TypeVar

from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.fit_pieces import Piece

Spread = tuple[tuple[int, int], ...]  # (day, units) for each visit
OTHER_TREE = 2  # one more tree on a day weighs as much as two days away from the best one
OTHER_KIT = 1

_Key = TypeVar("_Key")


class Board:
    """Days with seconds free, of which `light` are fit for the ladder, and who visits which day.

    `placed` are the units by day of every piece that has some. Setting up is work on the ground, once for each visit
    and day. Everything put and taken is noted, so that it can be undone back to a `mark`. `reach` has for each day the
    days of whatever was ever put there, as bits: no move from it can go anywhere else.
    """

    def __init__(self, free: Sequence[int], light: Sequence[int]) -> None:
        self.free = list(free)
        self.light = list(light)
        self.units: dict[int, list[int]] = {}
        self.placed: dict[Piece, list[int]] = {}
        self.reach = [0] * len(free)
        self._there: list[dict[Piece, int]] = [{} for _ in free]
        self._subjects: list[dict[str, int]] = [{} for _ in free]
        self._kits: list[dict[frozenset[str], int]] = [{} for _ in free]
        self._log: list[tuple[Piece, int, int]] = []

    def visits(self, visit: int, day: int) -> bool:
        """Whether the visit has units on that day, so that setting up is paid."""
        units = self.units.get(visit)
        return units is not None and units[day] > 0

    def room(self, piece: Piece, day: int) -> int:
        """How many of the piece's units the day can still take; a visit that is paid already needs no setting up."""
        units = self.units.get(piece.visit)
        seconds = self.free[day]
        if units is None or units[day] <= 0:
            seconds -= piece.setup_seconds
        if piece.ladder and self.light[day] < seconds:
            seconds = self.light[day]
        if seconds < 0:
            return 0
        if piece.seconds_each == 0:
            return piece.count
        room = seconds // piece.seconds_each
        return room if room < piece.count else piece.count

    def left_beside(self, piece: Piece, count: int, day: int) -> int:
        """The seconds that a day has left once it has so many units of the piece; on a ladder, those that are light."""
        work = count * piece.seconds_each
        left = self.free[day] - work - (0 if self.visits(piece.visit, day) else piece.setup_seconds)
        return min(left, self.light[day] - work) if piece.ladder else left

    def rooms(self, piece: Piece, mask: int, most: int) -> dict[int, int]:
        """Each day of the mask that has room, and for how many units, `most` of them at most."""
        room, free, each = self.room, self.free, piece.seconds_each
        return {
            day: min(most, units) for day in _DAYS_IN[mask] if free[day] >= each and (units := room(piece, day)) > 0
        }

    def put(self, piece: Piece, spread: Spread) -> None:
        """Put units of a piece on days; each visit must have the room."""
        for day, units in spread:
            self._change(piece, day, units)
            self._log.append((piece, day, units))

    def take(self, piece: Piece, spread: Spread) -> None:
        """Take up what was put."""
        self.put(piece, tuple((day, -units) for day, units in spread))

    @property
    def mark(self) -> int:
        """The point to which `undo` comes back."""
        return len(self._log)

    def undo(self, mark: int) -> None:
        """Undo all that was put and taken since then."""
        while len(self._log) > mark:
            piece, day, units = self._log.pop()
            self._change(piece, day, -units)

    def spread_of(self, piece: Piece) -> Spread:
        """Where the piece's units are."""
        return tuple((day, units) for day, units in enumerate(self.placed.get(piece, ())) if units)

    def on(self, day: int) -> list[tuple[Piece, int]]:
        """The pieces of that day, and how many units of them."""
        return list(self._there[day].items())

    def cost(self, piece: Piece, day: int) -> int:
        """What a visit of the piece on that day costs: days from its best one, another tree, another kit."""
        cost = abs(day - piece.best)
        if piece.subject not in self._subjects[day]:
            cost += OTHER_TREE
        return cost if piece.kit in self._kits[day] else cost + OTHER_KIT

    def cheapest(self, piece: Piece, days: Iterable[int]) -> list[int]:
        """The days, cheapest and earliest first."""
        cost = self.cost
        return [day for _, day in sorted([(cost(piece, day), day) for day in days])]

    def cheapest_spread(self, piece: Piece, count: int) -> Spread | None:
        """A place in time for so many units of it: by fewest visits, cheapest days; None if there is none."""
        rooms = self.rooms(piece, piece.days, count)
        if sum(rooms.values()) < count:
            return None
        cheapest = self.cheapest(piece, rooms)
        for day in cheapest:  # by far the most often there is one visit
            if rooms[day] >= count:
                return ((day, count),)
        shares = (
            days
            for visits in range(2, len(cheapest) + 1)
            for days in combinations(cheapest, visits)
            if sum(rooms[day] for day in days) >= count
        )
        return tuple(_fullest_first(count, [(day, rooms[day]) for day in next(shares)]))

    def kept_spread(self, piece: Piece, mask: int) -> Spread:
        """The piece's units on the days on which the earlier placing had them, as far as that still has room."""
        wanted = ((day, piece.kept.count(day)) for day in sorted(set(piece.kept)) if day >= 0 and mask >> day & 1)
        fitting = ((day, min(units, self.room(piece, day))) for day, units in wanted)
        return tuple((day, units) for day, units in fitting if units)

    def _change(self, piece: Piece, day: int, count: int) -> None:
        sign = 1 if count > 0 else -1
        of_visit = self.units.get(piece.visit)
        if of_visit is None:
            of_visit = self.units[piece.visit] = [0] * len(self.free)
        before = of_visit[day]
        after = of_visit[day] = before + count
        seconds = count * piece.seconds_each
        self.free[day] -= seconds + sign * piece.setup_seconds if before == 0 or after == 0 else seconds
        if piece.ladder:
            self.light[day] -= seconds
        own = self.placed.get(piece)
        if own is None:
            own = self.placed[piece] = [0] * len(self.free)
        was_there = own[day] > 0
        own[day] += count
        if own[day]:
            self._there[day][piece] = own[day]
            self.reach[day] |= piece.days
        else:
            del self._there[day][piece]
        if was_there != (own[day] > 0):
            _count(self._subjects[day], piece.subject, sign)
            _count(self._kits[day], piece.kit, sign)
        if not any(own):
            del self.placed[piece]


def days_in(mask: int) -> tuple[int, ...]:
    """The days of a mask, earliest first."""
    return _DAYS_IN[mask]


_DAYS_IN = tuple(tuple(day for day in range(WEEK_DAYS) if mask >> day & 1) for mask in range(1 << WEEK_DAYS))


def _fullest_first(count: int, rooms: Sequence[tuple[int, int]]) -> Iterator[tuple[int, int]]:
    """Units on each of these days, as many as can be on the first ones; none goes without."""
    for others, (day, room) in zip(reversed(range(len(rooms))), rooms, strict=True):
        units = min(room, count - others)
        count -= units
        yield day, units


def _count(counts: dict[_Key, int], key: _Key, change: int) -> None:
    held = counts.get(key, 0) + change
    if held:
        counts[key] = held
    else:
        del counts[key]
