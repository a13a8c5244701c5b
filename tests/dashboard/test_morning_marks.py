"""Many units at once, and skipping with a reason: by real key presses and by mouse, on real folders."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
from from_always import write_from_always

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.planning.results import Task
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
JUNE = date(2026, 6, 10)
GATE = "own-gate/site/2026"
RAFFIA = "own-unwrap/t1/2026"
TWELVE_GRAFTS = "id,tree,variety,method,wrap,state,set_on\n" + "".join(
    f"n{number:02d},t2,Lantern Pippin,cleft,budding rubber,took,2026-04-05\n" for number in range(12)
)


def job(app: Dashboard, key: str) -> Task:
    return next(task for task in app.state.jobs if task.key == key)


def done(app: Dashboard, key: str = RAFFIA) -> list[int]:
    return [at for at, unit in enumerate(job(app, key).units) if unit.state == "done"]


async def test_twelve_wraps_of_the_sample_orchard_are_ticked_in_under_eight_key_presses(
    sample_of, tmp_path: Path, at_rest, go_to, press
) -> None:
    folder = shutil.copytree(sample_of(JUNE), tmp_path / "orchard")
    file = write_from_always(tmp_path / "grafts.csv", "grafts", TWELVE_GRAFTS)
    bench = Workbench.open(folder)
    bench.records.bring(file, "grafts", JUNE)
    app = Dashboard(bench, JUNE)
    keys = ["space", "enter"]
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        wraps = next(task for task in app.state.jobs if task.template == "wraps-rubber" and len(task.units) >= 12)
        await go_to(pilot, wraps.key)
        await press(pilot, *keys)
        ticked = [
            tick.outcome for tick in bench.records.read().ticks if tick.task == wraps.key and tick.unit.startswith("n")
        ]
        assert len(keys) < 8
        assert ticked == ["off"] * 12


async def test_space_ticks_all_marked_units_and_no_other(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "enter", "m", "m", "down", "m", "space", "enter")
        assert done(app) == [0, 1, 3]


async def test_marked_jobs_of_several_kinds_are_asked_about_kind_by_kind(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "m")
        await go_to(pilot, GATE)
        await press(pilot, "m", "space", "enter")
        assert (len(done(app)), job(app, GATE).state) == (12, "done")


async def test_a_marked_row_has_its_mark_and_the_notice_says_what_space_does(
    app, press, go_to, at_rest, seen_on
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "m")
        assert "*◇ Oil the gate" in seen_on(app)
        assert app.notice.text == "1 unit marked: space ticks, x skips, escape unmarks."


async def test_marking_again_unmarks_and_escape_unmarks_all(app, press, go_to, at_rest, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "m", "m")
        once = seen_on(app)
        await press(pilot, "m", "escape")
        assert "*◇" not in once
        assert "*◇" not in seen_on(app)


async def test_escape_from_the_outcomes_keeps_the_marks_and_ticks_nothing(
    app, press, go_to, at_rest, bench, seen_on
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "m", "space", "escape")
        assert bench.records.read().ticks == ()
        assert "*◈ Loosen" in seen_on(app)


async def test_x_skips_with_the_written_reason(app, press, go_to, at_rest, bench: Workbench) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "x", *"no [oil]", "enter")
        assert [(tick.outcome, tick.note) for tick in bench.records.read().ticks] == [("skipped", "no [oil]")]
        assert job(app, GATE).state == "skipped"


async def test_what_was_skipped_is_taken_back_like_a_tick(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "x", "enter", "u")
        assert job(app, GATE).state == "open"


async def test_the_mouse_alone_marks_and_ticks(app, at_rest, press_on) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await at_rest(pilot)
        jobs = app.screen.query_one(JobList)
        await pilot.click(JobList, offset=(10, jobs.get_option_index(GATE) - round(jobs.scroll_y)))
        await at_rest(pilot)
        await press_on(pilot, "mark")
        await at_rest(pilot)
        marked = app.notice.text
        await press_on(pilot, "tick")
        await at_rest(pilot)
        assert marked.startswith("1 unit marked")
        assert job(app, GATE).state == "done"
