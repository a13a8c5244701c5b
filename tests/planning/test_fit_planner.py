"""What the planner gives the fit: efforts, days that the weather bars, and the person's hours."""

from __future__ import annotations

from datetime import date, timedelta

from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Records, Tree
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan
from tendwork.planning.vocabulary import Anchor, Effort, Template, Weather
from tendwork.planning.week import week_of

TODAY = date(2026, 6, 1)  # a Monday
PRUNING = Template(
    "prune",
    "Prune",
    "pruning",
    "tree",
    opens=Anchor(date="05-20"),
    closes=Anchor(date="06-20"),
    weather=Weather(max_c=30),
    effort=Effort(setup_minutes=5, minutes_each=20),
)
TREES = Records(trees=(Tree("t1", "One", "apple"), Tree("t2", "Two", "apple")))


def planned(ground: SiteLimits, hot: int = 0) -> Plan:
    """A plan after whose first `hot` days, forecast too hot, cooler ones are forecast."""
    days = {TODAY + timedelta(days=step): (15.0, 33.0 if step < hot else 25.0, "f") for step in range(9)}
    return plan(ground, TREES, SteadyAlmanac(days), (PRUNING,), TODAY)


def test_a_task_carries_its_effort_and_the_days_that_the_forecast_bars() -> None:
    task = planned(SiteLimits(), hot=2).tasks[0]
    assert (task.setup_minutes, task.minutes_each) == (5, 20)
    assert task.unsuited == (date(2026, 6, 1), date(2026, 6, 2))


def test_the_plan_carries_the_hours_of_the_site_from_its_own_day_on() -> None:
    made = planned(SiteLimits(minutes_by_weekday=(1, 2, 3, 4, 5, 6, 7), latitude_deg=52.0))
    assert [(held.day.day, held.minutes) for held in made.days] == [
        (1, 1),
        (2, 2),
        (3, 3),
        (4, 4),
        (5, 5),
        (6, 6),
        (7, 7),
    ]


def test_the_week_spreads_the_work_over_the_hours_and_away_from_the_heat() -> None:
    week = week_of(planned(SiteLimits(minutes_by_weekday=(60, 60, 30, 30, 60, 60, 60)), hot=2))
    assert [[(when.day, minutes) for when, minutes in task.days] for task in week] == [[(3, 25)], [(4, 25)]]
