"""Seeded weeks like those of an orchard, rather fuller, and by a solver the fewest tasks that must come short."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from random import Random

from fitting import day, hours, plan_of, pressing_units, task_of, unit

from tendwork.planning.results import Plan, Task, Unit

_SECONDS = 60
_MOST_SOLVER_SECONDS = 20
# Minutes of one week from Monday on: after work and a long Saturday, weekends only, the same every day, some days.
_PROFILES = ((30, 30, 30, 30, 30, 240, 120), (0, 0, 0, 0, 0, 300, 240), (90,) * 7, (60, 0, 45, 0, 60, 180, 0))
# Setting up, minutes for each unit and the most units, as in the shipped templates.
_EFFORTS = (
    (3, 1.5, 20),
    (3, 2, 20),
    (3, 3, 12),
    (2, 0.5, 20),
    (0, 3, 12),
    (5, 3, 10),
    (5, 20, 4),
    (10, 6, 8),
    (10, 8, 8),
    (10, 14, 4),
    (10, 30, 3),
    (30, 0, 1),
    (45, 0, 1),
)
_KITS = ((), ("saw",), ("knife", "tape"), ("snips", "bleach mix"))


def random_week(number: int) -> Plan:
    """The week of that number: 5 to 60 tasks, of which those that press ask for half to one and a half of the hours."""
    draw = Random(f"week {number}")
    wet = [step for step in range(7) if draw.random() < 0.3]
    hot = [step for step in range(7) if draw.random() < 0.2]
    pressing_share = draw.uniform(0.2, 0.9)
    tasks = tuple(
        _task(draw, f"{place:02}", draw.random() < pressing_share, draw.choice(((), (), wet, hot)))
        for place in range(draw.randint(5, 60))
    )
    profile, turn = draw.choice(_PROFILES), draw.randrange(7)
    asked = sum(
        held.setup_minutes + held.minutes_each * len(units) for held in tasks if (units := pressing_units(held))
    )
    factor = asked / draw.uniform(0.5, 1.5) / sum(profile)
    minutes = [5 * round(factor * profile[(step + turn) % 7] / 5) for step in range(7)]
    dark, windy = draw.random() < 0.3, draw.randrange(14)
    light = [
        0 if step == windy or (dark and (step + turn) % 7 < 5) else held  # Monday to Friday are dark after work
        for step, held in enumerate(minutes)
    ]
    return plan_of(*tasks, days=hours(*minutes, ladder=light))


def _task(draw: Random, name: str, presses: bool, barred: Sequence[int]) -> Task:
    setup, each, most_units = draw.choice(_EFFORTS)
    units: list[Unit] = []
    high = draw.choice((0.0, 0.0, 0.5, 1.0))
    for number in range(draw.randint(1, most_units)):
        if not units or draw.random() < 0.1:
            if presses:
                closes = draw.randint(0, 6)
                opens = closes - draw.randint(0, 20)
                late = opens < -4 and draw.random() < 0.15
                opens, closes, lapses = (
                    (opens - 4, -2, closes) if late else (opens, closes, closes + draw.randint(0, 9))
                )
            else:
                opens = draw.randint(-20, 6)
                closes = draw.randint(max(opens, 7), 30)
                lapses = closes + draw.randint(0, 9)
            best = draw.randint(opens, closes)
        units.append(unit(f"{name}.{number}", opens, closes, lapses, best, draw.random() < high))
    subject, tools = f"t{draw.randrange(8)}", draw.choice(_KITS)
    return task_of(name, tuple(units), each, setup, barred, subject, tools)


def fewest_short_by_solver(plan: Plan) -> int | None:
    """The smallest number of tasks with pressing units that cannot all be in time; None if it is not proven soon."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    used: list[list] = [[] for _ in plan.days]
    ladder: list[list] = [[] for _ in plan.days]
    whole = [round(held.minutes * _SECONDS) for held in plan.days]
    light = [round(held.ladder_minutes * _SECONDS) for held in plan.days]
    in_time = []
    for held in plan.tasks:
        pressing = Counter(pressing_units(held))
        if not pressing:
            continue
        setup, each = round(held.setup_minutes * _SECONDS), round(held.minutes_each * _SECONDS)
        done = model.new_bool_var("")
        in_time.append(done)
        visits = [model.new_bool_var("") for _ in plan.days]
        for step, visit in enumerate(visits):
            used[step].append(setup * visit)
        for (days, above), count in pressing.items():
            shares = []
            for step, visit in enumerate(visits):
                if day(step) not in days:
                    continue
                share = model.new_int_var(0, count, "")
                model.add(share <= count * visit)
                shares.append(share)
                used[step].append(each * share)
                if above:
                    ladder[step].append(each * share)
            model.add(sum(shares) == count * done)
    for step in range(len(plan.days)):
        model.add(sum(used[step]) <= whole[step])
        model.add(sum(ladder[step]) <= light[step])
    model.maximize(sum(in_time))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    solver.parameters.max_time_in_seconds = _MOST_SOLVER_SECONDS
    if solver.solve(model) != cp_model.OPTIMAL:
        return None
    return len(in_time) - round(solver.objective_value)
