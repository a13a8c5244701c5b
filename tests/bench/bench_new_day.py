"""The first look of a new day, which no plan is kept for: 150 grafts, 25 years of temperatures, all shipped templates.

Each stands beside the least that its library could do, as in bench_startup.py. Run with `-m bench -s`.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from bench_fit import TODAY
from bench_plan import begin_orchard
from bench_startup import BARE_CLICK, least_of_each, processor_seconds

from tendwork.workbench.bench import Workbench

pytestmark = [
    pytest.mark.bench,
    pytest.mark.skipif(not sys.platform.startswith("linux"), reason="asks the system for the time of a child"),
]

YEARS, GRAFTS = 25, 150
TOMORROW = TODAY + timedelta(days=1)
MOST_TIMES_NEW_DAY, MOST_TIMES_NOTHING_KEPT = 24.0, 24.0


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An invented orchard with the plan of TODAY kept."""
    path = tmp_path_factory.mktemp("new-day") / "orchard"
    begin_orchard(path, GRAFTS, YEARS)
    bench = Workbench.open(path)
    bench.plan.of(TODAY)
    bench.close()
    return path


def beside_click(what: str, ours: Callable[[], float], most: float) -> float:
    bare = [sys.executable, "-c", BARE_CLICK, "--on", str(TODAY)]
    return least_of_each(ours, lambda: processor_seconds(bare), f"{what}, beside one line of click", "ms", 1000, most)


def week_on(folder: Path, day: date) -> float:
    return processor_seconds([sys.executable, "-m", "tendwork", "--orchard", str(folder), "--on", str(day), "week"])


def test_the_week_of_a_new_day(folder: Path) -> None:
    kept = folder.with_name("kept")
    shutil.copytree(folder / "cache", kept)

    def new_day() -> float:
        shutil.rmtree(folder / "cache")
        shutil.copytree(kept, folder / "cache")
        return week_on(folder, TOMORROW)

    assert beside_click("`tendwork week` on a new day", new_day, MOST_TIMES_NEW_DAY) <= MOST_TIMES_NEW_DAY


def test_the_week_with_nothing_kept(folder: Path) -> None:
    def nothing_kept() -> float:
        shutil.rmtree(folder / "cache", ignore_errors=True)
        return week_on(folder, TODAY)

    what = "`tendwork week` with nothing kept"
    assert beside_click(what, nothing_kept, MOST_TIMES_NOTHING_KEPT) <= MOST_TIMES_NOTHING_KEPT
