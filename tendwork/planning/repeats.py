"""The rounds of a repeating job, each a task of its own, told of one another; those due together are one line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from msgspec.structs import replace

from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.results import Plan, Task, Unit, Window, each_once
from tendwork.planning.states import ACTIONABLE, FINISHED, HELD, TO_DO, pressing, task_state


def place_among_rounds(
    before: Sequence[Unit], units: Sequence[Unit], after: Sequence[Unit]
) -> tuple[date | None, bool]:
    """When the round after opens for those of these units that are to do, and whether they all wait for the one before.

    When a round opens depends on the day on which its units are ticked in the round before, so that such a round takes
    no day beside that one.
    """
    if not before and not after:
        return None, False
    mine = {unit.id: unit.state for unit in units if unit.state in TO_DO}
    if not mine:
        return None, False
    again = min((unit.window.opens for unit in after if unit.id in mine), default=None)
    if not before or any(state not in ("coming", HELD) for state in mine.values()):
        return again, False
    return again, mine.keys() <= {unit.id for unit in before if unit.state in TO_DO}


def is_kept_up(before: Iterable[Unit], units: Iterable[Unit], after: Sequence[Unit]) -> bool:
    """Whether a round may be missed once: another follows, and all its units were done in the round before."""
    done = {unit.id for unit in before if unit.state in FINISHED}
    return bool(after) and all(unit.id in done for unit in units if unit.state in TO_DO)


def first_and_window(about: Sequence[Unit]) -> tuple[Unit, Window]:
    """Of the units that a task is about the one that closes first, of equals the one that opens first, and the window
    of the task."""
    shared = about[0].window
    for unit in about:
        if unit.window is not shared:
            break
    else:
        return about[0], shared
    first = min(about, key=lambda unit: (unit.window.closes, unit.window.opens))
    window = Window(
        opens=min([unit.window.opens for unit in about]),
        best=first.window.best,
        closes=first.window.closes,
        lapses=max([unit.window.lapses for unit in about]),
        opens_low=first.window.opens_low,
        opens_high=first.window.opens_high,
        stays=first.window.stays,
    )
    return first, window


def window_of(about: Sequence[Unit]) -> Window:
    """The window of a task that is about these units."""
    return first_and_window(about)[1]


def minutes_of(about: Iterable[Unit], setup_minutes: float, minutes_each: float) -> float:
    """The minutes of a task that is about these units."""
    to_do = len([unit for unit in about if unit.state not in (*FINISHED, HELD)])
    return setup_minutes + minutes_each * to_do if to_do else 0.0


def lines_of(plan: Plan) -> tuple[Task, ...]:
    """The plan's tasks, in which the rounds of one job on one subject that are due in the coming week are one.

    Units that were ticked on different days are in different rounds, but it is one walk with one kit. The line has the
    key of the first of its rounds, every unit once, and a unit of another round knows that round's key. What is left of
    the other rounds waits behind it.
    """
    jobs: dict[tuple[str, str, int], list[Task]] = {}
    for task in plan.tasks:
        if task.rounds > 1:
            jobs.setdefault((task.template, task.subject, task.season), []).append(task)
    last = plan.today + timedelta(days=WEEK_DAYS - 1)
    changed: dict[str, Task | None] = {}
    for rounds in jobs.values():
        if len(rounds) > 1:
            changed |= _joined(sorted(rounds, key=lambda task: task.round), last)
    lines = (changed.get(task.key, task) for task in plan.tasks)
    return tuple(line for line in lines if line is not None)


def as_last_ticked(plan: Plan, line: Task) -> Task:
    """The line of several rounds with its units as each was ticked last; one round alone stays as it is."""
    if not any(unit.task for unit in line.units):
        return line
    units: dict[str, Unit] = {}
    job = (line.template, line.subject, line.season)
    for task in plan.tasks:
        if (task.template, task.subject, task.season) == job:
            for unit in task.units:
                before = units.get(unit.id)
                if unit.done_on and (before is None or before.done_on is None or before.done_on <= unit.done_on):
                    units[unit.id] = unit if task.key == line.key else replace(unit, task=task.key)
    return replace(line, units=tuple(units.values()) or line.units)


def _joined(rounds: list[Task], last: date) -> dict[str, Task | None]:
    """The line of these rounds and what is left of the others, by key; empty where none of them is due by `last`."""
    due = _first_due(rounds, last)
    members = [task for task in rounds if any(own is task for own, _ in due.values())]
    if not members:
        return {}
    state = task_state(tuple(unit for _, unit in due.values()))
    wanted = ACTIONABLE if state in ACTIONABLE else (state,)
    home = next(own for own in members if any(held is own and unit.state in wanted for held, unit in due.values()))
    chosen: dict[str, tuple[Task, Unit]] = {}
    for own in rounds[rounds.index(home) :]:
        for unit in own.units:
            if unit.id not in chosen or unit.state in FINISHED:  # of the rounds that were done the last one shows
                chosen[unit.id] = (own, unit)
    chosen |= due
    units = tuple(unit if own is home else replace(unit, task=own.key) for own, unit in chosen.values())
    left = {task.key: _left(task, chosen, last) for task in rounds if task is not home}
    return {home.key: _line(home, members, units), **left}


def _first_due(rounds: list[Task], last: date) -> dict[str, tuple[Task, Unit]]:
    """For each unit its first round to act on, else the first that opens by `last`."""
    found: dict[str, tuple[Task, Unit]] = {}
    for states in (ACTIONABLE, (HELD,), ("coming",)):
        for task in rounds:
            for unit in task.units:
                if unit.state in states and unit.window.opens <= last:
                    found.setdefault(unit.id, (task, unit))
    return found


def _line(home: Task, members: Sequence[Task], units: tuple[Unit, ...]) -> Task:
    """All that is due of these rounds as one task."""
    about = pressing(units)
    return replace(
        home,
        units=units,
        window=window_of(about),
        state=task_state(units),
        minutes=minutes_of(about, home.setup_minutes, home.minutes_each),
        cautions=each_once(caution for task in members for caution in task.cautions),
        not_now=tuple(dict.fromkeys(words for task in members for words in task.not_now)),
        mind=tuple(dict.fromkeys(words for task in members for words in task.mind)),
        again=min((task.again for task in members if task.again is not None), default=None),
        behind=False,
    )


def _left(task: Task, chosen: Mapping[str, tuple[Task, Unit]], last: date) -> Task | None:
    """A round without those of its units that the line has; the units that the line has of an earlier round wait.

    What opens after `last` is not asked for yet, so it does not bring those that wait into the week.
    """
    units = tuple(unit for unit in task.units if unit.id not in chosen or _waits_behind(unit, task, chosen[unit.id][0]))
    to_do = [unit for unit in units if unit.state in TO_DO]
    if not units:
        return None
    waits = [unit.id in chosen and chosen[unit.id][0].round < task.round for unit in to_do]
    behind = any(waits) and all(wait or unit.window.opens > last for wait, unit in zip(waits, to_do, strict=True))
    if units == task.units:
        return replace(task, behind=task.behind or behind)
    about = pressing(units)
    minutes = minutes_of(about, task.setup_minutes, task.minutes_each)
    state, window = task_state(units), window_of(about)
    return replace(task, units=units, window=window, state=state, minutes=minutes, behind=behind)


def _waits_behind(unit: Unit, task: Task, line: Task) -> bool:
    """Whether a unit that the line has of another round stands in this one too; one that is due stands in one alone."""
    return line is not task and unit.state not in ACTIONABLE
