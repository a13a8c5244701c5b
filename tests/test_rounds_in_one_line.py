"""Grafts of one tree in different rounds of one job are one line for every front: week, tick, put off, paper."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from bench_acts import tick_job

from tendwork.orchard.records import Tick
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.outputs.sheet import sheet_of
from tendwork.planning.results import Task
from tendwork.planning.states import ACTIONABLE, TO_DO
from tendwork.view.json_shape import task_shape
from tendwork.workbench.bench import Workbench

OWN = """
[[template]]
id = "own-look"
title = "Look at the wax"
part = "aftercare"
each = "graft"
opens = { after = "set", days = 10 }
closes = { after = "set", days = 20 }
repeats = { every_days = 5, times = 4 }
effort = { setup_minutes = 10, minutes_each = 2 }
"""
FIRST, SECOND = "own-look/t1/2026", "own-look/t1/2026.2"
TODAY = date(2026, 4, 24)  # the first round of g1 is due 20-24 April, of g2 22-26 April


@pytest.fixture
def bench(orchard_path: Path) -> Workbench:
    (orchard_path / "templates").mkdir(exist_ok=True)
    (orchard_path / "templates" / "own.toml").write_text(OWN, encoding="utf-8")
    bench = Workbench.open(orchard_path)
    tick_job(bench, FIRST, ("g1",), date(2026, 4, 19))  # so that the second round of g1 opens on 24 April
    return bench


def lines(bench: Workbench, on: date = TODAY) -> list[Task]:
    return [task for task in bench.plan.of(on).week.tasks if task.template == "own-look" and task.subject == "t1"]


def due(task: Task) -> dict[str, str]:
    return {unit.id: unit.task or task.key for unit in task.units if unit.state in ACTIONABLE}


def test_the_week_has_one_line_and_says_in_which_round_each_graft_is_ticked(bench: Workbench) -> None:
    (line,) = lines(bench)
    assert (line.key, due(line), line.minutes) == (FIRST, {"g1": SECOND, "g2": FIRST}, 14)
    units = {unit["id"]: unit.get("task") for unit in task_shape(line)["units"]}
    assert units == {"g1": SECOND, "g2": None}


def test_a_tick_of_the_line_ticks_each_graft_in_its_own_round_and_untick_takes_it_back(bench: Workbench) -> None:
    tick_job(bench, FIRST, (), TODAY)
    ticked = {(tick.task, tick.unit) for tick in bench.records.read().ticks if tick.day == TODAY}
    assert ticked == {(SECOND, "g1"), (FIRST, "g2")}
    assert all(task.state not in ACTIONABLE for task in lines(bench))
    bench.records.undo(TODAY)
    (line,) = lines(bench)
    assert due(line) == {"g1": SECOND, "g2": FIRST}


def test_one_graft_is_ticked_and_unticked_under_the_key_of_the_line(bench: Workbench) -> None:
    tick_job(bench, FIRST, ("g1",), TODAY)
    (line,) = [task for task in lines(bench) if task.state in TO_DO]
    assert due(line) == {"g2": FIRST}
    bench.records.untick(FIRST, ("g1",), TODAY)
    assert bench.plan.task(SECOND, TODAY).units[0].state in ACTIONABLE


def test_the_round_that_was_ticked_before_can_be_unticked_by_its_own_key(bench: Workbench) -> None:
    bench.records.untick(FIRST, ("g1",), TODAY)
    (line,) = lines(bench)
    assert due(line) == {"g1": FIRST, "g2": FIRST}


def test_a_round_that_is_not_the_line_is_ticked_by_its_own_key(bench: Workbench) -> None:
    tick_job(bench, SECOND, (), TODAY)
    assert [(tick.task, tick.unit) for tick in bench.records.read().ticks if tick.day == TODAY] == [(SECOND, "g1")]


@pytest.mark.parametrize("key", [FIRST, SECOND])
def test_the_line_is_put_off_whole(bench: Workbench, key: str) -> None:
    bench.records.put_off((key,), date(2026, 4, 26), TODAY)
    (line,) = lines(bench)
    assert line.put_off == date(2026, 4, 26)
    tick_job(bench, FIRST, ("g2",), TODAY)
    (rest,) = [task for task in lines(bench) if task.state in TO_DO]
    assert (rest.key, rest.put_off) == (SECOND, date(2026, 4, 26))


def test_sheet_and_calendar_have_the_line_once_with_each_graft_once(bench: Workbench) -> None:
    week = bench.plan.of(TODAY).week.tasks
    sheet = sheet_of(week, TODAY, bench.templates.loaded().cards, "Hill")
    jobs = [job for day in sheet.days for job in day.jobs if job.key.startswith("own-look/t1")]
    boxes = [box.label for job in jobs for box in job.units]
    assert len({job.key for job in jobs}) == 1
    assert sorted(boxes) == ["Blue Lamp (g2)", "Red Lamp (g1)"]
    events = events_of(bench.plan.of(TODAY).plan, week, CalendarSite("Hill", "UTC"), bench.templates.loaded().cards)
    today = [event for event in events if event.key in (FIRST, SECOND) and event.start <= date(2026, 4, 26)]
    assert [event.key for event in today] == [FIRST]
    assert "(g1)" in today[0].description
    assert "(g2)" in today[0].description


def test_all_minutes_of_the_week_are_those_of_its_lines(bench: Workbench) -> None:
    fitted = bench.plan.of(TODAY).week
    placed = sum(minutes for task in fitted.tasks for _, minutes in task.days)
    assert sum(day.used for day in fitted.days) == pytest.approx(placed)


def test_a_tick_of_a_variety_under_its_old_id_can_still_be_taken_back(orchard_path: Path) -> None:
    key, day = "collect-wood-apple-pear/site/2026", date(2026, 1, 10)
    bench = Workbench.open(orchard_path)
    bench.records.entries.add("grafts", {"variety": "Green Lamp", "tree": "t1", "state": "bearing"}, day)
    with bench._folder.records.act("ticked by an earlier version") as act:
        act.add(Tick(key, "green-lamp", day, "cut"))
    (unit,) = bench.plan.task(key, day).units
    assert (unit.id, unit.state) == ("green-lamp.apple", "done")
    bench.records.untick(key, ("green-lamp",), day)
    assert bench.plan.task(key, day).units[0].state != "done"
