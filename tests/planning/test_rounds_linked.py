"""Rounds of a repeating job that know of one another: one takes its place in the week, the next one waits for it."""

from __future__ import annotations

from datetime import date, timedelta

import msgspec
import pytest
from examples import examples
from hypothesis import example, given
from hypothesis import strategies as st
from steady_almanac import SteadyAlmanac

from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.planning.fit import fit_week
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan, Task
from tendwork.planning.states import ACTIONABLE, TO_DO
from tendwork.planning.vocabulary import Anchor, Effort, Repeats, Template

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
    return plan(SiteLimits(), records, SteadyAlmanac(), (LOOK,), on)


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
    assert {unit.id: unit.task for task in week.tasks for unit in task.units if unit.planned is not None} == {
        "g1": SECOND,
        "g2": "",
    }


def test_a_job_that_comes_once_has_no_rounds() -> None:
    once = Template("once", "Once", "aftercare", "graft", Anchor(after="set", days=10), Anchor(after="set", days=14))
    records = Records(
        trees=(Tree("t1", "Old apple", "apple"),),
        grafts=(Graft("g1", "t1", "Red Lamp", state="set", set_on=date(2026, 4, 1)),),
    )
    task = plan(SiteLimits(), records, SteadyAlmanac(), (once,), date(2026, 4, 13)).tasks[0]
    assert (task.again, task.behind) == (None, False)


@pytest.mark.parametrize("note", ["Round the trunk, look for borers.", "Comes again where voles live."])
def test_a_missed_job_stays_in_sight_whatever_its_note_begins_with(note: str) -> None:
    once = msgspec.structs.replace(LOOK, repeats=None, note=note)
    records = Records(
        trees=(Tree("t1", "Old apple", "apple"),),
        grafts=(Graft("g1", "t1", "Red Lamp", state="set", set_on=date(2026, 4, 1)),),
    )
    week = fit_week(plan(SiteLimits(), records, SteadyAlmanac(), (once,), date(2026, 4, 17)))
    assert [(task.key, task.state) for task in week.tasks] == [(FIRST, "missed")]


def test_a_missed_round_of_a_repeating_job_is_not_listed_for_the_next_one_does_its_work() -> None:
    week = fit_week(planned(date(2026, 4, 18), date(2026, 4, 1)))
    assert [task.key for task in week.tasks] == [SECOND]


def look_lines(on: date, *ticks: Tick, set_on: tuple[date, ...] = (date(2026, 4, 1),) * 3) -> list[Task]:
    """The week's lines of a job whose first round opens on 11 April and comes again every seven days."""
    return [task for task in fit_week(planned(on, *set_on, ticks=ticks)).tasks if task.state not in ("done", "skipped")]


EARLY_TICK = Tick(FIRST, "g1", date(2026, 4, 8), "done")  # so that the second round of g1 opens on 15 April


def test_units_that_are_due_in_different_rounds_are_one_line_with_each_unit_once() -> None:
    (line,) = look_lines(date(2026, 4, 15), EARLY_TICK)
    assert line.key == FIRST
    assert sorted((unit.id, unit.state != "done", unit.task) for unit in line.units) == [
        ("g1", True, SECOND),
        ("g2", True, ""),
        ("g3", True, ""),
    ]


def test_the_minutes_of_such_a_line_count_its_kit_and_each_unit_once() -> None:
    timed = msgspec.structs.replace(LOOK, effort=Effort(setup_minutes=10, minutes_each=2))
    grafts = tuple(Graft(f"g{n}", "t1", "Lamp", state="set", set_on=date(2026, 4, 1)) for n in (1, 2, 3))
    records = Records(trees=(Tree("t1", "Old apple", "apple"),), grafts=grafts, ticks=(EARLY_TICK,))
    week = fit_week(plan(SiteLimits(), records, SteadyAlmanac(), (timed,), date(2026, 4, 15)))
    assert [task.minutes for task in week.tasks] == [16]
    assert sum(minutes for task in week.tasks for _, minutes in task.days) == 16
    assert sum(day.used for day in week.days) == 16


def test_once_the_first_round_is_done_the_line_goes_on_under_the_second() -> None:
    ticks = tuple(Tick(FIRST, f"g{n}", date(2026, 4, 15), "done") for n in (2, 3))
    (line,) = look_lines(date(2026, 4, 15), EARLY_TICK, *ticks)
    assert (line.key, [unit.id for unit in line.units if unit.state in ACTIONABLE]) == (SECOND, ["g1"])


@examples(60)
@example(on=7, ticked=[(2, 1, 0)])  # the second round ticked before the first
@example(on=7, ticked=[(1, 1, 7), (3, 1, 0)])  # the third round ticked before the first
@given(
    on=st.integers(0, 40),
    ticked=st.lists(st.tuples(st.integers(1, 3), st.integers(1, 4), st.integers(0, 40)), max_size=8),
)
def test_no_unit_is_due_in_two_lines_of_one_week(on: int, ticked: list[tuple[int, int, int]]) -> None:
    today = date(2026, 4, 5) + timedelta(days=on)
    ticks = tuple(
        Tick((FIRST, SECOND, THIRD)[number - 1], f"g{graft}", date(2026, 4, 5) + timedelta(days=day), "done")
        for number, graft, day in ticked
        if day <= on
    )
    made = planned(today, *[date(2026, 4, day) for day in (1, 1, 3, 6)], ticks=ticks)
    week = fit_week(made)
    to_do = [task for task in week.tasks if task.state in TO_DO]
    assert len(to_do) <= 1
    due = {unit.id for task in made.tasks for unit in task.units if unit.state in ACTIONABLE}
    assert {unit.id for task in to_do for unit in task.units if unit.state in ACTIONABLE} == due
    placed = [unit.id for task in week.tasks for unit in task.units if unit.planned is not None]
    assert len(placed) == len(set(placed))
    for task in to_do:
        assert len({unit.id for unit in task.units}) == len(task.units)
