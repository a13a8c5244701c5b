"""The week that fits: what to do on which day, what comes short, and what would do.

Pressing work, whose time ends this week, is placed first (fit_pressing). Time that is left goes to late and open work
near its best day, and to work that is best later only as far as the week after is too full. Then like work is gathered
(fit_fill). Times are whole seconds inside, so that sums are exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby

from msgspec.structs import replace

from tendwork.planning.fit_board import Board
from tendwork.planning.fit_days import WEEK_DAYS, week_days
from tendwork.planning.fit_fill import Filling
from tendwork.planning.fit_pieces import Piece, Wishes, pieces_of
from tendwork.planning.fit_pressing import placed_in_time, worth_of
from tendwork.planning.fit_short import explained
from tendwork.planning.repeats import lines_of
from tendwork.planning.results import DayHours, FittedDay, FittedWeek, Plan, Task
from tendwork.planning.sight import in_sight
from tendwork.planning.states import TO_DO
from tendwork.planning.vocabulary import stake_rank

Placing = Mapping[str, Mapping[str, date]]  # task key, unit id, day

_SECONDS = 60
_NO_WISHES = Wishes()


def placing_of(tasks: Iterable[Task]) -> Placing:
    """The placing that fitted tasks carry, to be kept by the next fit."""
    return {
        task.key: {unit.id: unit.planned for unit in task.units if unit.planned is not None}
        for task in tasks
        if task.days
    }


def fit_week(
    plan: Plan,
    days: Sequence[DayHours] | None = None,
    kept: Placing | None = None,
    wishes: Wishes = _NO_WISHES,
) -> FittedWeek:
    """Fit the plan into the seven `days` from its own day on; without them into the plan's own.

    `kept` is an earlier placing, whose days are kept wherever nothing speaks against them.
    """
    plan = replace(plan, tasks=lines_of(plan))
    sight = [in_sight(task, plan.today) for task in plan.tasks]
    beyond = [task for task, seen in zip(plan.tasks, sight, strict=True) if task.state == "coming" and not seen]
    days = days or plan.days or week_days(plan.today)
    spent = _spent_today(plan)
    free = [round(day.minutes * _SECONDS) for day in days]
    light = [round(day.ladder_minutes * _SECONDS) for day in days]
    free[0] = max(0, free[0] - spent)
    had = kept or {}
    pieces = [
        piece
        for number, task in enumerate(plan.tasks)
        if not task.behind
        for piece in pieces_of(number, task, plan.today, wishes, had.get(task.key, {}))
    ]
    pressing = _by_task(piece for piece in pieces if piece.pressing)
    in_time = placed_in_time(lambda: Board(free, light), pressing)
    filling = Filling(in_time.board)
    short = sorted((piece for number in in_time.short for piece in pressing[number]), key=_shortest_first)
    spare = sorted((piece for piece in pieces if not piece.pressing), key=_due_first)
    _fill(filling, short, spare, beyond, plan.today, sum(day.minutes for day in days) * _SECONDS)
    placed: dict[int, list[Piece]] = {}
    for piece in filling.board.placed:
        placed.setdefault(piece.task, []).append(piece)
    worst_first = sorted(pressing, key=worth_of, reverse=True)
    short_of_time = explained(filling.board, worst_first, filling.left_in_time, plan.tasks, plan.today)
    return FittedWeek(
        tasks=tuple(
            _wished(_dated(task, placed.get(number, ()), plan.today, filling), wishes, plan.today)
            for number, task in enumerate(plan.tasks)
            if sight[number]
        ),
        days=tuple(
            FittedDay(day.day, day.minutes, (whole - left) / _SECONDS, spent / _SECONDS if day is days[0] else 0.0)
            for day, whole, left in zip(days, free, filling.board.free, strict=True)
        ),
        short=short_of_time,
        following=min(beyond, key=lambda task: (task.window.opens, task.window.closes, task.key), default=None),
    )


def _fill(
    filling: Filling, short: list[Piece], spare: list[Piece], beyond: list[Task], today: date, week_seconds: float
) -> None:
    """Give the time that is left to what comes short, then to what is due, then to what the week after cannot hold."""
    now = [*short, *(piece for piece in spare if not piece.later)]
    later = [piece for piece in spare if piece.later]
    for piece in (*now, *later):
        filling.keep(piece)
    filling.place_all(now)
    overflow = _next_week_seconds(beyond, today, filling, spare) - week_seconds
    for piece in later:
        if overflow <= 0 or piece.by > _end_of_next_week(today):
            break
        now.append(piece)
        overflow -= filling.place(piece) * piece.seconds_each
    filling.gather()
    filling.place_all(now)


def _next_week_seconds(beyond: Iterable[Task], today: date, filling: Filling, spare: Iterable[Piece]) -> float:
    """The time that the week after must give: what is left of this week's work, and what opens then, ending then."""
    end = _end_of_next_week(today)
    left = [(piece, units) for piece in spare if piece.by <= end and (units := filling.left_of(piece))]
    coming = (task.minutes * _SECONDS for task in beyond if task.window.closes <= end)
    return sum(units * piece.seconds_each + piece.setup_seconds for piece, units in left) + sum(coming)


def _end_of_next_week(today: date) -> date:
    return today + timedelta(days=2 * WEEK_DAYS - 1)


def _due_first(piece: Piece) -> tuple[bool, bool, int, date, int]:
    return piece.later, not piece.is_late, stake_rank(piece.stake) if piece.is_late else 0, piece.by, piece.task


def _shortest_first(piece: Piece) -> tuple[int, int, int]:
    """The most at stake first, of it what takes the least time."""
    return stake_rank(piece.stake), piece.count * piece.seconds_each + piece.setup_seconds, piece.task


def _by_task(pieces: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    return [tuple(group) for _, group in groupby(pieces, key=lambda piece: piece.task)]


def _spent_today(plan: Plan) -> int:
    """The seconds that the units ticked today took: as the person noted, with setting up, else as such a job takes.

    A kit is set up once for all rounds.
    """
    spent = 0
    set_up: dict[tuple[str, str, int], int] = {}
    for task in plan.tasks:
        done = [unit for unit in task.units if unit.state == "done" and unit.done_on == plan.today]
        noted = [unit.minutes_noted for unit in done if unit.minutes_noted is not None]
        count = len(done) - len(noted)
        spent += round(sum(noted) * _SECONDS)
        if count:
            set_up[task.template, task.subject, task.season] = round(task.setup_minutes * _SECONDS)
            spent += count * round(task.minutes_each * _SECONDS)
    return spent + sum(set_up.values())


def _wished(task: Task, wishes: Wishes, today: date) -> Task:
    """The task with the later day for which it is left, as long as it is to do."""
    day = wishes.put_off(task.key, today) if task.state in TO_DO else None
    return task if day is None else replace(task, put_off=day)


def _dated(task: Task, pieces: Sequence[Piece], today: date, filling: Filling) -> Task:
    """The task with the minutes of each day, and its units with their day."""
    if not pieces:
        return task
    setup, each = pieces[0].setup_seconds, pieces[0].seconds_each
    days = tuple(
        (today + timedelta(days=step), (setup + units * each) / _SECONDS)
        for step, units in enumerate(filling.board.units[pieces[0].task])
        if units
    )
    planned = {unit: today + timedelta(days=step) for piece in pieces for unit, step in filling.days_of_units(piece)}
    units = tuple(replace(unit, planned=planned[unit.id]) if unit.id in planned else unit for unit in task.units)
    return replace(task, days=days, units=units)
