"""Which variety into which place, exactly: the aims one after the other, each only among what is best in those before.

The aims are those of `Worth`. Five of them hang on one variety and its place alone, and for these the best is a
min-cost flow (`graft_flow.py`). Bare weeks and partners in bloom hang on all that are chosen together: that is maximum
coverage under the constraint that all find places, which no flow finds. So the choice is made by branch and bound (Land
and Doig, 1960), exact as every branch is followed or shown to be no better:

1. `_best_season` finds the fewest and shortest bare weeks that can be had. It branches on the bare week that the fewest
   varieties cover: one of them is chosen, or the week stays bare. The bound is that of `season_cover.least_bare`.
2. `_branches` keeps to that season. The flow without regard to weeks bounds the other aims from below; its prices,
   put on the weeks that it leaves bare, raise the bound by the cheapest cover (Lagrangean relaxation: Held and Karp,
   1970; Fisher, 1981). Where the choices of the flow leave a week bare it branches on that week, where one of them
   lacks a partner on that partner. (The literature is named from memory.)
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from tendwork.planning.graft_flow import FAR, Kind, Row, cheapest_flow
from tendwork.planning.graft_question import Choosing, NoRoom, Worth, with_pins, worth_of
from tendwork.planning.season_cover import (
    Covers,
    bare_weeks,
    least_bare,
    longest_run,
    weeks_of,
)

_WOOD, _PLACED, _COPY, _MISFIT, _LACKING, _FORCED = (1 << bits for bits in (10, 22, 32, 42, 54, 66))
"""What one more of each is worth: each more than all below it together, for at most MOST_PLACED grafts."""
MOST_PLACED = 500
"""No more grafts than these are proposed for one spring."""
Node = tuple[frozenset[int], frozenset[int]]
"""A branch of the search: what is chosen, and what may be chosen still."""
_ROUNDS = 3


class Assignment(Struct, frozen=True):
    """(choice, place) in the order of the choices, and what that comes to."""

    pairs: tuple[tuple[int, int], ...]
    worth: Worth


def best_assignment(task: Choosing) -> Assignment:
    """The best assignment; of several that come to the same always the same one. Raises NoRoom for its pins."""
    search = _Search(task)
    return search.best()


def _packed(worth: Worth) -> int:
    """The aims after the season as one number in the same order."""
    return (
        worth.lacking * _LACKING
        + worth.misfit * _MISFIT
        + worth.copies * _COPY
        + worth.placed * _PLACED
        + worth.wood * _WOOD
        + worth.liked
    )


class _Search:
    def __init__(self, task: Choosing) -> None:
        self._task = task
        self._misfits = with_pins(task)
        self._pinned = frozenset(choice for choice, _ in task.pins)
        costs = [
            [None if misfit is None else misfit * _MISFIT - (place in choice.likes) for place, misfit in enumerate(row)]
            for choice, row in zip(task.choices, self._misfits, strict=True)
        ]
        self._kinds, self._kind_places = _kinds(task, costs)
        self._most = min(task.most, sum(task.room), len(task.trees), MOST_PLACED)
        everything = range(len(task.choices))
        self._rows = [tuple(row[places[0]] for places in self._kind_places) for row in costs]
        by_row = self._rows
        self._can = frozenset(choice for choice in everything if any(cost is not None for cost in by_row[choice]))
        self._target = (task.weeks + 1, task.weeks + 1)
        self._best: Assignment | None = None
        self._bound = FAR
        self._part_of = _parts(task, self._misfits)

    def best(self) -> Assignment:
        if len(self._pinned) < len(self._task.pins) or not self._fits(self._pinned):
            raise NoRoom
        self._target = self._best_season()
        nodes = [(self._pinned, self._can - self._pinned)]
        while nodes:
            nodes.extend(reversed(self._branches(*nodes.pop())))
        assert self._best is not None
        return self._best

    # The season alone

    def _best_season(self) -> tuple[int, int]:
        self._season = self._dived()
        self._branch_season(self._pinned, self._can - self._pinned)
        return self._season

    def _dived(self) -> tuple[int, int]:
        """A good season to begin with: always the variety that covers most of what is bare."""
        chosen = self._pinned
        left = sorted(choice for choice in self._can - chosen if self._task.choices[choice].span is not None)
        while True:
            bare = set(self._bare(chosen))
            gains = [(-len(bare.intersection(weeks_of(self._task.choices[choice].span))), choice) for choice in left]
            fitting = next((choice for gain, choice in sorted(gains) if gain and self._fits(chosen | {choice})), None)
            if fitting is None:
                return len(bare), longest_run(sorted(bare))
            chosen |= {fitting}
            left.remove(fitting)

    def _branch_season(self, chosen: frozenset[int], free: frozenset[int]) -> None:
        bare = self._bare(chosen)
        self._season = min(self._season, (len(bare), longest_run(bare)))
        if not self._may_be_better(chosen, free, bare):
            return
        covering = self._covering(bare, free)
        week = min(covering, key=lambda week: (len(covering[week]), week), default=None)
        if week is None:
            return
        open_weeks = frozenset(bare)
        tried: list[int] = []
        left = free
        for choice in sorted(covering[week], key=lambda choice: (-self._gain(choice, open_weeks), choice)):
            left -= {choice}
            if any(self._is_no_better(choice, other, open_weeks) for other in tried):
                continue
            if self._fits(chosen | {choice}):
                tried.append(choice)
                self._branch_season(chosen | {choice}, left)
        self._branch_season(chosen, free - frozenset(covering[week]))

    def _may_be_better(self, chosen: frozenset[int], free: frozenset[int], bare: tuple[int, ...]) -> bool:
        """Whether anything that can still be chosen might make a better season than the best one known."""
        fewest, longest = self._season
        task, left = self._task, self._most - len(chosen)
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
    def _part_room(self) -> tuple[int, ...]:
        parts = max(self._part_of, default=-1) + 1
        rooms = [0] * parts
        for part in range(parts):
            own = [choice for choice, of in enumerate(self._part_of) if of == part]
            places = {
                place for choice in own for place, misfit in enumerate(self._misfits[choice]) if misfit is not None
            }
            for tree, room in enumerate(self._task.room):
                rooms[part] += min(room, sum(self._task.trees[place] == tree for place in places))
        return tuple(rooms)

    def _is_no_better(self, choice: int, other: int, bare: frozenset[int]) -> bool:
        """Whether the season gains nothing by this choice that it would not by the other, wherever it stands."""
        mine = bare.intersection(weeks_of(self._task.choices[choice].span))
        its = bare.intersection(weeks_of(self._task.choices[other].span))
        if not mine <= its:
            return False
        rows = zip(self._rows[choice], self._rows[other], strict=True)
        return all(own is None or cost is not None for own, cost in rows)

    # All aims, once the season is known

    def _branches(self, chosen: frozenset[int], free: frozenset[int]) -> tuple[Node, ...]:
        """Take the best of a branch where it is plain, else the branches among which something better may be."""
        bare = self._bare(chosen)
        fitting = self._with_room(bare, free, self._most - len(chosen))
        if fitting is None:
            return ()
        free = fitting
        solved = self._solved(chosen, free)
        if solved is None or solved[0] >= self._bound:
            return ()
        cost, pairs, prices = solved
        picked = {choice for choice, _ in pairs}
        cost, prices = self._with_partners(chosen, free, picked, cost, prices)
        order = sorted(free)
        covers = self._covers(bare, order, [max(0, prices[choice]) for choice in order])
        if cost + covers.least >= self._bound:
            return ()
        meets = self._meets(picked)
        if meets:
            self._take(pairs)
        else:
            self._dive(chosen | {order[number] for number in covers.cheapest()}, free)
        if cost + covers.least >= self._bound:
            return ()
        kept = frozenset(
            choice for number, choice in enumerate(order) if cost + covers.least_with(number) < self._bound
        )
        if not meets:
            return self._by_week(chosen, kept, self._bare(picked))
        branches = self._by_partner(chosen, kept, picked)
        return branches or (((chosen, kept),) if len(kept) < len(free) else ())

    def _with_partners(
        self, chosen: frozenset[int], free: frozenset[int], picked: set[int], cost: int, prices: dict[int, int]
    ) -> tuple[int, dict[int, int]]:
        """A bound and prices that know of partners: what lacks one pays for the cheapest that it could have.

        A choice that needs a partner is dearer by as much as all its partners are cheaper, which leaves what any choice
        with a partner comes to at most as it is (Lagrangean relaxation of "not without a partner"). Nothing pays more
        than a variety without a partner is worth.
        """
        shift: dict[int, int] = {}
        paid: dict[int, int] = {}
        added = 0
        best = cost, prices
        for _ in range(_ROUNDS):
            left = {choice: max(0, prices[choice]) for choice in free}
            lacking: list[tuple[int, frozenset[int]]] = [
                (choice, own.partners & free)
                for choice in sorted(picked)
                if (own := self._task.choices[choice]).needs and not own.partners & (picked | chosen)
            ]
            lacking += [
                (-1 - number, own & free)
                for number, own in enumerate(self._task.waiting)
                if not own & (picked | chosen)
            ]
            moved = False
            for choice, partners in lacking:
                price = min((left[partner] for partner in partners), default=0)
                price = min(price, _LACKING - paid.get(choice, 0))
                if price <= 0:
                    continue
                moved = True
                paid[choice] = paid.get(choice, 0) + price
                for partner in partners:
                    left[partner] -= price
                    shift[partner] = shift.get(partner, 0) - price
                if choice < 0:
                    added += price
                else:
                    shift[choice] = shift.get(choice, 0) + price
            if not moved:
                break
            solved = self._solved(chosen, free, shift)
            if solved is None:
                break
            cost, pairs, prices = solved[0] + added, solved[1], solved[2]
            picked = {choice for choice, _ in pairs}
            if self._meets(picked):
                self._take(pairs)
            best = max(best, (cost, prices), key=lambda one: one[0])
            if best[0] >= self._bound:
                break
        return best

    def _with_room(self, bare: Iterable[int], free: frozenset[int], left: int) -> frozenset[int] | None:
        """What is free and leaves room for enough others to reach the season; None where nothing reaches it."""
        order = sorted(free)
        covers = self._covers(bare, order, [1] * len(order))
        if covers.least > left:
            return None
        return frozenset(choice for number, choice in enumerate(order) if covers.least_with(number) <= left)

    def _covers(self, bare: Iterable[int], order: Sequence[int], prices: Sequence[int]) -> Covers:
        filled = frozenset(range(self._task.weeks)).difference(bare)
        spans = [self._task.choices[choice].span for choice in order]
        return Covers(self._task.weeks, filled, spans, prices, self._target[0])

    def _by_week(self, chosen: frozenset[int], free: frozenset[int], bare: Iterable[int]) -> tuple[Node, ...]:
        """Of a week that the choices of the flow leave bare: one of those that cover it is chosen, or none."""
        covering = self._covering(bare, free)
        week = min(covering, key=lambda week: (len(covering[week]), week), default=None)
        if week is None:
            return ()
        open_weeks = frozenset(self._bare(chosen))
        order = sorted(covering[week], key=lambda choice: (-self._gain(choice, open_weeks), choice))
        return _one_or_none(chosen, free, order)

    def _by_partner(self, chosen: frozenset[int], free: frozenset[int], picked: set[int]) -> tuple[Node, ...]:
        """Of what lacks a partner that the flow hoped for: it is not chosen, or one of its partners is, or none.

        Empty where no such partner can still be chosen.
        """
        choices = self._task.choices
        lacking: list[tuple[frozenset[int], int | None]] = [
            (choices[choice].partners, choice)
            for choice in sorted(picked)
            if choices[choice].needs and not choices[choice].partners & picked
        ]
        lacking += [(partners, None) for partners in self._task.waiting if not partners & picked]
        partners, choice = next(((held, one) for held, one in lacking if held & free), (frozenset[int](), None))
        if not partners:
            return ()
        if choice is None or choice in chosen:
            return _one_or_none(chosen, free, sorted(partners & free))
        left = free - {choice}
        return (chosen, left), *_one_or_none(chosen | {choice}, left, sorted((partners & free) - {choice}))

    def _dive(self, chosen: frozenset[int], free: frozenset[int]) -> None:
        """Take the cheapest cover as it is, for a good bound early."""
        solved = self._solved(chosen, free - chosen)
        if solved is not None and self._meets({choice for choice, _ in solved[1]}):
            self._take(solved[1])

    def _meets(self, picked: Iterable[int]) -> bool:
        """Whether these reach the best season."""
        bare = self._bare(picked)
        return (len(bare), longest_run(bare)) <= self._target

    def _take(self, pairs: tuple[tuple[int, int], ...]) -> None:
        worth = worth_of(self._task, pairs)
        if _packed(worth) < self._bound:
            self._best, self._bound = Assignment(pairs, worth), _packed(worth)

    def _solved(
        self, chosen: frozenset[int], free: frozenset[int], shift: Mapping[int, int] = {}
    ) -> tuple[int, tuple[tuple[int, int], ...], dict[int, int]] | None:
        """The least that the aims after the season can come to, the pairs by which, and each choice's price.

        None where not all that is chosen finds a place. `shift` makes choices dearer or cheaper.
        """
        allowed = chosen | free
        alike: dict[tuple[int, tuple[int | None, ...]], list[int]] = {}
        for choice in sorted(allowed):
            own = self._task.choices[choice]
            cost = own.wood * _WOOD - _PLACED - own.copies * _COPY + shift.get(choice, 0)
            if own.needs and not own.partners & allowed:
                cost += _LACKING
            if choice in chosen:
                cost -= _FORCED
            alike.setdefault((cost, self._rows[choice]), []).append(choice)
        rows = [
            Row(len(held), tuple(None if here is None else here + cost for here in row))
            for (cost, row), held in alike.items()
        ]
        flow = cheapest_flow(rows, self._kinds, self._task.room, self._most)
        forced = sum(units for (row, _), units in flow.units.items() if list(alike.values())[row][0] in chosen)
        if forced < len(chosen):
            return None
        prices = {choice: flow.more[row] for row, held in enumerate(alike.values()) for choice in held}
        cost = flow.cost + _FORCED * len(chosen)
        cost += _LACKING * sum(not partners & allowed for partners in self._task.waiting)
        return cost, self._pairs(flow.units, list(alike.values())), prices

    def _pairs(
        self, units: Mapping[tuple[int, int], int], alike: Sequence[Sequence[int]]
    ) -> tuple[tuple[int, int], ...]:
        """The flow as pairs: of choices that cost the same those that cover bare weeks first, then as they come."""
        bare = set(self._bare(()))
        left = [sorted(held) for held in alike]
        places = [list(held) for held in self._kind_places]
        pairs = []
        for row, kind in sorted(units, key=lambda pair: (len(alike[pair[0]]), pair)):
            for _ in range(units[row, kind]):
                choice = max(left[row], key=lambda one: (self._gain(one, bare), -one))
                left[row].remove(choice)
                bare.difference_update(weeks_of(self._task.choices[choice].span))
                pairs.append((choice, places[kind].pop(0)))
        return tuple(sorted(pairs))

    # What both ask

    def _fits(self, chosen: frozenset[int]) -> bool:
        """Whether all of these find places together."""
        if len(chosen) > self._most:
            return False
        alike: dict[tuple[int | None, ...], int] = {}
        for choice in sorted(chosen):
            row = tuple(None if cost is None else -1 for cost in self._rows[choice])
            alike[row] = alike.get(row, 0) + 1
        rows = [Row(count, costs) for costs, count in alike.items()]
        return -cheapest_flow(rows, self._kinds, self._task.room, self._most).cost == len(chosen)

    def _bare(self, chosen: Iterable[int]) -> tuple[int, ...]:
        return bare_weeks(self._task.weeks, self._task.covered, (self._task.choices[choice].span for choice in chosen))

    def _gain(self, choice: int, bare: Collection[int]) -> int:
        return sum(week in bare for week in weeks_of(self._task.choices[choice].span))

    def _covering(self, bare: Iterable[int], free: Iterable[int]) -> dict[int, list[int]]:
        """For every bare week that something covers, what does."""
        wanted = set(bare)
        found: dict[int, list[int]] = {}
        for choice in sorted(free):
            for week in weeks_of(self._task.choices[choice].span):
                if week in wanted:
                    found.setdefault(week, []).append(choice)
        return found


def _one_or_none(chosen: frozenset[int], free: frozenset[int], order: Sequence[int]) -> tuple[Node, ...]:
    """The branches in which one of these is chosen, and those before it are not; last the one without any of them."""
    branches = []
    for choice in order:
        free -= {choice}
        branches.append((chosen | {choice}, free))
    return (*branches, (chosen, free))


def _kinds(task: Choosing, costs: Sequence[Sequence[int | None]]) -> tuple[list[Kind], list[tuple[int, ...]]]:
    """The places that are alike, and which they are."""
    alike: dict[tuple[object, ...], list[int]] = {}
    for place, tree in enumerate(task.trees):
        alike.setdefault((tree, *(row[place] for row in costs)), []).append(place)
    held = [tuple(places) for places in alike.values()]
    return [Kind(len(places), task.trees[places[0]]) for places in held], held


def _parts(task: Choosing, misfits: Sequence[Sequence[int | None]]) -> tuple[int, ...]:
    """For each choice the number of the part to which it belongs: choices that share a tree, at any remove, are one."""
    trees = [frozenset(task.trees[place] for place, misfit in enumerate(row) if misfit is not None) for row in misfits]
    parts: list[set[int]] = []
    for own in trees:
        joined = [part for part in parts if part & own]
        parts = [part for part in parts if not part & own]
        if own:
            parts.append(set().union(own, *joined))
    return tuple(next((number for number, part in enumerate(parts) if part & own), -1) for own in trees)
