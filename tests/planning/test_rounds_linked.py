"""Rounds of a repeating job that know of one another: one takes its place in the week, the next one waits for it."""

from __future__ import annotations

from datetime import date

import msgspec
import pytest
from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.planning.fit import fit_week
from tendwork.planning.planner import Ground, plan
from tendwork.planning.results import Plan, Task
from tendwork.planning.vocabulary import Anchor, Repeats, Template

LOOK = Template(
    "look",
    "Look",
    "aftercare",
    "graft",
    opens=Anchor(after="set", days=10),
    closes=Anchor(after="set", days=14),
    repeats=Repeats(every_days=7, times=3),
)
FIRST, SECOND, THIRD = "look/t1/2026", "look/t1/2026.2", "look/t1/2026.3"


def planned(on: date, *set_on: date, ticks: tuple[Tick, ...] = ()) -> Plan:
    """A plan of one apple with a graft for each day; the first round of one set on 1 April opens on 11 April."""
    grafts = tuple(Graft(f"g{n}", "t1", "Red Lamp", state="set", set_on=day) for n, day in enumerate(set_on, 1))
    records = Records(trees=(Tree("t1", "Old apple", "apple"),), grafts=grafts, ticks=ticks)
    return plan(Ground(), records, SteadyAlmanac(), (LOOK,), on)


def by_key(plan_: Plan) -> dict[str, Task]:
    return {task.key: task for task in plan_.tasks}


def test_a_round_that_is_to_do_knows_when_the_next_one_opens() -> None:
    assert by_key(planned(date(2026, 4, 13), date(2026, 4, 1)))[FIRST].again == date(2026, 4, 18)


def test_a_round_that_is_ticked_says_nothing_more_of_the_next_one() -> None:
    ticked = planned(date(2026, 4, 13), date(2026, 4, 1), ticks=(Tick(FIRST, "g1", date(2026, 4, 12), "done"),))
    assert by_key(ticked)[FIRST].again is None


def test_the_last_round_has_no_next_one() -> None:
    assert by_key(planned(date(2026, 4, 26), date(2026, 4, 1)))[THIRD].again is None


def test_the_next_round_takes_no_day_of_the_week_while_the_one_before_it_is_to_do() -> None:
    week = fit_week(planned(date(2026, 4, 13), date(2026, 4, 1)))
    assert [task.key for task in week.tasks] == [FIRST]


def test_once_a_round_is_ticked_the_next_one_stands_in_the_week_that_it_opens_in() -> None:
    ticks = (Tick(FIRST, "g1", date(2026, 4, 11), "done"),)
    week = fit_week(planned(date(2026, 4, 13), date(2026, 4, 1), ticks=ticks))
    assert {task.key for task in week.tasks} == {FIRST, SECOND}


def test_a_round_with_other_units_than_the_one_that_is_to_do_keeps_its_days() -> None:
    # The graft set on 26 March has its second round from 12 April, while the first of the other one is open.
    ticks = (Tick(FIRST, "g1", date(2026, 4, 5), "done"),)
    week = fit_week(planned(date(2026, 4, 11), date(2026, 3, 26), date(2026, 4, 1), ticks=ticks))
    assert SECOND in {task.key for task in week.tasks if task.days}


def test_a_job_that_comes_once_has_no_rounds() -> None:
    once = Template("once", "Once", "aftercare", "graft", Anchor(after="set", days=10), Anchor(after="set", days=14))
    records = Records(
        trees=(Tree("t1", "Old apple", "apple"),),
        grafts=(Graft("g1", "t1", "Red Lamp", state="set", set_on=date(2026, 4, 1)),),
    )
    task = plan(Ground(), records, SteadyAlmanac(), (once,), date(2026, 4, 13)).tasks[0]
    assert (task.again, task.behind) == (None, False)


@pytest.mark.parametrize("note", ["Round the trunk, look for borers.", "Comes again where voles live."])
def test_a_missed_job_stays_in_sight_whatever_its_note_begins_with(note: str) -> None:
    once = msgspec.structs.replace(LOOK, repeats=None, note=note)
    records = Records(
        trees=(Tree("t1", "Old apple", "apple"),),
        grafts=(Graft("g1", "t1", "Red Lamp", state="set", set_on=date(2026, 4, 1)),),
    )
    week = fit_week(plan(Ground(), records, SteadyAlmanac(), (once,), date(2026, 4, 17)))
    assert [(task.key, task.state) for task in week.tasks] == [(FIRST, "missed")]


def test_a_missed_round_of_a_repeating_job_is_not_listed_for_the_next_one_does_its_work() -> None:
    week = fit_week(planned(date(2026, 4, 18), date(2026, 4, 1)))
    assert [task.key for task in week.tasks] == [SECOND]
