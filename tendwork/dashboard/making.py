"""The state of the screens, made from the workbench: at once from what is kept, and whole once it is made.

A plan of an earlier day says nothing of today, so it is shown only where today's cannot be made.
"""

from __future__ import annotations

from datetime import date

from msgspec.structs import replace

from tendwork.dashboard.state import State
from tendwork.view.words import site_place_words
from tendwork.workbench.bench import Workbench
from tendwork.workbench.plan_cache import PlannedDay, WeekSummary


def first_state(bench: Workbench, today: date) -> State:
    """What can be shown before the almanac has run: the last plan if it is today's, else only the day and the place."""
    last = bench.plan.last_summary()
    begun = State(
        today,
        bench.site.name,
        site_place_words(bench.site.latitude, bench.site.longitude, bench.site.elevation_m),
        bench.site.units,
        records=bench.records.read(),
        south=bench.site.south,
    )
    if last is None:
        return begun
    begun = replace(begun, last_day=last.day, stages=last.stages)
    return replace(_with_plan(begun, last), changed=last.changed, back=last.back) if last.day == today else begun


def left_with_last_plan(bench: Workbench, state: State, today: date) -> State:
    """What is shown where the plan of `today` cannot be made: the last one there is, which keeps its own day."""
    state, last = replace(state, today=today), bench.plan.last_summary()
    return state if state.plan_day is not None or last is None else _with_plan(state, last)


def _with_plan(state: State, last: WeekSummary) -> State:
    return replace(state, plan_day=last.day, jobs=last.week.tasks, stages=last.stages, cards=last.cards)


def made_state(bench: Workbench, today: date) -> State:
    """What the almanac and the planner say for `today`. May take seconds.

    Raises PersonError.
    """
    made = bench.plan.summary(today)
    bench.plan.looked(today)
    return State(
        today,
        bench.site.name,
        site_place_words(bench.site.latitude, bench.site.longitude, bench.site.elevation_m),
        bench.site.units,
        made=True,
        plan_day=today,
        plan=made.plan if isinstance(made, PlannedDay) else None,
        week=made.week,
        jobs=made.week.tasks,
        stages=made.stages,
        frost=made.frost,
        words=made.words,
        cards=made.cards,
        records=bench.records.read(),
        south=bench.site.south,
        check_wood_every_days=made.check_wood_every_days,
        changed=made.changed,
        wraps=made.wraps,
        gaps=made.gaps,
        back=made.back,
        frost_unknown=made.frost_unknown,
    )
