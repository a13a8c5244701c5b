"""The first look of a new day, which no plan is kept for, and the plan after a tick.

150 grafts, 25 years of temperatures, all shipped templates. Each stands beside the least that its library could do, as
in bench_startup.py: the processor's time beside one line of click, the dashboard beside an app of one line. Then the
first week of 20,000 grafts, and how large the file is that it keeps. Run with `-m bench -s`.
"""

from __future__ import annotations

import gc
import shutil
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from time import process_time

import pytest
from bench_acts import tick_job
from bench_fit import TODAY
from bench_plan import begin_orchard
from bench_startup import (
    BARE_APP,
    BARE_CLICK,
    bytecode_is_kept,
    least_of_each,
    processor_seconds,
    seconds_to_paint,
)

from tendwork.folder.temperatures_csv import read_temperatures, write_temperatures
from tendwork.workbench.bench import Workbench
from tendwork.workbench.plan_cache import CACHE_FILE

pytestmark = [
    pytest.mark.bench,
    pytest.mark.usefixtures(bytecode_is_kept.__name__),
    pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks the system for the time of a child"),
]

YEARS, GRAFTS, MANY_GRAFTS = 25, 150, 20_000
TOMORROW = TODAY + timedelta(days=1)
MOST_TIMES_NEW_DAY, MOST_TIMES_NEW_TEMPERATURES, MOST_TIMES_NOTHING_KEPT = 8.5, 9.5, 8.5
MOST_TIMES_AFTER_A_TICK, MOST_TIMES_ON_THE_SCREEN = 0.7, 4.5
MOST_TIMES_MANY_GRAFTS, MOST_BYTES_A_GRAFT = 250.0, 2_200.0
SIGN_OF_THE_PLAN = b"Pressing"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An invented orchard with the plan of TODAY kept."""
    path = tmp_path_factory.mktemp("new-day") / "orchard"
    begin_orchard(path, GRAFTS, YEARS)
    bench = Workbench.open(path)
    bench.plan.of(TODAY)
    bench.close()
    shutil.copytree(path / "cache", path.with_name("kept"))
    return path


def as_kept_today(folder: Path) -> None:
    """Have the cache as it was once the plan of TODAY was made."""
    shutil.rmtree(folder / "cache", ignore_errors=True)
    shutil.copytree(folder.with_name("kept"), folder / "cache")


def beside_click(what: str, ours: Callable[[], float], most: float) -> float:
    bare = [sys.executable, "-c", BARE_CLICK, "--on", str(TODAY)]
    return least_of_each(ours, lambda: processor_seconds(bare), f"{what}, beside one line of click", "ms", 1000, most)


def week_on(folder: Path, day: date) -> float:
    return processor_seconds([sys.executable, "-m", "tendwork", "--orchard", str(folder), "--on", str(day), "week"])


def test_the_week_of_a_new_day(folder: Path) -> None:
    def new_day() -> float:
        as_kept_today(folder)
        return week_on(folder, TOMORROW)

    assert beside_click("`tendwork week` on a new day", new_day, MOST_TIMES_NEW_DAY) <= MOST_TIMES_NEW_DAY


def test_the_week_of_a_new_day_that_brought_temperatures(folder: Path) -> None:
    file = next((folder / "temperatures").glob("*.csv"))
    before = file.read_bytes()
    yesterday = {**read_temperatures(file).days, TODAY: (6.1, 15.4)}

    def new_day() -> float:
        as_kept_today(folder)
        write_temperatures(file, yesterday)
        return week_on(folder, TOMORROW)

    what = "`tendwork week` on a new day with the temperatures of the last"
    ratio = beside_click(what, new_day, MOST_TIMES_NEW_TEMPERATURES)
    file.write_bytes(before)
    assert ratio <= MOST_TIMES_NEW_TEMPERATURES


def test_the_week_with_nothing_kept(folder: Path) -> None:
    def nothing_kept() -> float:
        shutil.rmtree(folder / "cache", ignore_errors=True)
        return week_on(folder, TODAY)

    what = "`tendwork week` with nothing kept"
    assert beside_click(what, nothing_kept, MOST_TIMES_NOTHING_KEPT) <= MOST_TIMES_NOTHING_KEPT


def test_the_plan_after_a_tick(folder: Path, tmp_path: Path) -> None:
    bench = Workbench.open(shutil.copytree(folder, tmp_path / "orchard"))
    bench.plan.of(TODAY)

    def plan_after_a_tick() -> float:
        jobs = (task for task in bench.plan.of(TODAY).week.tasks if task.state == "open")
        key, unit, outcome = next(
            (job.key, job.units[0].id, job.outcomes[0]) for job in jobs if not job.units[0].outcome
        )
        tick_job(bench, key, (unit,), TODAY, outcome)
        gc.collect()
        before = process_time()
        bench.plan.of(TODAY)
        return process_time() - before

    ratio = beside_click("the plan after a tick", plan_after_a_tick, MOST_TIMES_AFTER_A_TICK)
    bench.close()
    assert ratio <= MOST_TIMES_AFTER_A_TICK


def test_the_plan_of_a_new_day_on_the_screen(folder: Path) -> None:
    dashboard = [sys.executable, "-m", "tendwork", "--orchard", str(folder), "--on", str(TOMORROW)]

    def new_day() -> float:
        as_kept_today(folder)
        return seconds_to_paint(dashboard, SIGN_OF_THE_PLAN)

    ratio = least_of_each(
        new_day,
        lambda: seconds_to_paint([sys.executable, "-c", BARE_APP + "Bare().run()"], b"painted"),
        "process start to the plan of a new day on the screen, beside an app of one line",
        "ms",
        1000,
        MOST_TIMES_ON_THE_SCREEN,
    )
    assert ratio <= MOST_TIMES_ON_THE_SCREEN


def test_the_first_week_of_many_grafts_and_the_file_that_it_keeps(tmp_path: Path) -> None:
    folder = tmp_path / "orchard"
    begin_orchard(folder, MANY_GRAFTS, YEARS)
    bare = [sys.executable, "-c", BARE_CLICK, "--on", str(TODAY)]
    processor_seconds(bare)
    ratio = week_on(folder, TODAY) / min(processor_seconds(bare) for _ in range(3))
    bytes_a_graft = (folder / "cache" / CACHE_FILE).stat().st_size / MANY_GRAFTS
    print(f"\nthe first week of {MANY_GRAFTS} grafts: {ratio:.0f} x one line of click (most {MOST_TIMES_MANY_GRAFTS}),")
    print(f"and {bytes_a_graft:.0f} bytes kept for each graft (most {MOST_BYTES_A_GRAFT})")
    assert ratio <= MOST_TIMES_MANY_GRAFTS
    assert bytes_a_graft <= MOST_BYTES_A_GRAFT
