"""A place in time for what is pressing: what is moved for it, what it is exchanged for, and what is left as it was."""

from __future__ import annotations

import pytest
from examples import examples
from fitting import TODAY, day, hours, plan_of, task, task_of, unit, weeks
from hypothesis import given

from tendwork.planning import fit_pressing
from tendwork.planning.fit import fit_week
from tendwork.planning.fit_board import Board
from tendwork.planning.fit_pieces import Piece, Wishes, pieces_of
from tendwork.planning.fit_pressing import Pressing, placed_in_time
from tendwork.planning.results import Plan, Task

Pieces = tuple[Piece, ...]


def pieces(number: int, held: Task) -> Pieces:
    return pieces_of(number, held, TODAY, Wishes(), {})


def board(*minutes: int) -> Board:
    seconds = [60 * held for held in (*minutes, *([0] * (7 - len(minutes))))]
    return Board(seconds, seconds)


def placed(empty: Board, *tasks: Pieces) -> tuple[set[int], list[tuple[tuple[int, int], ...]]]:
    """What comes short, and the days and units of every piece."""
    found = Pressing(empty, tasks)
    found.place_all()
    return found.short, [empty.spread_of(piece) for held in tasks for piece in held]


def test_what_has_other_days_makes_room_for_what_has_only_this_one() -> None:
    # Thirteen that would like Tuesday but may be done on Monday, then thirteen that have Tuesday only.
    free = [pieces(number, task(str(number), closes=1, best=1, each=10)) for number in range(13)]
    bound = [pieces(number, task(str(number), closes=2, each=10, unsuited=(0, 2))) for number in range(13, 26)]
    short, spreads = placed(board(130, 130), *free, *bound)
    assert (short, spreads) == (set(), [((0, 1),)] * 13 + [((1, 1),)] * 13)


def test_several_small_ones_make_room_for_a_long_one() -> None:
    small = [pieces(number, task(str(number), closes=1, best=0, each=10)) for number in range(3)]
    long = pieces(3, task("long", closes=2, units=1, each=30, unsuited=(1, 2)))
    assert placed(board(30, 30), *small, long) == (set(), [((1, 1),)] * 3 + [((0, 1),)])


def test_what_is_moved_may_itself_have_others_moved_for_it() -> None:
    # a on Monday can go to Tuesday only, b there to Wednesday only, and c has Monday only.
    a = pieces(0, task("a", closes=1, best=0, each=10))
    b = pieces(1, task("b", closes=2, best=1, each=10, unsuited=(0,)))
    c = pieces(2, task("c", closes=3, each=10, unsuited=(1, 2, 3)))
    assert placed(board(10, 10, 10), a, b, c) == (set(), [((1, 1),), ((2, 1),), ((0, 1),)])


def test_two_short_ones_are_in_time_instead_of_a_long_one() -> None:
    long = pieces(0, task("long", closes=0, each=30))
    short = [pieces(number, task(str(number), closes=1, each=15, unsuited=(1,))) for number in (1, 2)]
    assert placed(board(30), long, *short) == ({0}, [(), ((0, 1),), ((0, 1),)])


def test_what_is_worth_more_is_in_time_instead_of_two_that_are_worth_less(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fit_pressing, "worth_of", lambda held: 3 if held[0].subject == "dear" else 1)
    dear = pieces(0, task("dear", closes=1, each=20, unsuited=(1,)))
    cheap = [pieces(number, task(str(number), closes=0, each=20)) for number in (1, 2)]
    assert placed(board(20), dear, *cheap)[0] == {1, 2}


def test_units_are_shared_evenly_where_filling_the_first_day_leaves_no_room_for_others() -> None:
    long = task("long", closes=1, units=4, each=5)
    early, late = task("early", closes=3, each=5, unsuited=(1, 2)), task("late", closes=2, each=5, unsuited=(0,))
    week = fit_week(plan_of(long, early, late, days=hours(15, 15)))
    assert [held.days for held in week.tasks] == [
        ((day(0), 10), (day(1), 10)),
        ((day(0), 5),),
        ((day(1), 5),),
    ]


def test_the_same_time_left_is_not_the_same_if_the_task_has_set_up_on_another_day() -> None:
    other = pieces(0, task("other", closes=1, best=1, each=10))
    units = (unit("a0", 0, 1, 1, 0, False), unit("a1", 1, 2, 2, 1, False))
    shared = pieces(1, task_of("a", units, 5, 5))
    assert placed(board(10, 15), other, shared) == (set(), [((0, 1),), ((1, 1),), ((1, 1),)])


def test_the_board_is_as_it_was_if_there_is_no_place_for_one_more() -> None:
    first, second = pieces(0, task("a", closes=0, each=20)), pieces(1, task("b", each=20))
    empty = board(30, 10)
    assert placed(empty, first, second) == ({1}, [((0, 1),), ()])
    assert (empty.free, empty.light) == (board(10, 10).free, board(30, 10).light)
    assert empty.placed == {first[0]: [1, *[0] * 6]}


@examples(60)
@given(weeks(most_tasks=7, most_days=7))
def test_undoing_all_leaves_an_empty_board(plan: Plan) -> None:
    held = [found for number, one in enumerate(plan.tasks) if (found := pieces(number, one))]
    seconds = [round(60 * one.minutes) for one in plan.days]
    light = [round(60 * one.ladder_minutes) for one in plan.days]
    filled = placed_in_time(lambda: Board(seconds, light), held).board
    filled.undo(0)
    empty = Board(seconds, light)
    assert (filled.free, filled.light, filled.placed) == (empty.free, empty.light, {})
    every = [(piece, step) for found in held for piece in found for step in range(7)]
    assert [filled.cost(*one) for one in every] == [empty.cost(*one) for one in every]


def test_an_earlier_placing_is_kept_unless_moving_it_lets_more_be_in_time() -> None:
    def days(*minutes: int) -> dict[str, list[int]]:
        kept = {"a/t/2026": {"a0": day(1)}}
        week = fit_week(plan_of(a, b, days=hours(*minutes)), kept=kept)
        return {held.template: [(when - TODAY).days for when, _ in held.days] for held in week.tasks}

    a, b = task("a", closes=1, each=20), task("b", closes=2, each=20, unsuited=(0, 2))
    assert days(20, 40) == {"a": [1], "b": [1]}
    assert days(20, 20) == {"a": [0], "b": [1]}
    assert days(0, 20) == {"a": [1], "b": []}
