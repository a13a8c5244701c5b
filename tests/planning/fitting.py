"""Weeks of invented work for the tests of the fit, and a slow second way to find what is short."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from itertools import product

from hypothesis import strategies as st
from msgspec.structs import replace

from tendwork.planning.results import DayHours, Plan, Task, Unit, Window
from tendwork.planning.vocabulary import Stake

TODAY = date(2026, 5, 4)  # a Monday
LAST = TODAY + timedelta(days=6)


def day(step: int) -> date:
    return TODAY + timedelta(days=step)


def hours(*minutes: float, ladder: Sequence[float] | None = None) -> tuple[DayHours, ...]:
    """Seven days; those not given have no time."""
    held = [*minutes, *([0] * (7 - len(minutes)))]
    light = held if ladder is None else [*ladder, *([0] * (7 - len(ladder)))]
    return tuple(DayHours(day(step), whole, lit) for step, (whole, lit) in enumerate(zip(held, light, strict=True)))


def unit(identity: str, opens: int, closes: int, lapses: int, best: int | None, above: bool, state: str = "") -> Unit:
    window = Window(day(opens), day(opens if best is None else best), day(closes), day(max(lapses, closes)))
    known = state or ("coming" if opens > 0 else "late" if closes < 0 else "open")
    return Unit(identity, identity, known, window, above_reach=above)


def task(
    name: str,
    *,
    opens: int = 0,
    closes: int = 6,
    lapses: int = -99,
    best: int | None = None,
    units: int = 1,
    each: float = 10,
    setup: float = 0,
    ladders: int = 0,
    unsuited: Sequence[int] = (),
    subject: str = "",
    tools: tuple[str, ...] = (),
    state: str = "",
    stake: Stake | None = None,
) -> Task:
    """A task whose first `ladders` units are above reach; days count from today."""
    made = tuple(
        unit(f"{name}{number}", opens, closes, lapses, best, number < ladders, state) for number in range(units)
    )
    return replace(task_of(name, made, each, setup, unsuited, subject, tools), stake=stake)


def task_of(
    name: str,
    units: tuple[Unit, ...],
    each: float,
    setup: float,
    unsuited: Sequence[int] = (),
    subject: str = "",
    tools: tuple[str, ...] = (),
) -> Task:
    return Task(
        key=f"{name}/t/2026",
        template=name,
        title=name,
        part="upkeep",
        each="tree",
        subject=subject or name,
        place="",
        window=units[0].window,
        state=units[0].state,
        minutes=setup + each * len(units),
        units=units,
        cautions=(),
        tools=tools,
        steps=(),
        outcomes=("done",),
        because=(),
        source="invented for the test",
        setup_minutes=setup,
        minutes_each=each,
        unsuited=tuple(day(step) for step in unsuited),
    )


def plan_of(*tasks: Task, days: tuple[DayHours, ...] = ()) -> Plan:
    return Plan(TODAY, 2026, tasks, days)


@st.composite
def units_of_work(draw: st.DrawFn, name: str, most_days: int) -> tuple[Unit, ...]:
    found = []
    for number in range(draw(st.integers(1, 3))):
        if number == 0 or draw(st.integers(0, 3)) == 0:
            opens = draw(st.integers(-3, most_days - 1))
            closes = draw(st.integers(max(opens, -2), most_days + 1))
            lapses = draw(st.integers(max(closes, 0), most_days + 3))
            best = draw(st.integers(opens, closes))
        found.append(unit(f"{name}{number}", opens, closes, lapses, best, draw(st.integers(0, 3)) == 0))
    return tuple(found)


@st.composite
def weeks(draw: st.DrawFn, most_tasks: int = 4, most_days: int = 4, least_each: float = 0) -> Plan:
    """A small plan with its hours: efforts and minutes small enough that fits are often tight."""
    tasks = []
    for number in range(draw(st.integers(1, most_tasks))):
        name = f"{number}"
        units = draw(units_of_work(name, most_days))
        each, setup = max(least_each, draw(st.sampled_from((0, 1, 2, 3, 4.5, 5)))), draw(st.sampled_from((0, 0, 1, 2)))
        barred = [step for step in range(most_days) if draw(st.integers(0, 4)) == 0]
        subject, tools = draw(st.sampled_from(("t1", "t2"))), draw(st.sampled_from(((), ("saw",))))
        tasks.append(task_of(name, units, each, setup, barred, subject, tools))
    minutes = [draw(st.integers(0, 12)) for _ in range(most_days)]
    light = [draw(st.one_of(st.just(whole), st.integers(0, whole))) for whole in minutes]
    return plan_of(*tasks, days=hours(*minutes, ladder=light))


def pressing_units(task: Task) -> list[tuple[frozenset[date], bool]]:
    """The days in time and whether it is ladder work, of each unit whose time ends within the week."""
    found = []
    for held in task.units:
        window = held.window
        by = window.lapses if window.closes < TODAY else window.closes
        if window.opens <= LAST and by <= LAST:
            first = max(window.opens, TODAY)
            span = (first + timedelta(days=step) for step in range((by - first).days + 1))
            found.append((frozenset(when for when in span if when not in task.unsuited), held.above_reach))
    return found


def fewest_late(plan: Plan) -> int:
    """The smallest number of tasks with pressing units that cannot all be in time, by trying every placing."""
    tasks = [(task, pressing) for task in plan.tasks if (pressing := pressing_units(task))]
    whole = {held.day: held.minutes for held in plan.days}
    light = {held.day: held.ladder_minutes for held in plan.days}

    def late_from(number: int, used: dict[date, float], ladder: dict[date, float], limit: int) -> int:
        if number == len(tasks):
            return 0
        task, pressing = tasks[number]
        best = limit
        for used_after, ladder_after in _placings(task, pressing, used, ladder):
            best = min(best, late_from(number + 1, used_after, ladder_after, best))
            if best == 0:
                return 0
        return best if best <= 1 else min(best, 1 + late_from(number + 1, used, ladder, best - 1))

    def _placings(
        task: Task, pressing: list[tuple[frozenset[date], bool]], used: dict[date, float], ladder: dict[date, float]
    ) -> Iterator[tuple[dict[date, float], dict[date, float]]]:
        seen = set()
        for choice in product(*(sorted(days) for days, _ in pressing)):
            used_after, ladder_after = dict(used), dict(ladder)
            for when in set(choice):
                used_after[when] = used_after.get(when, 0) + task.setup_minutes
            for when, (_, above) in zip(choice, pressing, strict=True):
                used_after[when] += task.minutes_each
                if above:
                    ladder_after[when] = ladder_after.get(when, 0) + task.minutes_each
            state = (tuple(sorted(used_after.items())), tuple(sorted(ladder_after.items())))
            if state in seen or any(used_after[when] > whole[when] for when in choice):
                continue
            if any(ladder_after.get(when, 0) > light[when] for when in choice):
                continue
            seen.add(state)
            yield used_after, ladder_after

    return late_from(0, {}, {}, len(tasks))
