"""The sample orchard as a person meets it: the next job at once, a wrap ticked for good, buds that move the dates."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tendwork.dashboard.app import Dashboard
from tendwork.planning.results import Task
from tendwork.planning.states import ACTIONABLE
from tendwork.view.words import full_day
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

JUNE = date(2026, 6, 10)


@pytest.fixture
def june_folder(sample_of: Callable[[date], Path], tmp_path: Path) -> Path:
    return Path(shutil.copytree(sample_of(JUNE), tmp_path / "orchard"))


def a_wrap_to_take_off(app: Dashboard) -> Task:
    return next(job for job in app.state.jobs if job.template.startswith("wraps-") and job.state in ACTIONABLE)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
async def test_day_place_next_job_and_buds_stand_on_the_first_page(june_folder, at_rest, seen_on, size) -> None:
    app = Dashboard(Workbench.open(june_folder), JUNE)
    async with app.run_test(size=size) as pilot:
        await at_rest(pilot)
        lines = seen_on(app).splitlines()
        assert full_day(JUNE) in lines[0]
        assert lines[1].startswith(" Next: ")
        assert sum(line.startswith((" apple", " pear", " plum", " sweet cherry")) for line in lines) == 4


async def test_a_wrap_that_is_off_stays_off_after_a_restart(june_folder, at_rest, go_to, press) -> None:
    app = Dashboard(Workbench.open(june_folder), JUNE)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        wrap = a_wrap_to_take_off(app)
        await go_to(pilot, wrap.key)
        await press(pilot, "space", "enter", "q")
    again = Dashboard(Workbench.open(june_folder), JUNE)
    async with again.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        held = next(job for job in again.state.jobs if job.key == wrap.key)
        due = {unit.id for unit in wrap.units if unit.state in ACTIONABLE}
        assert {unit.outcome for unit in held.units if unit.id in due} == {"off"}
