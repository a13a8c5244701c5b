"""Jobs that nobody but the person can raise: a sign noted on a tree brings them, each new one again.

The orchard is invented. A trunk girdled all round dies unless it is bridged (USDA Leaflet 508, undated); unions break
in storms (veredeln.info, Was eine Veredlung zusammenhält, undated).
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.orchard.edits import applied
from tendwork.orchard.records import Graft, Records, Tick, Tree, Trouble
from tendwork.orchard.taking_back import TickedActs
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task
from tendwork.planning.sight import in_sight
from tendwork.planning.tick_edits import TaskTick, tick_edit

FIRST, SECOND = date(2026, 2, 3), date(2026, 3, 10)
TREES = (Tree("t1", "Old Hallow", "apple", planted=1990), Tree("t2", "Gate pear", "pear", planted=2001))
ALMANAC = SteadyAlmanac()


def seen(what: str, *days: date, tree: str = "t1") -> tuple[Trouble, ...]:
    return tuple(Trouble(day, tree, what) for day in days)


def jobs(template: str, records: Records, today: date) -> dict[str, Task]:
    tasks = plan(SiteLimits(), records, ALMANAC, TEMPLATES, today).tasks
    return {task.subject: task for task in tasks if task.template == template and in_sight(task, today)}


@pytest.mark.parametrize("template", ["after-storm", "see-to-gnawed-bark"])
def test_without_a_sign_there_is_no_such_job(template: str) -> None:
    assert jobs(template, Records(TREES), FIRST) == {}


@pytest.mark.parametrize("word", ["storm", "Gale", "snow load", "snow-load", "ice"])
def test_a_storm_asks_at_once_for_the_tree_on_which_it_was_noted_and_for_no_other(word: str) -> None:
    records = Records(TREES, troubles=seen(word, FIRST))
    assert set(jobs("after-storm", records, FIRST)) == {"t1"}
    assert jobs("after-storm", records, FIRST)["t1"].window.opens == FIRST
    assert jobs("after-storm", records, FIRST + timedelta(days=60))["t1"].state == "missed"


def test_a_storm_bars_no_wood() -> None:
    planned = Graft("g1", "t2", "Lamp", "cleft", state="planned")
    held = Records(TREES, (planned, Graft("g2", "t1", "Lamp", "cleft", state="bearing")), troubles=seen("storm", FIRST))
    tasks = plan(SiteLimits(), held, ALMANAC, TEMPLATES, FIRST).tasks
    assert not [task.key for task in tasks if task.state == "held"]


def test_a_second_storm_of_the_season_asks_again_and_its_answer_is_a_tick_of_its_own() -> None:
    looked = Tick("after-storm/t1/2026", "t1", FIRST, "all well")
    once = Records(TREES, ticks=(looked,), troubles=seen("storm", FIRST))
    assert jobs("after-storm", once, FIRST)["t1"].state == "done"
    twice = Records(TREES, ticks=(looked,), troubles=seen("storm", FIRST, SECOND))
    again = jobs("after-storm", twice, SECOND)["t1"]
    assert (again.state in ("open", "closing"), again.window.opens) == (True, SECOND)
    edit = tick_edit(twice, TickedActs(), (TaskTick(again, outcome="all well"),), SECOND)
    after = applied(twice, edit)
    assert len(after.ticks) == 2
    assert jobs("after-storm", after, SECOND)["t1"].state == "done"
    assert not tick_edit(after, TickedActs(), (TaskTick(again, outcome="all well"),), SECOND).changes


@pytest.mark.parametrize("word", ["gnawed bark", "voles", "girdled"])
def test_gnawed_bark_asks_for_bridging_until_the_petals_fall_and_never_lapses_unsaid(word: str) -> None:
    records = Records(TREES, troubles=seen(word, FIRST))
    job = jobs("see-to-gnawed-bark", records, FIRST)["t1"]
    assert (job.stake, job.window.opens) == ("tree", FIRST)
    assert job.window.lapses >= date(2026, 5, 10)
    long_after = jobs("see-to-gnawed-bark", records, date(2026, 9, 1))["t1"]
    assert (long_after.state, long_after.is_lost) == ("missed", True)


@pytest.mark.parametrize(
    ("bridge", "is_asked"),
    [
        (Graft("g1", "t1", "Own", "bridge", state="planned"), False),
        (Graft("g1", "t1", "Own", "Bridge", state="set", set_on=date(2026, 4, 20)), False),
        (Graft("g1", "t1", "Own", "bridge", state="failed", set_on=date(2026, 4, 20)), False),
        (Graft("g1", "t1", "Own", "bridge", state="bearing", set_on=date(2019, 4, 20)), True),
        (Graft("g1", "t2", "Own", "bridge", state="planned"), True),
        (Graft("g1", "t1", "Own", "cleft", state="planned"), True),
    ],
    ids=["planned", "set since", "failed since", "of an earlier gnawing", "on another tree", "another method"],
)
def test_it_gives_way_to_a_bridge_that_is_planned_or_was_set_since(bridge: Graft, is_asked: bool) -> None:
    today = date(2026, 4, 21)
    records = Records(TREES, (bridge,), troubles=seen("gnawed bark", FIRST))
    assert ("t1" in jobs("see-to-gnawed-bark", records, today)) == is_asked
    if bridge.tree == "t1" and bridge.method == "bridge" and bridge.state == "planned":
        assert "t1" in jobs("bridge-gnawed-bark", records, today)


def test_gnawing_of_an_earlier_season_asks_for_nothing_now() -> None:
    records = Records(TREES, troubles=seen("gnawed bark", date(2024, 2, 1)))
    assert jobs("see-to-gnawed-bark", records, FIRST) == {}
