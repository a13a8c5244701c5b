"""The state of the screens, made from the workbench: at once from what is kept, and whole once it is reckoned."""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from tendwork.dashboard.state import State
from tendwork.kept import Reckoned
from tendwork.workbench import Workbench


def first_state(bench: Workbench, today: date) -> State:
    """What can be shown before the almanac has run: the last plan, or only the day and the place."""
    last = bench.last_glance()
    begun = State(
        today, bench.site_name, bench.place_words, bench.site.units, records=bench.records, south=bench.site.south
    )
    if last is None:
        return begun
    changed = last.changed if last.day == today else None
    return replace(begun, plan_day=last.day, jobs=last.week.tasks, stages=last.stages, changed=changed)


def made_state(bench: Workbench, today: date) -> State:
    """What the almanac and the planner say for `today`. May take seconds.

    Raises PersonError.
    """
    made = bench.glance(today)
    return State(
        today,
        bench.site_name,
        bench.place_words,
        bench.site.units,
        made=True,
        plan_day=today,
        plan=made.plan if isinstance(made, Reckoned) else None,
        week=made.week,
        jobs=made.week.tasks,
        stages=made.stages,
        frost=made.frost,
        words=made.words,
        cards=made.cards,
        records=bench.records,
        south=bench.site.south,
        check_wood_every_days=made.check_wood_every_days,
        changed=made.changed,
        forecast_to=made.forecast_to,
    )
