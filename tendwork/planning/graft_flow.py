"""The cheapest way to give choices to places, each tree taking only so many: a min-cost flow by shortest paths.

Choices that cost the same everywhere are one row, places of one tree that cost every choice the same are one kind, and
whole bundles of them flow at once. Successive shortest augmenting paths, each found by Bellman and Ford's labels in a
queue (Ahuja, Magnanti and Orlin, Network Flows, 1993, chapters 5 and 9: from memory). A choice need not be placed:
augmenting ends when the next path costs something, and is then optimal among flows of every size.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

FAR = 1 << 90
"""More than any path costs: what cannot be reached."""


class Row(Struct, frozen=True):
    """So many choices that are alike: what each costs in every kind of place, None where it cannot stand."""

    count: int
    costs: tuple[int | None, ...]


class Kind(Struct, frozen=True):
    """So many places of one tree, by its number, that are alike."""

    count: int
    tree: int


class Flow(Struct, frozen=True):
    """The cheapest flow: `units` by (row, kind), and its cost.

    `prices` are what one place more is worth: in each kind, in each tree and, last, of how many may flow in all; FAR
    where nothing could make place. They are optimal prices of the linear programme.
    """

    cost: int
    units: dict[tuple[int, int], int]
    prices: tuple[tuple[int, ...], tuple[int, ...], int]


def cheapest_flow(rows: Sequence[Row], kinds: Sequence[Kind], room: Sequence[int], most: int) -> Flow:
    """The flow of least cost with at most `most` units in all, and at most `room` of them in each tree."""
    net = _Net(rows, kinds, room, most)
    net.fill()
    return Flow(net.cost, {pair: units for pair, units in net.units.items() if units}, net.prices())


class _Net:
    """Nodes: 0 the source, then rows, kinds, trees, and the sink last."""

    def __init__(self, rows: Sequence[Row], kinds: Sequence[Kind], room: Sequence[int], most: int) -> None:
        self._rows, self._kinds, self._room, self._most = rows, kinds, room, most
        self._first_kind, self._first_tree = 1 + len(rows), 1 + len(rows) + len(kinds)
        self._sink = self._first_tree + len(room)
        self._of_row = [0] * len(rows)
        self._of_kind = [0] * len(kinds)
        self._of_tree = [0] * len(room)
        self._in_kind: list[dict[int, int]] = [{} for _ in kinds]
        self._of = [
            [(self._first_kind + kind, cost) for kind, cost in enumerate(row.costs) if cost is not None] for row in rows
        ]
        self._on: list[list[int]] = [[] for _ in room]
        for number, kind in enumerate(kinds):
            self._on[kind.tree].append(number)
        self._total = 0
        self.cost = 0
        self.units: dict[tuple[int, int], int] = {}

    def fill(self) -> None:
        while self._total < self._most:
            distance, before = self._shortest_paths()
            if distance[self._sink] >= 0:
                return
            path = [self._sink]
            while path[-1]:
                path.append(before[path[-1]])
            path.reverse()
            self._augment(path, distance[self._sink])

    def _shortest_paths(self) -> tuple[list[int], list[int]]:
        distance, before = [FAR] * (self._sink + 1), [0] * (self._sink + 1)
        waiting: deque[int] = deque()
        queued = [False] * (self._sink + 1)
        for number, row in enumerate(self._rows):
            if self._of_row[number] < row.count:
                distance[1 + number] = 0
                waiting.append(1 + number)
                queued[1 + number] = True
        while waiting:
            node = waiting.popleft()
            queued[node] = False
            here = distance[node]
            for following, cost in self._arcs(node):
                if here + cost < distance[following]:
                    distance[following] = here + cost
                    before[following] = node
                    if following != self._sink and not queued[following]:
                        queued[following] = True
                        waiting.append(following)
        return distance, before

    def _arcs(self, node: int) -> list[tuple[int, int]]:
        """Where more can flow to from a node, and what that costs; without the arcs at the source."""
        if node < self._first_kind:
            return self._of[node - 1]
        if node < self._first_tree:
            kind = node - self._first_kind
            arcs = [(1 + row, -self._cost(row, kind)) for row, units in self._in_kind[kind].items() if units]
            if self._of_kind[kind] < self._kinds[kind].count:
                arcs.append((self._first_tree + self._kinds[kind].tree, 0))
            return arcs
        tree = node - self._first_tree
        arcs = [(self._first_kind + kind, 0) for kind in self._on[tree] if self._of_kind[kind]]
        if self._of_tree[tree] < self._room[tree]:
            arcs.append((self._sink, 0))
        return arcs

    def _cost(self, row: int, kind: int) -> int:
        cost = self._rows[row].costs[kind]
        assert cost is not None
        return cost

    def _augment(self, path: list[int], cost: int) -> None:
        row, tree = path[1] - 1, path[-2] - self._first_tree
        units = min(
            self._rows[row].count - self._of_row[row], self._room[tree] - self._of_tree[tree], self._most - self._total
        )
        for one, other in pairwise(path[1:-1]):
            units = min(units, self._left(one, other))
        for one, other in pairwise(path[1:-1]):
            self._send(one, other, units)
        self._of_row[row] += units
        self._of_tree[tree] += units
        self._total += units
        self.cost += units * cost

    def _left(self, one: int, other: int) -> int:
        if one < self._first_kind:
            return FAR
        if one < self._first_tree:
            kind = one - self._first_kind
            if other < self._first_kind:
                return self._in_kind[kind][other - 1]
            return self._kinds[kind].count - self._of_kind[kind]
        return self._of_kind[other - self._first_kind]

    def _send(self, one: int, other: int, units: int) -> None:
        if one < self._first_kind:
            self._add(one - 1, other - self._first_kind, units)
        elif one < self._first_tree:
            if other < self._first_kind:
                self._add(other - 1, one - self._first_kind, -units)
            else:
                self._of_kind[one - self._first_kind] += units
        else:
            self._of_kind[other - self._first_kind] -= units

    def _add(self, row: int, kind: int, units: int) -> None:
        self.units[row, kind] = self.units.get((row, kind), 0) + units
        self._in_kind[kind][row] = self._in_kind[kind].get(row, 0) + units

    def prices(self) -> tuple[tuple[int, ...], tuple[int, ...], int]:
        """What one place more is worth: the way back to the source, from each kind, each tree and the sink."""
        back: list[list[tuple[int, int]]] = [[] for _ in range(self._sink + 1)]
        for node in range(1, self._sink):
            for following, cost in self._arcs(node):
                back[following].append((node, cost))
        for tree, flowing in enumerate(self._of_tree):
            if flowing:
                back[self._first_tree + tree].append((self._sink, 0))
        distance = [FAR] * (self._sink + 1)
        waiting: deque[int] = deque()
        starts = [1 + row for row, flowing in enumerate(self._of_row) if flowing]
        starts += [self._sink] if self._total < self._most else []
        for node in starts:
            distance[node] = 0
            waiting.append(node)
        while waiting:
            node = waiting.popleft()
            here = distance[node]
            for earlier, cost in back[node]:
                if here + cost < distance[earlier]:
                    distance[earlier] = here + cost
                    waiting.append(earlier)
        in_all = distance[self._sink]
        trees = distance[self._first_tree : self._sink]
        kinds = distance[self._first_kind : self._first_tree]
        return (
            tuple(max(0, here - trees[kind.tree]) for here, kind in zip(kinds, self._kinds, strict=True)),
            tuple(max(0, here - in_all) for here in trees),
            in_all,
        )
