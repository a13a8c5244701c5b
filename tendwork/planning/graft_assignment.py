"""Which variety into which place, exactly: the aims one after the other, each only among what is best in those before.

The aims are those of `Worth`, in three stages. The fewest and shortest bare weeks (`graft_season.py`) and the fewest
that lack a partner in bloom (`graft_partners.py`) hang on all that are chosen together, and are found first, each by a
search of its own. What is left hangs on one variety and its place alone, and would be a min-cost flow
(`graft_flow.py`), were it not that the season and the partners must be kept. So it is found by branch and bound (Land
and Doig, 1960), exact as every branch is followed or shown to be no better, by the bound of `graft_bound.py`.

Where the flow's own choices leave a week bare it branches on that week, where one of them lacks a partner on that
partner. (The literature is named from memory.)
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from msgspec import Struct

from tendwork.planning.graft_board import Board, one_or_none
from tendwork.planning.graft_bound import AIMS, UNIT, Branch, Prices, Relaxation
from tendwork.planning.graft_flow import FAR, Row, cheapest_flow
from tendwork.planning.graft_partners import fewest_lacking
from tendwork.planning.graft_question import Choosing, NoRoom, Worth, worth_of
from tendwork.planning.graft_season import best_season
from tendwork.planning.season_cover import weeks_of

_WOOD, _PLACED, _COPY, _MISFIT, _FORCED = (1 << bits for bits in (10, 22, 32, 42, 54))
"""What one more of each is worth: each more than all below it together, for at most MOST_PLACED grafts."""
_FIRST_STEPS, _STEPS = 80, 4
"""How many better bounds are looked for in the first branch, and in each of the others."""


class Assignment(Struct, frozen=True):
    """(choice, place) in the order of the choices, and what that comes to."""

    pairs: tuple[tuple[int, int], ...]
    worth: Worth


class _Node(Struct, frozen=True):
    """A branch of the search: what is chosen, what may be chosen still, and the prices of the branch before it."""

    chosen: frozenset[int]
    free: frozenset[int]
    prices: Prices | None


def best_assignment(task: Choosing) -> Assignment:
    """The best assignment; of several that come to the same always the same one. Raises NoRoom for its pins."""
    board = Board(task)
    if len(board.pinned) < len(task.pins) or not board.fits(board.pinned):
        raise NoRoom
    season = best_season(board)
    lacking, chosen = fewest_lacking(board, season)
    return _Search(board, season, lacking).best(chosen)


def _packed(worth: Worth) -> int:
    """The aims after season and partners as one number in the same order."""
    return worth.misfit * _MISFIT + worth.copies * _COPY + worth.placed * _PLACED + worth.wood * _WOOD + worth.liked


class _Search:
    def __init__(self, board: Board, season: tuple[int, int], lacking: int) -> None:
        self._board, self._season, self._lacking = board, season, lacking
        self._costs = []
        for choice, row in zip(board.task.choices, board.rows, strict=True):
            own = choice.wood * _WOOD - _PLACED - choice.copies * _COPY
            self._costs.append(tuple(None if one is None else own + one[0] * _MISFIT - one[1] for one in row))
        self._relaxation = Relaxation(board, season[0])
        self._aim = 0
        self._best: Assignment | None = None
        self._bound = FAR

    def best(self, known: frozenset[int]) -> Assignment:
        """`known` are choices that make the season and the partners."""
        board = self._board
        first = self._flow(known, frozenset())
        assert first is not None
        self._take(first)
        for self._aim in range(AIMS):
            nodes = [_Node(board.pinned, board.can - board.pinned, None)]
            while nodes:
                nodes.extend(reversed(self._branches(nodes.pop())))
        assert self._best is not None
        return self._best

    def _branches(self, node: _Node) -> tuple[_Node, ...]:
        """Take the best of a branch where it is plain, else the branches among which something better may be."""
        board = self._board
        branch = self._allowed(node.chosen, node.free)
        if branch is None:
            return ()
        chosen, free = branch.chosen, branch.free
        pairs = self._flow(chosen, free)
        if pairs is None:
            return ()
        picked = {choice for choice, _ in pairs}
        lacking = board.lacking_a_partner(picked)
        if self._is_possible(picked):
            self._take(pairs)
            return ()
        start, steps = node.prices, _STEPS
        if start is None:
            start, steps = self._relaxation.start(branch, self._aim), _FIRST_STEPS
        bound = self._relaxation.best(branch, self._aim, start, self._known, self._wanted, steps)
        if bound.least >= self._wanted:
            return ()
        self._dive(chosen | bound.cover, free)
        kept = bound.worth_trying(self._wanted)
        if len(kept) * 10 < len(free) * 9:
            return (_Node(chosen, kept, bound.prices),)
        branches = self._branched(chosen, kept, picked, lacking)
        return tuple(_Node(*branch, bound.prices) for branch in branches)

    @property
    def _known(self) -> tuple[int, ...]:
        assert self._best is not None
        worth = self._best.worth
        return worth.misfit, worth.copies, worth.placed, worth.wood, worth.liked

    @property
    def _wanted(self) -> int:
        """A bound that rules out that the aim is better than the best that is known."""
        return (self._known[self._aim] - 1) * UNIT + 1

    def _allowed(self, chosen: frozenset[int], free: frozenset[int]) -> Branch | None:
        """What of this can be chosen still; None where nothing keeps season and partners."""
        board = self._board
        bare = board.bare(chosen)
        while True:
            fitting = board.with_room(bare, free, board.most - len(chosen), self._season[0])
            if fitting is None:
                return None
            branch = self._relaxation.branch(chosen, fitting, bare, self._lacking)
            if branch is None:
                return None
            kept = fitting if branch.may_lack else board.with_partners(chosen, fitting)
            if kept == free:
                return branch
            free = kept

    def _is_possible(self, picked: Collection[int]) -> bool:
        """Whether these keep season and partners."""
        board = self._board
        return board.meets(picked, self._season) and len(board.lacking_a_partner(picked)) <= self._lacking

    # Branches

    def _branched(
        self,
        chosen: frozenset[int],
        free: frozenset[int],
        picked: Collection[int],
        lacking: Sequence[tuple[frozenset[int], int | None]],
    ) -> tuple[tuple[frozenset[int], frozenset[int]], ...]:
        """By what the fewest can mend: a week bare with the choices of the flow, or a need of what is chosen."""
        board = self._board
        weeks = [] if board.meets(picked, self._season) else list(board.covering(board.bare(picked), free).values())
        ways = [frozenset(held) for held in weeks]
        ways += [partners & free for partners, choice in lacking if choice is None or choice in chosen]
        fewest = min((held for held in ways if held), key=lambda held: (len(held), sorted(held)), default=None)
        if fewest is None:
            return self._by_partner(chosen, free, lacking) if not weeks and board.meets(picked, self._season) else ()
        open_weeks = frozenset(board.bare(chosen))
        return one_or_none(chosen, free, sorted(fewest, key=lambda choice: (-board.gain(choice, open_weeks), choice)))

    def _by_partner(
        self, chosen: frozenset[int], free: frozenset[int], lacking: Sequence[tuple[frozenset[int], int | None]]
    ) -> tuple[tuple[frozenset[int], frozenset[int]], ...]:
        """Of what lacks a partner that it could have: it is not chosen, or one of its partners is, or none."""
        partners, choice = next(((held, one) for held, one in lacking if held & free), (frozenset[int](), None))
        if partners:
            if choice is None or choice in chosen:
                return one_or_none(chosen, free, sorted(partners & free))
            left = free - {choice}
            return (chosen, left), *one_or_none(chosen | {choice}, left, sorted((partners & free) - {choice}))
        # None can have one: some of them are not chosen.
        return one_or_none(chosen, free, [one for _, one in lacking if one in free])

    def _dive(self, chosen: frozenset[int], free: frozenset[int]) -> None:
        """Take the cheapest cover with a partner for each, and what needs none besides, for a good bound early."""
        board, choices = self._board, self._board.task.choices
        while len(chosen) < board.most:
            asked = [held & free - chosen for held, _ in board.lacking_a_partner(chosen)]
            partners = frozenset[int]().union(*asked)
            if not partners:
                break
            chosen |= {min(partners, key=lambda one: (-sum(one in held for held in asked), choices[one].wood, one))}
        served = frozenset(one for one in free - chosen if not choices[one].needs or choices[one].partners & chosen)
        pairs = self._flow(chosen, served)
        if pairs is not None and self._is_possible({choice for choice, _ in pairs}):
            self._take(pairs)

    def _take(self, pairs: tuple[tuple[int, int], ...]) -> None:
        worth = worth_of(self._board.task, pairs)
        if _packed(worth) < self._bound:
            self._best, self._bound = Assignment(pairs, worth), _packed(worth)

    # The flow

    def _flow(self, chosen: frozenset[int], free: frozenset[int]) -> tuple[tuple[int, int], ...] | None:
        """The best pairs without regard to season and partners; None where not all that is chosen finds a place."""
        board = self._board
        alike: dict[tuple[int | None, ...], list[int]] = {}
        for choice in sorted(chosen | free):
            more = _FORCED if choice in chosen else 0
            costs = tuple(None if cost is None else cost - more for cost in self._costs[choice])
            alike.setdefault(costs, []).append(choice)
        rows = [Row(len(held), costs) for costs, held in alike.items()]
        flow = cheapest_flow(rows, board.kinds, board.task.room, board.most)
        pairs = self._pairs(flow.units, list(alike.values()))
        return pairs if chosen <= {choice for choice, _ in pairs} else None

    def _pairs(
        self, units: Mapping[tuple[int, int], int], alike: Sequence[Sequence[int]]
    ) -> tuple[tuple[int, int], ...]:
        """The flow as pairs: of choices that cost the same those that cover bare weeks first, then as they come."""
        board = self._board
        bare = set(board.bare(()))
        left = [sorted(held) for held in alike]
        places = [list(held) for held in board.kind_places]
        pairs = []
        for row, kind in sorted(units, key=lambda pair: (len(alike[pair[0]]), pair)):
            for _ in range(units[row, kind]):
                choice = max(left[row], key=lambda one: (board.gain(one, bare), -one))
                left[row].remove(choice)
                bare.difference_update(weeks_of(board.task.choices[choice].span))
                pairs.append((choice, places[kind].pop(0)))
        return tuple(sorted(pairs))
