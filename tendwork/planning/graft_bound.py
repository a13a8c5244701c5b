"""A lower bound on what a choice comes to, once season and partners are settled: Lagrangean relaxation.

Whatever ties choices together has a price, and any prices of 0 or more give a bound (Held and Karp, 1970; Fisher, 1981:
from memory): how many grafts there may be, the room of each tree, the places of each kind, and the need of a partner,
which makes what needs one dearer by as much as all its partners are cheaper. At these prices a choice is worth placing
or not by itself, and the cheapest cover of the season (`season_cover.Covers`) is paid on top for what is not. Better
prices are found by going where too much is taken (subgradients, with the step of Polyak, 1969).
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from tendwork.planning.graft_board import Board
from tendwork.planning.graft_flow import Row, cheapest_flow
from tendwork.planning.graft_question import MOST_MISFIT
from tendwork.planning.season_cover import NEVER, Covers

AIMS = 5
"""Those of `Worth` that hang on a choice and its place alone: misfit, copies, placed, wood and liked."""
UNIT = 1 << 20
"""What one of an aim costs: prices are parts of it."""
_RATIO = 8
"""At first an aim is so many times as dear as the next."""
_PATIENCE = 5
"""After so many steps without a better bound the steps are halved."""


class Prices(Struct, frozen=True):
    """Prices of one place more in each kind and tree, of one graft more, of each need of a partner, and of each aim.

    The price of the aim in question is UNIT, of those after it 0.
    """

    kinds: tuple[int, ...]
    trees: tuple[int, ...]
    grafts: int
    needs: tuple[int, ...]
    aims: tuple[int, ...]


class Branch(Struct, frozen=True):
    """What is chosen and what may be chosen still, the weeks that are `bare`, and how many more `may_lack` a partner.

    `lost` are the needs of a partner, by number, that nothing can serve any more.
    """

    chosen: frozenset[int]
    free: frozenset[int]
    bare: tuple[int, ...]
    may_lack: int
    lost: frozenset[int]


class Relaxed(Struct, frozen=True):
    """The bound that some prices give, with what it takes. `covers` are those by the choices of `order`.

    `over` is by how much more is taken than there is, for each price.
    """

    least: int
    prices: Prices
    cover: frozenset[int]
    order: tuple[int, ...]
    covers: Covers
    over: Prices

    def worth_trying(self, bound: int) -> frozenset[int]:
        """What may be in a choice that costs less than a bound."""
        rest = self.least - self.covers.least
        return frozenset(
            choice for number, choice in enumerate(self.order) if rest + self.covers.least_with(number) < bound
        )


class Relaxation:
    """The bounds of one question, aim by aim; at most `may_stay` weeks may stay bare."""

    def __init__(self, board: Board, may_stay: int) -> None:
        self._board, self._may_stay = board, may_stay
        rows: dict[tuple[tuple[int, bool] | None, ...], int] = {}
        self._row_of = [rows.setdefault(row, len(rows)) for row in board.rows]
        self._rows = [[(kind, *one) for kind, one in enumerate(row) if one is not None] for row in rows]
        self._tree_of = [kind.tree for kind in board.kinds]
        task = board.task
        self._needing: list[int | None] = [number for number, choice in enumerate(task.choices) if choice.needs]
        self._needs = [task.choices[number].partners for number in self._needing if number is not None]
        self._needing += [None] * len(task.waiting)
        self._needs += task.waiting

    def start(self, branch: Branch, aim: int) -> Prices:
        """Prices to begin with: those of the flow that knows nothing of season and partners."""
        board = self._board
        aims = tuple(UNIT * _RATIO ** (aim - number) if number <= aim else 0 for number in range(AIMS))
        forced = 2 * AIMS * aims[0] * MOST_MISFIT * len(board.task.trees)
        alike: dict[tuple[int | None, ...], int] = {}
        for choice in sorted(branch.chosen | branch.free):
            own = self._own(choice, aims) - (forced if choice in branch.chosen else 0)
            row = board.rows[choice]
            costs = tuple(None if one is None else own + one[0] * aims[0] - one[1] * aims[4] for one in row)
            alike[costs] = alike.get(costs, 0) + 1
        rows = [Row(count, costs) for costs, count in alike.items()]
        return Prices(
            *cheapest_flow(rows, board.kinds, board.task.room, board.most).prices, (0,) * len(self._needs), aims
        )

    def _own(self, choice: int, aims: tuple[int, ...]) -> int:
        """What a choice costs wherever it stands."""
        own = self._board.task.choices[choice]
        return own.wood * aims[3] - aims[2] - own.copies * aims[1]

    def branch(
        self, chosen: frozenset[int], free: frozenset[int], bare: tuple[int, ...], may_lack: int
    ) -> Branch | None:
        """A branch in which no more may lack a partner than so many; None where more would."""
        allowed = chosen | free
        lost = frozenset(
            number
            for number, (needing, partners) in enumerate(zip(self._needing, self._needs, strict=True))
            if (needing is None or needing in chosen) and not partners & allowed
        )
        left = may_lack - len(lost)
        return None if left < 0 else Branch(chosen, free, bare, left, lost)

    def best(self, branch: Branch, aim: int, start: Prices, known: tuple[int, ...], bound: int, steps: int) -> Relaxed:
        """The best bound found in so many steps from some prices on; no better one than is needed.

        `known` are the aims of the best that is known: those before the one in question cannot be better.
        """
        best = found = self.at(branch, aim, start, known)
        part, waited = 1, 0
        for _ in range(steps):
            prices = _stepped(found, aim, bound, part) if best.least < bound else None
            if prices is None:
                break
            found = self.at(branch, aim, prices, known)
            if found.least > best.least:
                best, waited = found, 0
            else:
                waited += 1
            if waited >= _PATIENCE:
                part, waited, found = part * 2, 0, best
        return best

    def at(self, branch: Branch, aim: int, prices: Prices, known: tuple[int, ...]) -> Relaxed:
        """The bound at some prices."""
        board, task = self._board, self._board.task
        shift = dict.fromkeys(branch.chosen | branch.free, prices.grafts)
        owed = []
        aims = prices.aims
        least = -prices.grafts * board.most
        least -= sum(price * held for price, held in zip(aims[:aim], known[:aim], strict=True))
        for number, price in enumerate(prices.needs):
            if price and number not in branch.lost:
                needing = self._needing[number]
                if needing is None:
                    least += price
                elif needing in shift:
                    shift[needing] += price
                else:
                    continue
                owed.append(price)
                for partner in self._needs[number]:
                    if partner in shift:
                        shift[partner] -= price
        least -= sum(sorted(owed, reverse=True)[: branch.may_lack])
        least -= sum(price * room for price, room in zip(prices.trees, task.room, strict=True) if price)
        least -= sum(price * kind.count for price, kind in zip(prices.kinds, board.kinds, strict=True) if price)
        dearer = [own + prices.trees[tree] for own, tree in zip(prices.kinds, self._tree_of, strict=True)]
        cheapest = [
            min(
                ((misfit * aims[0] - likes * aims[4] + dearer[kind], kind) for kind, misfit, likes in row),
                default=(NEVER, 0),
            )
            for row in self._rows
        ]
        order = tuple(sorted(branch.free))
        taken = set(branch.chosen)
        dear = []
        for choice in branch.chosen:
            least += cheapest[self._row_of[choice]][0] + shift[choice] + self._own(choice, aims)
        for choice in order:
            cost = cheapest[self._row_of[choice]][0] + shift[choice] + self._own(choice, aims)
            if cost < 0:
                least += cost
                taken.add(choice)
            dear.append(max(0, cost))
        covers = board.covers(branch.bare, order, dear, self._may_stay)
        cover = frozenset(order[number] for number in covers.cheapest())
        taken |= cover
        in_kind, on_tree = [-kind.count for kind in board.kinds], [-room for room in task.room]
        reached = [-held for held in known]
        for choice in taken:
            own = task.choices[choice]
            kind = cheapest[self._row_of[choice]][1]
            in_kind[kind] += 1
            on_tree[self._tree_of[kind]] += 1
            held = board.rows[choice][kind] or (0, False)
            for number, more in enumerate((held[0], -own.copies, -1, own.wood, -held[1])):
                reached[number] += more
        lacking = tuple(
            0 if number in branch.lost else int(needing is None or needing in taken) - len(partners & taken)
            for number, (needing, partners) in enumerate(zip(self._needing, self._needs, strict=True))
        )
        over = Prices(tuple(in_kind), tuple(on_tree), len(taken) - board.most, lacking, tuple(reached))
        return Relaxed(least + covers.least, prices, cover, order, covers, over)


def _stepped(found: Relaxed, aim: int, bound: int, part: int) -> Prices | None:
    """The prices after one step: up where too much is taken, down, to 0 at most, where too little."""

    def flat(held: Prices) -> tuple[int, ...]:
        return (*held.kinds, *held.trees, held.grafts, *held.needs, *held.aims[:aim])

    moves = [more if more > 0 or price else 0 for price, more in zip(flat(found.prices), flat(found.over), strict=True)]
    squares = sum(move * move for move in moves)
    if not squares:
        return None
    gap = bound - found.least
    moved = iter(
        max(0, price + gap * move // (squares * part)) for price, move in zip(flat(found.prices), moves, strict=True)
    )

    def like(held: Sequence[int]) -> tuple[int, ...]:
        return tuple(next(moved) for _ in held)

    prices = found.prices
    kinds, trees = like(prices.kinds), like(prices.trees)
    return Prices(kinds, trees, next(moved), like(prices.needs), (*like(prices.aims[:aim]), *prices.aims[aim:]))
