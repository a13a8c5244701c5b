"""An open dashboard rolls over midnight and sees what another process wrote."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import date
from pathlib import Path

import pytest
from freezegun import freeze_time

from tendwork.dashboard.app import Dashboard
from tendwork.workbench.bench import Workbench
from tendwork.workbench.records_room import JobTick

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
GATE = "own-gate/site/2026"


class HandTicker:
    """A ticker that a test turns by hand."""

    def __init__(self) -> None:
        self.job: Callable[[], Awaitable[None]] | None = None
        self.stopped = False

    def start(self, seconds: float, job: Callable[[], Awaitable[None]], trouble: Callable[[str], None]) -> None:
        del seconds, trouble
        self.job = job

    def stop(self) -> None:
        self.stopped = True


async def test_the_day_rolls_over_at_midnight(bench: Workbench, at_rest, seen_on) -> None:
    ticker = HandTicker()
    with freeze_time("2026-03-12 23:59:50", real_asyncio=True, ignore=["textual", "tendwork"]) as clock:
        app = Dashboard(bench, ticker=ticker)
        async with app.run_test(size=(80, 24)) as pilot:
            await at_rest(pilot)
            evening = seen_on(app)
            clock.move_to("2026-03-13 00:00:20")
            await ticker.job()
            await at_rest(pilot)
            assert "Thu 12 Mar 2026" in evening
            assert "Fri 13 Mar 2026" in seen_on(app)


async def test_what_another_process_wrote_is_shown(bench: Workbench, at_rest, folder: Path) -> None:
    ticker = HandTicker()
    app = Dashboard(bench, TODAY, ticker)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        other = Workbench.open(folder)
        other.records.tick((JobTick(GATE),), TODAY)
        other.close()
        await ticker.job()
        await at_rest(pilot)
        assert next(task.state for task in app.state.jobs if task.key == GATE) == "done"


async def test_an_edited_template_is_shown_after_the_next_round(bench: Workbench, at_rest, folder: Path) -> None:
    ticker = HandTicker()
    app = Dashboard(bench, TODAY, ticker)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        own = folder / "templates" / "own.toml"
        own.write_text(own.read_text(encoding="utf-8").replace("Oil the gate", "Paint the gate"), encoding="utf-8")
        await ticker.job()
        await at_rest(pilot)
        assert next(task.title for task in app.state.jobs if task.key == GATE) == "Paint the gate"


async def test_what_was_done_is_said_though_no_plan_can_follow_it(bench: Workbench, at_rest, press, folder) -> None:
    bench.records.entries.add("trees", {"id": "t8", "name": "Late pear", "species": "pear"}, TODAY)
    app = Dashboard(bench, TODAY, HandTicker())
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        (folder / "templates" / "own.toml").write_text("x = [", encoding="utf-8")
        await press(pilot, "u")
        await at_rest(pilot)
        assert app.notice.text.startswith("Undone: ")
        assert "own.toml" in app.notice.text


async def test_the_watch_ends_with_the_dashboard(bench: Workbench, at_rest, press) -> None:
    ticker = HandTicker()
    app = Dashboard(bench, TODAY, ticker)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "q")
    assert ticker.stopped
