"""The week as a board on which pieces of work are put and taken up again, with the time that each day has left."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tendwork.planning.fit_pieces import Piece

Spread = tuple[tuple[int, int], ...]  # (day, units) for each visit
OTHER_TREE = 2  # one more tree on a day weighs as much as two days away from the best one
OTHER_KIT = 1


class Board:
    """Days with seconds free, of which `light` are fit for the ladder, and who visits which day.

    Setting up is work on the ground, once for each task and day.
    """

    def __init__(self, free: Sequence[int], light: Sequence[int]) -> None:
        self.free = list(free)
        self.light = list(light)
        self.units: dict[int, list[int]] = {}
        self._subjects: list[dict[str, int]] = [{} for _ in free]
        self._kits: list[dict[frozenset[str], int]] = [{} for _ in free]

    def visits(self, task: int, day: int) -> bool:
        """Whether the task has units on that day, so that setting up is paid."""
        units = self.units.get(task)
        return units is not None and units[day] > 0

    def room(self, piece: Piece, day: int) -> int:
        """How many of the piece's units the day can still take."""
        time = self.free[day] - (0 if self.visits(piece.task, day) else piece.setup_seconds)
        if piece.ladder:
            time = min(time, self.light[day])
        if time < 0:
            return 0
        return piece.count if piece.seconds_each == 0 else min(piece.count, time // piece.seconds_each)

    def put(self, piece: Piece, spread: Spread) -> None:
        """Put units of a piece on days; each visit must have the room."""
        self._change(piece, spread, 1)

    def take(self, piece: Piece, spread: Spread) -> None:
        """Take up what was put."""
        self._change(piece, spread, -1)

    def cost(self, piece: Piece, day: int) -> int:
        """What a visit of the piece on that day costs: days from its best one, another tree, another kit."""
        return (
            abs(day - piece.best)
            + (0 if piece.subject in self._subjects[day] else OTHER_TREE)
            + (0 if piece.kit in self._kits[day] else OTHER_KIT)
        )

    def cheapest(self, piece: Piece, days: Iterable[int]) -> list[int]:
        """The days, cheapest and earliest first."""
        return sorted(days, key=lambda day: (self.cost(piece, day), day))

    def kept_spread(self, piece: Piece, mask: int) -> Spread:
        """The piece's units on the days on which the earlier placing had them, as far as that still has room."""
        wanted = ((day, piece.kept.count(day)) for day in sorted(set(piece.kept)) if day >= 0 and mask >> day & 1)
        fitting = ((day, min(units, self.room(piece, day))) for day, units in wanted)
        return tuple((day, units) for day, units in fitting if units)

    def _change(self, piece: Piece, spread: Spread, sign: int) -> None:
        units = self.units.setdefault(piece.task, [0] * len(self.free))
        for day, count in spread:
            before = units[day]
            units[day] += sign * count
            if min(before, units[day]) == 0:
                self.free[day] -= sign * piece.setup_seconds
            self.free[day] -= sign * count * piece.seconds_each
            if piece.ladder:
                self.light[day] -= sign * count * piece.seconds_each
            _count(self._subjects[day], piece.subject, sign)
            _count(self._kits[day], piece.kit, sign)


def days_in(mask: int) -> list[int]:
    """The days of a mask, earliest first."""
    return [day for day in range(mask.bit_length()) if mask >> day & 1]


def _count(counts: dict, key: object, change: int) -> None:
    held = counts.get(key, 0) + change
    if held:
        counts[key] = held
    else:
        del counts[key]
