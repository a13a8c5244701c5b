"""The question of what to graft where, in numbers: choices, places, what binds them, and what an answer comes to."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from tendwork.planning.season_cover import Span, bare_weeks, longest_run

MOST_MISFIT, MOST_WOOD = 7, 7


class Choice(Struct, frozen=True):
    """One variety that may be grafted once.

    `span` are the first and last week in which it is ripe, None where that is not known. `misfits` are, for every
    place, how ill it suits it (0 to MOST_MISFIT), None where it cannot stand. `partners` are the choices that would be
    its partner in bloom, where it `needs` one that it has not got yet. `copies` is 1 where it is a second one of a
    variety that should not be lost, `wood` how far away its wood is (0 is in hand, to MOST_WOOD). `likes` are the
    places that suit it well.
    """

    span: Span | None
    misfits: tuple[int | None, ...]
    needs: bool = False
    partners: frozenset[int] = frozenset()
    copies: int = 0
    wood: int = 0
    likes: frozenset[int] = frozenset()


class Choosing(Struct, frozen=True):
    """What is to be decided: `trees` has for every place the number of its tree, `room` how many each tree takes.

    `weeks` is the length of the season, `covered` the weeks in which there is fruit already. `waiting` are, for each
    variety that is here without a partner in bloom, the choices that would be one. `pins` are (choice, place) that must
    be so; one may be so even where the choice suits the place ill or not at all.
    """

    weeks: int
    covered: frozenset[int]
    choices: tuple[Choice, ...]
    trees: tuple[int, ...]
    room: tuple[int, ...]
    most: int
    waiting: tuple[frozenset[int], ...] = ()
    pins: tuple[tuple[int, int], ...] = ()


class Worth(Struct, frozen=True, order=True):
    """What a choice comes to, the aims in their order: the less, the better.

    Weeks without fruit, the longest run of them, varieties known to lack a partner, misfits of place, the varieties
    kept twice and the places filled (both negative), how far away the wood is, summed, and (negative) the varieties
    whose place suits them well.
    """

    bare: int
    longest: int
    lacking: int
    misfit: int
    copies: int
    placed: int
    wood: int
    liked: int = 0


class NoRoom(ValueError):
    """What is pinned does not go together: two for one place, or more than a tree or the whole may take."""


def worth_of(task: Choosing, pairs: Iterable[tuple[int, int]]) -> Worth:
    """What these pairs come to, whether they may be so or not."""
    held = tuple(pairs)
    chosen = {choice for choice, _ in held}
    bare = bare_weeks(task.weeks, task.covered, (task.choices[choice].span for choice in chosen))
    lacking = sum(task.choices[choice].needs and not task.choices[choice].partners & chosen for choice in chosen) + sum(
        not partners & chosen for partners in task.waiting
    )
    misfit = sum(_pinned_misfit(task.choices[choice].misfits[place]) for choice, place in held)
    return Worth(
        len(bare),
        longest_run(bare),
        lacking,
        misfit,
        -sum(task.choices[choice].copies for choice in chosen),
        -len(held),
        sum(task.choices[choice].wood for choice in chosen),
        -sum(place in task.choices[choice].likes for choice, place in held),
    )


def _pinned_misfit(misfit: int | None) -> int:
    return MOST_MISFIT if misfit is None else misfit


def with_pins(task: Choosing) -> tuple[tuple[int | None, ...], ...]:
    """The misfits of every choice, where what is pinned may stand at its place alone, and nothing else there."""
    place_of, taken = dict(task.pins), {place for _, place in task.pins}
    return tuple(
        tuple(
            _pinned_misfit(misfit)
            if place_of.get(number) == place
            else None
            if number in place_of or place in taken
            else misfit
            for place, misfit in enumerate(choice.misfits)
        )
        for number, choice in enumerate(task.choices)
    )
