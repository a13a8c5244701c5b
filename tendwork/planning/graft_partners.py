"""The fewest varieties that lack a partner in bloom, among all choices that make the best season.

For no lacking one, then for one, and so on, it is tried whether a choice can be: by branching on a bare week, on the
partners of what is chosen or waits, or on leaving these without. Once as many lack one as may, all others must have
theirs, and the bound is the least number of choices that cover the season and have a partner for each
(`season_cover.fewest_to_cover`).
"""

from __future__ import annotations

from collections.abc import Sequence

from tendwork.planning.graft_board import Board
from tendwork.planning.season_cover import fewest_to_cover

_AT_ONCE = 3
"""So many needs of a partner are looked at together in the bound: each doubles the work."""
Needs = Sequence[frozenset[int]]


def fewest_lacking(board: Board, season: tuple[int, int]) -> tuple[int, frozenset[int]]:
    """How few can lack a partner in such a season, which must be one that can be, and choices by which it is so."""
    lacking = 0
    while True:
        found = _PartnerSearch(board, season, lacking).found()
        if found is not None:
            return lacking, found
        lacking += 1


class _PartnerSearch:
    def __init__(self, board: Board, season: tuple[int, int], lacking: int) -> None:
        self._board, self._season, self._lacking = board, season, lacking

    def found(self) -> frozenset[int] | None:
        """Choices of which no more lack a partner; None where there are none."""
        board = self._board
        return self._search(board.pinned, board.can - board.pinned, frozenset())

    def _search(self, chosen: frozenset[int], free: frozenset[int], without: frozenset[int]) -> frozenset[int] | None:
        """`without` are those, by their number, that go without a partner (what waits: -1, -2 ...)."""
        board = self._board
        bare = board.bare(chosen)
        while True:
            fitting = board.with_room(bare, free, board.most - len(chosen), self._season[0])
            if fitting is None:
                return None
            lost = 0
            needs: list[tuple[int, frozenset[int]]] = []
            for one, partners in self._needs(chosen):
                held = partners & fitting
                if one in without or not held:
                    lost += 1
                else:
                    needs.append((one, held))
            if lost > self._lacking:
                return None
            must = lost == self._lacking
            kept = board.with_partners(chosen, fitting) if must else fitting
            if kept == free:
                break
            free = kept
        meets = board.meets(chosen, self._season)
        if meets and lost + len(needs) <= self._lacking:
            return chosen
        needs.sort(key=lambda need: (len(need[1]), need[0]))
        asked = [held for _, held in needs[:_AT_ONCE]]
        if self._fewest(bare, free, asked, self._lacking - lost) > board.most - len(chosen):
            return None
        return self._branched(chosen, free, without, bare, needs, must, meets)

    def _branched(
        self,
        chosen: frozenset[int],
        free: frozenset[int],
        without: frozenset[int],
        bare: tuple[int, ...],
        needs: Sequence[tuple[int, frozenset[int]]],
        must: bool,
        meets: bool,
    ) -> frozenset[int] | None:
        board = self._board
        covering = {} if meets else board.covering(bare, free)
        week = min(covering, key=lambda week: (len(covering[week]), week), default=None)
        if week is None and not meets:
            return None
        may_stay = int(self._season[0] > 0)
        by_need = bool(needs) and (week is None or (must and len(needs[0][1]) <= len(covering[week]) + may_stay))
        held = needs[0][1] if by_need else frozenset(covering[week]) if week is not None else frozenset()
        open_weeks = frozenset(bare)
        order = sorted(held, key=lambda one: (-self._use(one, chosen, open_weeks, needs), one))
        for choice in order:
            free -= {choice}
            if board.fits(chosen | {choice}):
                found = self._search(chosen | {choice}, free, without)
                if found is not None:
                    return found
        if not by_need:
            return self._search(chosen, free, without) if may_stay else None
        return None if must else self._search(chosen, free, without | {needs[0][0]})

    def _use(
        self, choice: int, chosen: frozenset[int], bare: frozenset[int], needs: Sequence[tuple[int, frozenset[int]]]
    ) -> int:
        own = self._board.task.choices[choice]
        helped = sum(choice in held for _, held in needs)
        return self._board.gain(choice, bare) + 2 * helped - 2 * int(own.needs and not own.partners & chosen)

    def _needs(self, chosen: frozenset[int]) -> list[tuple[int, frozenset[int]]]:
        """What lacks a partner as it is: by its number, and who would be one."""
        choices = self._board.task.choices
        needs = [
            (choice, choices[choice].partners)
            for choice in sorted(chosen)
            if choices[choice].needs and not choices[choice].partners & chosen
        ]
        waiting = enumerate(self._board.task.waiting)
        return needs + [(-1 - number, held) for number, held in waiting if not held & chosen]

    def _fewest(self, bare: tuple[int, ...], free: frozenset[int], asked: Needs, may_lack: int) -> int:
        """The least number of choices that cover the season, and in which all asked for but so many have a partner."""
        task = self._board.task
        filled = frozenset(range(task.weeks)).difference(bare)
        held = [
            (task.choices[choice].span, sum(1 << bit for bit, need in enumerate(asked) if choice in need))
            for choice in free
        ]
        return fewest_to_cover(task.weeks, filled, held, self._season[0], len(asked), may_lack)
