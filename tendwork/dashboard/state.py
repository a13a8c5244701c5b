"""What the screens show, as one frozen value: made in a thread from the workbench, handed over whole."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.almanac.results import FrostNight
from tendwork.kept import SpeciesStages
from tendwork.orchard.records import Records
from tendwork.orchard.wood_age import CHECK_WOOD
from tendwork.planning.results import FittedWeek, Plan, Task
from tendwork.planning.vocabulary import Card
from tendwork.view.changes import Changes, changes
from tendwork.workbench import Workbench


class Earlier(Struct, frozen=True):
    """The newest plan of an earlier day, with the buds as they stood then."""

    plan: Plan
    stages: tuple[SpeciesStages, ...]


class State(Struct, frozen=True):
    """The orchard as of one day. `made` is False while the almanac has yet to speak for `today`.

    `plan_day` is the day that the shown jobs were planned for; None where no plan is held yet. `changed` is against
    `earlier`, which is carried on because the folder keeps only the newest plan.
    """

    today: date
    site_name: str
    place: str
    units: str
    made: bool = False
    plan_day: date | None = None
    plan: Plan | None = None
    week: FittedWeek | None = None
    jobs: tuple[Task, ...] = ()
    stages: tuple[SpeciesStages, ...] = ()
    frost: tuple[FrostNight, ...] = ()
    words: tuple[str, ...] = ()
    cards: dict[str, Card] = {}
    records: Records = Records()
    south: bool = False
    check_wood_every_days: int | None = None
    earlier: Earlier | None = None
    changed: Changes | None = None


def first_state(bench: Workbench, today: date) -> State:
    """What can be shown before the almanac has run: the last plan, or only the day and the place."""
    last = bench.last_reckoned()
    return State(
        today,
        bench.site_name,
        bench.place_words,
        bench.site.units,
        plan_day=None if last is None else last.day,
        plan=None if last is None else last.plan,
        week=None if last is None else last.week,
        jobs=() if last is None else last.week.tasks,
        stages=() if last is None else last.stages,
        records=bench.records,
        south=bench.site.south,
    )


def made_state(bench: Workbench, today: date, before: State) -> State:
    """What the almanac and the planner say for `today`, after the state `before`. May take seconds.

    Raises PersonError.
    """
    week, plan, stages = bench.fitted(today), bench.plan(today), bench.stages(today)
    earlier = _earlier(before, today)
    return State(
        today,
        bench.site_name,
        bench.place_words,
        bench.site.units,
        made=True,
        plan_day=today,
        plan=plan,
        week=week,
        jobs=week.tasks,
        stages=stages,
        frost=bench.frost(today),
        words=bench.words(today),
        cards=bench.cards(),
        records=bench.records,
        south=bench.site.south,
        check_wood_every_days=bench.every_days(CHECK_WOOD),
        earlier=earlier,
        changed=None if earlier is None else changes(earlier.plan, earlier.stages, plan, stages),
    )


def _earlier(before: State, today: date) -> Earlier | None:
    """The plan that was shown, if it is of an earlier day, else the one that was already carried."""
    if before.plan is not None and before.plan.today < today:
        return Earlier(before.plan, before.stages)
    return before.earlier
