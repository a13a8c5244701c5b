"""Invented jobs for the tests of sheet, calendar and labels, with nothing in them but what a test names."""

from __future__ import annotations

from datetime import date, timedelta

from invented_jobs import TODAY, task_with, window

from tendwork.planning.results import Plan, Task, Unit
from tendwork.planning.vocabulary import Card

CARDS = {
    name: Card(id=name, title=title, line=line, points=(), defer="The label decides.", source="invented for the tests")
    for name, title, line in (
        ("ladder", "Ladders", "Ladder work: firm feet, three points of contact, never on the last two steps."),
        ("knife", "Knives and cleft tools", "Keep all of you out of the path of the blade, also where it may slip to."),
        ("saw", "Saws, loppers and shears", "Choose the tool by the thickness, and keep the free hand off the cut."),
        ("ticks", "Ticks", "In long grass cover your legs, and look over your whole skin afterwards."),
    )
}


def day(offset: int) -> date:
    """The day so many days after TODAY."""
    return TODAY + timedelta(days=offset)


def unit(name: str, state: str = "open", **more: object) -> Unit:
    values = {"id": name, "label": f"Variety {name}", "state": state, "window": window()}
    return Unit(**(values | more))  # type: ignore[arg-type]


def task(name: str, state: str = "open", **more: object) -> Task:
    """A job called `name` on the tree t1, with one unit in the job's own state."""
    units = more.pop("units", (unit("t1", state),))
    return task_with(name, state, more.pop("each", "tree"), units, **more)  # type: ignore[arg-type]


def plan(*tasks: Task, today: date = TODAY) -> Plan:
    return Plan(today, 2026, tasks)


def busy_week(jobs: int = 25) -> tuple[Task, ...]:
    """A heavy week: so many jobs over five days, every third on four grafts high in the crown."""
    tasks = []
    for number in range(jobs):
        tree = f"t{number % 5 + 1}"
        grafts = tuple(
            unit(f"g{number}{at}", label=f"Candlemas Keeper {at}", place="2.5 m up, 1.8 m out, facing 195°",
                 above_reach=at % 2 == 0, planned=day(number % 5))
            for at in range(4 if number % 3 == 0 else 1)
        )  # fmt: skip
        tasks.append(
            task(
                f"look-under-wraps-{number}",
                key=f"look-under-wraps-{number}/{tree}/2026",
                title="Look under wraps that do not stretch",
                subject=tree,
                place=f"Old Hallow {tree}, below the spring",
                units=grafts,
                cautions=("ladder", "knife", "saw", "ticks")[: number % 5],
                tools=("utility blade", "small snips", "soft ties"),
                outcomes=("all well", "slit it", "not yet"),
                weather_words="a dry day, 10 to 30 °C" if number % 4 == 0 else "",
                days=((day(number % 5), 20.0),),
            )
        )
    return tuple(tasks)
