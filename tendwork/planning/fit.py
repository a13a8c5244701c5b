"""The week that fits: what to do on which day, what comes short, and what would do.

Pressing work, whose time ends this week, is placed first (fit_pressing). Time that is left goes to late and open work
near its best day, and to work that is best later only as far as the week after is too full. Then like work is gathered
(fit_fill). Times are whole seconds inside, so that sums are exact.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, timedelta
from itertools import groupby

from msgspec.structs import replace

from tendwork.planning.fit_ahead import TOO_FULL, pressed_ahead
from tendwork.planning.fit_board import Board
from tendwork.planning.fit_days import WEEK_DAYS, week_days
from tendwork.planning.fit_fill import Filling
from tendwork.planning.fit_pieces import Piece, Wishes, pieces_of, with_one_kit
from tendwork.planning.fit_pressing import placed_in_time, worth_of
from tendwork.planning.fit_short import explained
from tendwork.planning.repeats import lines_of
from tendwork.planning.results import DayHours, FittedDay, FittedWeek, Plan, Task
from tendwork.planning.sight import in_sight
from tendwork.planning.states import TO_DO
from tendwork.planning.visits import Visit, is_walk, visits_of
from tendwork.planning.vocabulary import GRAVE, stake_rank

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
    plan = replace(plan, tasks=tuple(_wished(task, wishes, plan.today) for task in lines_of(plan)))
    sight = [in_sight(task, plan.today) for task in plan.tasks]
    beyond = [task for task, seen in zip(plan.tasks, sight, strict=True) if task.state == "coming" and not seen]
    days = days or plan.days or week_days(plan.today)
    spent = _spent_today(plan)
    free = [round(day.minutes * _SECONDS) for day in days]
    light = [round(day.ladder_minutes * _SECONDS) for day in days]
    free[0] = max(0, free[0] - spent)
    had = kept or {}
    pieces_by_task = {
        number: pieces_of(number, task, plan.today, wishes, had.get(task.key, {}))
        for number, task in enumerate(plan.tasks)
        if not task.behind
    }
    seen = (task for task, is_seen in zip(plan.tasks, sight, strict=True) if is_seen)
    _join_visits(pieces_by_task, plan.tasks, visits_of(seen, plan.today))
    week_seconds = sum(day.minutes for day in days) * _SECONDS
    all_pieces = [piece for held in pieces_by_task.values() for piece in held]
    pieces = pressed_ahead(all_pieces, beyond, plan.today, days)
    pressing = _by_task(piece for piece in pieces if piece.pressing)
    in_time = placed_in_time(lambda: Board(free, light), pressing)
    if any(pressing[number][0].stake in GRAVE for number in in_time.short):
        pressing = _unit_by_unit(pressing, in_time.short)
        in_time = placed_in_time(lambda: Board(free, light), pressing)
    filling = Filling(in_time.board)
    short = sorted((piece for number in in_time.short for piece in pressing[number]), key=_shortest_first)
    spare = sorted((piece for piece in pieces if not piece.pressing), key=_due_first)
    _fill(filling, short, spare, beyond, plan.today, week_seconds)
    placed: dict[int, list[Piece]] = {}
    for piece in sorted(filling.board.placed, key=lambda piece: piece.task):
        placed.setdefault(piece.task, []).append(piece)
    set_up: set[tuple[int, int]] = set()
    pressing_pieces = {held[0].task: held for held in _by_task(piece for held in pressing for piece in held)}
    last_chance = [held for held in pressing_pieces.values() if not all(piece.ahead for piece in held)]
    worst_first = sorted(last_chance, key=worth_of, reverse=True)
    short_of_time = explained(filling.board, worst_first, filling.left_in_time, plan.tasks, plan.today)
    return FittedWeek(
        tasks=tuple(
            _ranked(_dated(task, placed.get(number, ()), plan.today, filling, set_up), pressing_pieces.get(number, ()))
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


def _join_visits(pieces: dict[int, tuple[Piece, ...]], tasks: Sequence[Task], visits: Iterable[Visit]) -> None:
    """Let the pieces of jobs that one visit does share its kit."""
    number_of = {task.key: number for number, task in enumerate(tasks)}
    for visit in visits:
        members = [number_of[part.key] for part in visit.parts if pieces.get(number_of[part.key])]
        if len(members) < 2:
            continue
        joined = with_one_kit([piece for number in members for piece in pieces[number]], members[0], visit.is_walk)
        for number in members:
            pieces[number] = tuple(piece for piece in joined if piece.task == number)


def _by_task(pieces: Iterable[Piece]) -> list[tuple[Piece, ...]]:
    return [tuple(group) for _, group in groupby(pieces, key=lambda piece: piece.task)]


def _unit_by_unit(tasks: Iterable[tuple[Piece, ...]], short: Collection[int]) -> list[tuple[Piece, ...]]:
    """These tasks, the short ones unit by unit where a tree or a graft is at stake: each that is saved counts."""
    found: list[tuple[Piece, ...]] = []
    for number, pieces in enumerate(tasks):
        if number not in short or pieces[0].stake not in GRAVE:
            found.append(pieces)
            continue
        found += [
            (replace(piece, units=(unit,), kept=(day,), count=1, shared=True),)
            for piece in pieces
            for unit, day in zip(piece.units, piece.kept, strict=True)
        ]
    return found


def _spent_today(plan: Plan) -> int:
    """The seconds that the units ticked today took: as the person noted, with setting up, else as such a job takes.

    A visit's kit is set up once.
    """
    spent = 0
    set_up: dict[tuple[str, str, int], int] = {}
    for task in plan.tasks:
        done = [unit for unit in task.units if unit.state == "done" and unit.done_on == plan.today]
        noted = [unit.minutes_noted for unit in done if unit.minutes_noted is not None]
        count = len(done) - len(noted)
        spent += round(sum(noted) * _SECONDS)
        if count:
            kit = (task.visit, "" if is_walk(task.visit) else task.subject, 0)
            visit = kit if task.visit else (task.template, task.subject, task.season)
            set_up[visit] = max(set_up.get(visit, 0), round(task.setup_minutes * _SECONDS))
            spent += count * round(task.minutes_each * _SECONDS)
    return spent + sum(set_up.values())


def _wished(task: Task, wishes: Wishes, today: date) -> Task:
    """The task with the later day for which it is left, as long as it is to do."""
    day = wishes.put_off(task.key, today) if task.state in TO_DO else None
    return task if day is None else replace(task, put_off=day)


def _ranked(task: Task, pressing: Sequence[Piece]) -> Task:
    """The task with what its place hangs on beside its state: whether it is pressed, can wait, or has no time."""
    if task.put_off is not None or task.state not in ("late", "closing", "open"):
        return task
    if task.state == "open" and pressing and (task.stake in GRAVE or pressing[0].ahead):
        is_ahead = all(piece.ahead for piece in pressing)
        because = (TOO_FULL, *task.because) if is_ahead else task.because
        return replace(task, pressed=True, no_time=not task.days, because=because)
    if task.days:
        return task
    return replace(task, no_time=True) if pressing and task.stake != "little" else replace(task, can_wait=True)


def _dated(task: Task, pieces: Sequence[Piece], today: date, filling: Filling, set_up: set[tuple[int, int]]) -> Task:
    """The task with the minutes of each day, and its units with their day.

    `set_up` are the visits, with their days, of which a task before this one has the minutes of setting up.
    """
    if not pieces:
        return task
    visit, setup = pieces[0].visit, pieces[0].setup_seconds
    seconds: dict[int, int] = {}
    for piece in pieces:
        for step, count in filling.board.spread_of(piece):
            seconds[step] = seconds.get(step, 0) + count * piece.seconds_each
    fresh = {step for step in seconds if (visit, step) not in set_up}
    set_up |= {(visit, step) for step in fresh}
    days = tuple(
        (today + timedelta(days=step), (work + (setup if step in fresh else 0)) / _SECONDS)
        for step, work in sorted(seconds.items())
    )
    planned = {unit: today + timedelta(days=step) for piece in pieces for unit, step in filling.days_of_units(piece)}
    units = tuple(replace(unit, planned=planned[unit.id]) if unit.id in planned else unit for unit in task.units)
    return replace(task, days=days, units=units)
