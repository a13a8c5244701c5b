"""The search for a place for every piece, where the cuts alone and the first way do not find it."""

from __future__ import annotations

from fitting import TODAY, day, hours, plan_of, task, task_of, unit

from tendwork.planning.fit import fit_week
from tendwork.planning.fit_board import Board
from tendwork.planning.fit_cuts import Cuts
from tendwork.planning.fit_pieces import Piece, Wishes, pieces_of
from tendwork.planning.fit_search import Budget, demand_of, place_all
from tendwork.planning.results import Task

Pieces = tuple[Piece, ...]


def pieces(number: int, held: Task) -> Pieces:
    return pieces_of(number, held, TODAY, Wishes(), {})


def board(*minutes: int) -> Board:
    seconds = [60 * held for held in (*minutes, *([0] * (7 - len(minutes))))]
    return Board(seconds, seconds)


def placed(empty: Board, *tasks: Pieces, steps: int = 1000) -> list[tuple[tuple[int, int], ...]] | None:
    """The spreads of all pieces in this order of search."""
    asked = [(held, demand) for held in tasks if (demand := demand_of(empty, held)) is not None]
    found = place_all(empty, Cuts(empty.free, empty.light), asked, Budget(steps))
    return None if found is None else [spread for _, spread in found]


def test_the_least_that_a_task_takes_counts_every_visit_that_it_cannot_do_without() -> None:
    demand = demand_of(board(25, 25, 10), pieces(0, task("a", units=4, each=10, setup=5)))
    assert demand is not None
    assert (demand.seconds, demand.setup_seconds) == (50 * 60, 10 * 60)


def test_a_task_that_no_week_of_these_hours_can_hold_has_no_demand() -> None:
    assert demand_of(board(25, 14), pieces(0, task("a", units=3, each=10, setup=5))) is None


def test_a_placing_that_leaves_no_time_for_what_has_only_that_day_is_turned_back_at_once() -> None:
    # Thirteen that would like Tuesday but may be done on Monday, then thirteen that have Tuesday only.
    free = [pieces(number, task(str(number), closes=1, best=1, each=10)) for number in range(13)]
    bound = [pieces(number, task(str(number), closes=2, each=10, unsuited=(0, 2))) for number in range(13, 26)]
    found = placed(board(130, 130), *free, *bound, steps=60)
    assert found == [((0, 1),)] * 13 + [((1, 1),)] * 13


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
    assert placed(board(10, 15), other, shared) == [((0, 1),), ((1, 1),), ((1, 1),)]


def test_the_board_is_as_it_was_if_there_is_no_place_for_all() -> None:
    empty = board(30, 10)
    assert placed(empty, pieces(0, task("a", each=20)), pieces(1, task("b", each=20))) is None
    assert (empty.free, empty.light) == (board(30, 10).free, board(30, 10).light)


def test_a_spent_budget_ends_the_search() -> None:
    budget = Budget(3)
    empty = board(100)
    tasks = [(held, demand_of(empty, held)) for held in (pieces(n, task(str(n), each=10)) for n in range(5))]
    found = place_all(empty, Cuts(empty.free, empty.light), tasks, budget)  # type: ignore[arg-type]
    assert (found, budget.spent) == (None, True)
