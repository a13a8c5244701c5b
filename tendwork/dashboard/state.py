"""What the screens show, as one frozen value: made in a thread from the workbench, handed over whole."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.almanac.results import FrostNight
from tendwork.orchard.records import Records
from tendwork.planning.results import Plan, Task
from tendwork.planning.vocabulary import Card
from tendwork.view.week import week_jobs
from tendwork.workbench import SpeciesStages, Workbench


class State(Struct, frozen=True):
    """The orchard as of one day. `made` is False while the almanac has yet to speak for `today`.

    `plan_day` is the day that the shown jobs were planned for; None where no plan is held yet.
    """

    today: date
    site_name: str
    place: str
    units: str
    made: bool = False
    plan_day: date | None = None
    plan: Plan | None = None
    jobs: tuple[Task, ...] = ()
    stages: tuple[SpeciesStages, ...] = ()
    frost: tuple[FrostNight, ...] = ()
    words: tuple[str, ...] = ()
    cards: dict[str, Card] = {}
    records: Records = Records()
    south: bool = False


def first_state(bench: Workbench, today: date) -> State:
    """What can be shown before the almanac has run: the last plan, or only the day and the place."""
    last = bench.last_plan(today)
    return State(
        today,
        bench.site_name,
        bench.place_words,
        bench.site.units,
        plan_day=None if last is None else last.today,
        plan=last,
        jobs=() if last is None else week_jobs(last),
        stages=bench.last_stages(),
        records=bench.records,
        south=bench.site.south,
    )


def made_state(bench: Workbench, today: date) -> State:
    """What the almanac and the planner say for `today`. May take seconds. Raises PersonError."""
    return State(
        today,
        bench.site_name,
        bench.place_words,
        bench.site.units,
        made=True,
        plan_day=today,
        plan=bench.plan(today),
        jobs=bench.week(today),
        stages=bench.stages(today),
        frost=bench.frost(today),
        words=bench.words(today),
        cards=bench.cards(),
        records=bench.records,
        south=bench.site.south,
    )
