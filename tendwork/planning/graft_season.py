"""The fewest and shortest bare weeks that grafts can leave, whatever else they come to.

By branch and bound: of the bare week that the fewest varieties cover one of them is chosen, or it stays bare. The bound
is that of `season_cover.least_bare`, for all that is free and for each part of the orchard by itself.
"""

from __future__ import annotations

from functools import cached_property

from tendwork.planning.graft_board import Board
from tendwork.planning.season_cover import least_bare, longest_run, weeks_of


def best_season(board: Board) -> tuple[int, int]:
    """How many weeks the best choice leaves bare, and how long the longest run of them is."""
    return _SeasonSearch(board).best()


class _SeasonSearch:
    def __init__(self, board: Board) -> None:
        self._board, self._task = board, board.task
        self._season = (0, 0)

    def best(self) -> tuple[int, int]:
        board = self._board
        self._season = self._dived()
        self._branch(board.pinned, board.can - board.pinned)
        return self._season

    def _dived(self) -> tuple[int, int]:
        """A good season to begin with: always the variety that covers most of what is bare."""
        board = self._board
        chosen = board.pinned
        left = sorted(choice for choice in board.can - chosen if self._task.choices[choice].span is not None)
        while True:
            bare = set(board.bare(chosen))
            gains = [(-board.gain(choice, bare), choice) for choice in left]
            fitting = next((choice for gain, choice in sorted(gains) if gain and board.fits(chosen | {choice})), None)
            if fitting is None:
                return len(bare), longest_run(sorted(bare))
            chosen |= {fitting}
            left.remove(fitting)

    def _branch(self, chosen: frozenset[int], free: frozenset[int]) -> None:
        board = self._board
        bare = board.bare(chosen)
        self._season = min(self._season, (len(bare), longest_run(bare)))
        if not self._may_be_better(chosen, free, bare):
            return
        covering = board.covering(bare, free)
        week = min(covering, key=lambda week: (len(covering[week]), week), default=None)
        if week is None:
            return
        open_weeks = frozenset(bare)
        tried: list[int] = []
        left = free
        for choice in sorted(covering[week], key=lambda choice: (-board.gain(choice, open_weeks), choice)):
            left -= {choice}
            if any(self._is_no_better(choice, other, open_weeks) for other in tried):
                continue
            if board.fits(chosen | {choice}):
                tried.append(choice)
                self._branch(chosen | {choice}, left)
        self._branch(chosen, free - frozenset(covering[week]))

    def _may_be_better(self, chosen: frozenset[int], free: frozenset[int], bare: tuple[int, ...]) -> bool:
        """Whether anything that can still be chosen might make a better season than the best one known."""
        fewest, longest = self._season
        task, left = self._task, self._board.most - len(chosen)
        filled = frozenset(range(task.weeks)).difference(bare)
        spans = [task.choices[choice].span for choice in free]
        least = least_bare(task.weeks, filled, spans, left, task.weeks)
        gained = 0
        for part, room in enumerate(self._part_room):
            own = [task.choices[choice].span for choice in free if self._part_of[choice] == part]
            there = sum(self._part_of[choice] == part for choice in chosen)
            gained += len(bare) - least_bare(task.weeks, filled, own, min(left, room - there), task.weeks)
        least = max(least, len(bare) - gained)
        if least != fewest:
            return least < fewest
        return longest > 0 and least_bare(task.weeks, filled, spans, left, longest - 1) <= fewest

    @cached_property
    def _part_of(self) -> tuple[int, ...]:
        """For each choice its part's number: choices that share a tree, at any remove, are one part."""
        trees = [
            frozenset(self._task.trees[place] for place, misfit in enumerate(row) if misfit is not None)
            for row in self._board.misfits
        ]
        parts: list[set[int]] = []
        for own in trees:
            joined = [part for part in parts if part & own]
            parts = [part for part in parts if not part & own]
            if own:
                parts.append(set().union(own, *joined))
        return tuple(next((number for number, part in enumerate(parts) if part & own), -1) for own in trees)

    @cached_property
    def _part_room(self) -> tuple[int, ...]:
        """How many grafts each part takes."""
        parts = max(self._part_of, default=-1) + 1
        rooms = [0] * parts
        for part in range(parts):
            own = [choice for choice, of in enumerate(self._part_of) if of == part]
            rows = [self._board.misfits[choice] for choice in own]
            places = {place for row in rows for place, misfit in enumerate(row) if misfit is not None}
            for tree, room in enumerate(self._task.room):
                rooms[part] += min(room, sum(self._task.trees[place] == tree for place in places))
        return tuple(rooms)

    def _is_no_better(self, choice: int, other: int, bare: frozenset[int]) -> bool:
        """Whether the season gains nothing by this choice that it would not by the other, wherever it stands."""
        mine = bare.intersection(weeks_of(self._task.choices[choice].span))
        its = bare.intersection(weeks_of(self._task.choices[other].span))
        if not mine <= its:
            return False
        rows = zip(self._board.rows[choice], self._board.rows[other], strict=True)
        return all(own is None or cost is not None for own, cost in rows)
