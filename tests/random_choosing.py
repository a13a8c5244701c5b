"""Small and large questions of what to graft where, made by chance, and the best answer by trying everything."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from tendwork.planning.graft_question import Choice, Choosing, Worth, worth_of


def random_choosing(seed: int, most_choices: int = 5, most_places: int = 4, weeks: int = 8) -> Choosing:
    """An invented question: spans unknown or a few weeks long, some places that do not suit, some pins."""
    chance = Random(seed)
    places, count = chance.randint(1, most_places), chance.randint(1, most_choices)
    trees = sorted(chance.randrange(chance.randint(1, 3)) for _ in range(places))
    room = tuple(chance.randint(0, 3) for _ in range(3))
    choices = tuple(_choice(chance, count, places, weeks) for _ in range(count))
    pins: tuple[tuple[int, int], ...] = ()
    pinned = chance.randrange(places)
    if chance.random() < 0.2 and room[trees[pinned]]:
        pins = ((chance.randrange(count), pinned),)
    return Choosing(
        weeks,
        frozenset(week for week in range(weeks) if chance.random() < 0.3),
        choices,
        tuple(trees),
        room,
        chance.randint(1, most_places),
        tuple(_some(chance, count) for _ in range(chance.randint(0, 2))),
        pins,
    )


def _choice(chance: Random, count: int, places: int, weeks: int) -> Choice:
    first = chance.randrange(weeks)
    span = None if chance.random() < 0.2 else (first, min(weeks - 1, first + chance.randrange(4)))
    misfits = tuple(None if chance.random() < 0.25 else chance.choice((0, 0, 0, 1, 2)) for _ in range(places))
    needs = chance.random() < 0.4
    copies = int(chance.random() < 0.25)
    partners, likes = _some(chance, count) if needs else frozenset(), _some(chance, places)
    return Choice(span, misfits, needs, partners, copies, chance.randrange(4), likes)


def _some(chance: Random, count: int) -> frozenset[int]:
    return frozenset(number for number in range(count) if chance.random() < 0.3)


def assignments(task: Choosing) -> Iterator[tuple[tuple[int, int], ...]]:
    """Every assignment that may be, pins and all."""
    yield from _from(task, 0, ())


def _from(task: Choosing, number: int, held: tuple[tuple[int, int], ...]) -> Iterator[tuple[tuple[int, int], ...]]:
    if number == len(task.choices):
        yield held
        return
    pinned = dict(task.pins)
    for_others = {place for choice, place in task.pins if choice != number}
    if number not in pinned:
        yield from _from(task, number + 1, held)
    if len(held) == task.most:
        return
    taken = {place for _, place in held}
    for place, tree in enumerate(task.trees):
        may = pinned[number] == place if number in pinned else task.choices[number].misfits[place] is not None
        on_tree = sum(task.trees[other] == tree for other in taken)
        if may and place not in taken and place not in for_others and on_tree < task.room[tree]:
            yield from _from(task, number + 1, (*held, (number, place)))


def best_by_trying_all(task: Choosing) -> Worth:
    """The least worth of all assignments."""
    return min(worth_of(task, pairs) for pairs in assignments(task))


def large_choosing(
    seed: int, choices: int = 80, places: int = 60, most: int = 60, room: int = 10, weeks: int = 27
) -> Choosing:
    """An invented orchard of six trees of three species: places high or low, varieties strong or weak."""
    chance = Random(seed)
    trees = tuple(place * 6 // places for place in range(places))
    species_of_tree = (0, 0, 0, 1, 1, 2)
    high = [chance.random() < 0.5 for _ in range(places)]
    beside = [chance.choice((-1, 0, 0, 1)) for _ in range(places)]
    made = []
    for number in range(choices):
        species = chance.choice((0, 0, 0, 1, 1, 2))
        first = min(weeks - 1, int(chance.triangular(0, weeks, weeks * 0.6)))
        span = None if chance.random() < 0.25 else (first, min(weeks - 1, first + chance.randint(1, 3)))
        vigour = chance.choice((-1, 0, 0, 1))
        home = chance.randrange(6) if chance.random() < 0.25 else None
        misfits = tuple(
            None
            if species_of_tree[tree] != species or tree == home
            else int(vigour == 1 and high[place])
            + int(vigour == -1 and not high[place])
            + int(vigour * beside[place] < 0)
            for place, tree in enumerate(trees)
        )
        needs = chance.random() < 0.3
        partners = frozenset(other for other in range(choices) if chance.random() < 0.05) - {number}
        copies = int(home is not None)
        likes = frozenset(place for place in range(places) if vigour * (1 if high[place] else -1) < 0)
        own = partners if needs else frozenset()
        made.append(Choice(span, misfits, needs, own, copies, chance.randrange(4), likes))
    covered = frozenset(week for week in range(weeks) if 9 <= week < 15 or chance.random() < 0.2)
    waiting = tuple(frozenset(n for n in range(choices) if chance.random() < 0.05) for _ in range(2))
    return Choosing(weeks, covered, tuple(made), trees, (room,) * 6, most, waiting)
