"""What every stage of choosing asks of its question: who can stand where, what finds places together, what is bare."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from tendwork.planning.graft_flow import Kind, Row, cheapest_flow
from tendwork.planning.graft_question import Choosing, with_pins
from tendwork.planning.season_cover import Covers, bare_weeks, longest_run, weeks_of

MOST_PLACED = 500
"""No more grafts than these are proposed for one spring."""


class Board:
    """One question, with its pins kept. `kinds` are the places that are alike, `kind_places` which they are.

    `rows` has for every choice how ill it suits each kind and whether it likes it, None where it cannot stand; `can`
    are the choices that can stand somewhere, `pinned` those that must, and `most` is how many there may be.
    """

    def __init__(self, task: Choosing) -> None:
        self.task = task
        self.misfits = with_pins(task)
        self.pinned = frozenset(choice for choice, _ in task.pins)
        suits = [
            [None if misfit is None else (misfit, place in choice.likes) for place, misfit in enumerate(row)]
            for choice, row in zip(task.choices, self.misfits, strict=True)
        ]
        self.kinds, self.kind_places = _kinds(task, suits)
        self.rows = [tuple(row[places[0]] for places in self.kind_places) for row in suits]
        self.can = frozenset(number for number, row in enumerate(self.rows) if any(one is not None for one in row))
        self.most = min(task.most, sum(task.room), len(task.trees), MOST_PLACED)

    def fits(self, chosen: frozenset[int]) -> bool:
        """Whether all of these find places together."""
        if len(chosen) > self.most:
            return False
        alike: dict[tuple[int | None, ...], int] = {}
        for choice in sorted(chosen):
            row = tuple(None if here is None else -1 for here in self.rows[choice])
            alike[row] = alike.get(row, 0) + 1
        rows = [Row(count, costs) for costs, count in alike.items()]
        return -cheapest_flow(rows, self.kinds, self.task.room, self.most).cost == len(chosen)

    def bare(self, chosen: Iterable[int]) -> tuple[int, ...]:
        """The weeks that stay bare with these."""
        return bare_weeks(self.task.weeks, self.task.covered, (self.task.choices[choice].span for choice in chosen))

    def meets(self, chosen: Iterable[int], season: tuple[int, int]) -> bool:
        """Whether these leave no more weeks bare, and no longer runs of them, than a season."""
        bare = self.bare(chosen)
        return (len(bare), longest_run(bare)) <= season

    def gain(self, choice: int, bare: Collection[int]) -> int:
        """How many of these weeks a choice covers."""
        return sum(week in bare for week in weeks_of(self.task.choices[choice].span))

    def covering(self, bare: Iterable[int], free: Iterable[int]) -> dict[int, list[int]]:
        """For every bare week that something covers, what does."""
        wanted = set(bare)
        found: dict[int, list[int]] = {}
        for choice in sorted(free):
            for week in weeks_of(self.task.choices[choice].span):
                if week in wanted:
                    found.setdefault(week, []).append(choice)
        return found

    def covers(self, bare: Iterable[int], order: Sequence[int], prices: Sequence[int], may_stay: int) -> Covers:
        """The covers of these weeks by these choices at their prices, `may_stay` of them left bare."""
        filled = frozenset(range(self.task.weeks)).difference(bare)
        return Covers(self.task.weeks, filled, [self.task.choices[choice].span for choice in order], prices, may_stay)

    def with_room(self, bare: Iterable[int], free: frozenset[int], left: int, may_stay: int) -> frozenset[int] | None:
        """What is free and leaves room for enough others to cover all but so many weeks; None where nothing does."""
        order = sorted(free)
        covers = self.covers(bare, order, [1] * len(order), may_stay)
        if covers.least > left:
            return None
        if covers.least < left:
            return free
        return frozenset(choice for number, choice in enumerate(order) if covers.least_with(number) <= left)

    def lacking_a_partner(self, picked: Collection[int]) -> list[tuple[frozenset[int], int | None]]:
        """The partners of whatever lacks one with these: of a choice, by its number, or of what waits here (None)."""
        choices, held = self.task.choices, set(picked)
        found: list[tuple[frozenset[int], int | None]] = [
            (choices[choice].partners, choice)
            for choice in sorted(held)
            if choices[choice].needs and not choices[choice].partners & held
        ]
        return found + [(partners, None) for partners in self.task.waiting if not partners & held]

    def with_partners(self, chosen: frozenset[int], free: frozenset[int]) -> frozenset[int]:
        """What of the free does not need a partner that it could no longer have."""
        choices = self.task.choices
        while True:
            allowed = chosen | free
            lonely = {one for one in free if choices[one].needs and not choices[one].partners & allowed}
            if not lonely:
                return free
            free -= lonely


def one_or_none(
    chosen: frozenset[int], free: frozenset[int], order: Sequence[int]
) -> tuple[tuple[frozenset[int], frozenset[int]], ...]:
    """The branches in which one of these is chosen, and those before it are not; last the one without any of them."""
    branches = []
    for choice in order:
        free -= {choice}
        branches.append((chosen | {choice}, free))
    return (*branches, (chosen, free))


def _kinds(task: Choosing, suits: Sequence[Sequence[object]]) -> tuple[list[Kind], list[tuple[int, ...]]]:
    alike: dict[tuple[object, ...], list[int]] = {}
    for place, tree in enumerate(task.trees):
        alike.setdefault((tree, *(row[place] for row in suits)), []).append(place)
    held = [tuple(places) for places in alike.values()]
    return [Kind(len(places), task.trees[places[0]]) for places in held], held
