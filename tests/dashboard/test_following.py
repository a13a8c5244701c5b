"""An open dashboard follows what other processes do, and all of them together lose nothing."""

from __future__ import annotations

import asyncio
import os
import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path
from time import monotonic

import pytest

from tendwork.dashboard.app import Dashboard
from tendwork.folder.records_db import RecordStore
from tendwork.folder.records_files import databases_set_aside
from tendwork.orchard.records import Tick
from tendwork.workbench.bench import Workbench
from tendwork.workbench.folder_check import check_folder

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
GATE = "own-gate/site/2026"
FOLLOWS_WITHIN_SECONDS = 30.0  # two on an idle machine; how soon is for a benchmark to say
PROCESSES, TICKS = 8, 500

TICKER = """
import sys
from datetime import date
from pathlib import Path
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.orchard.records import Tick
store = OrchardFolder.open(Path(sys.argv[1])).records
for number in range(int(sys.argv[3])):
    with store.act("tick") as act:
        act.add(Tick("own-other/site/2026", f"p{sys.argv[2]}-{number}", date(2026, 3, 12)))
"""


def state_of(app: Dashboard, key: str) -> str:
    return next(task.state for task in app.state.jobs if task.key == key)


async def seconds_until(app: Dashboard, pilot, key: str, state: str) -> float:
    """How long until the dashboard shows a job in a state; infinite if that takes too long."""
    start = monotonic()
    while monotonic() - start < FOLLOWS_WITHIN_SECONDS:
        if state_of(app, key) == state:
            return monotonic() - start
        await pilot.pause(0.02)
    return float("inf")


async def test_a_tick_by_a_command_is_on_the_screen_by_itself(app, folder: Path, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        command = [sys.executable, "-m", "tendwork", "--orchard", str(folder), "--on", str(TODAY), "tick", GATE]
        done = await asyncio.to_thread(subprocess.run, command, capture_output=True, text=True, check=True)
        assert "Oil the gate" in done.stdout
        assert await seconds_until(app, pilot, GATE, "done") <= FOLLOWS_WITHIN_SECONDS


async def test_a_tick_on_one_screen_is_on_the_other_by_itself(app, folder: Path, at_rest, go_to, press) -> None:
    other = Dashboard(Workbench.open(folder), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        async with other.run_test(size=(80, 24)) as others:
            await at_rest(others)
            await go_to(others, GATE)
            await press(others, "space")
            assert await seconds_until(app, pilot, GATE, "done") <= FOLLOWS_WITHIN_SECONDS


async def test_a_tick_after_the_records_were_replaced_goes_into_those_that_stand_there(
    app, folder: Path, tmp_path: Path, at_rest, go_to, press
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        shutil.copyfile(folder / "records.db", tmp_path / "theirs.db")
        theirs = Tick("own-other/site/2026", "theirs", TODAY)
        with RecordStore.open(tmp_path / "theirs.db") as store, store.act("tick") as act:
            act.add(theirs)
        await go_to(pilot, GATE)
        os.replace(tmp_path / "theirs.db", folder / "records.db")
        await press(pilot, "space")
        assert await seconds_until(app, pilot, GATE, "done") <= FOLLOWS_WITHIN_SECONDS
        assert theirs in app.state.records.ticks
    ticks = Workbench.open(folder).records.read().ticks
    assert theirs in ticks
    assert GATE in {tick.task for tick in ticks}
    assert len(databases_set_aside(folder / "records.db")) == 1


async def test_its_own_tick_is_planned_once(app, at_rest, go_to, press, monkeypatch) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        turned: list[bool] = []
        monkeypatch.setattr(app, "_folder_turned", lambda: turned.append(True))
        await press(pilot, "space")
        await pilot.pause(2.2)
        assert turned == []


async def test_a_folder_that_cannot_be_planned_from_is_told_and_not_tried_every_second(
    app, folder: Path, at_rest
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        site = folder / "site.toml"
        site.write_text(site.read_text(encoding="utf-8") + "\nnonsense = 1\n", encoding="utf-8")
        start = monotonic()
        while not app.notice.trouble and monotonic() - start < FOLLOWS_WITHIN_SECONDS:
            await pilot.pause(0.02)
        assert "nonsense" in app.notice.text
        await at_rest(pilot)
        assert not app._bench.plan.changed()


@pytest.mark.slow
async def test_eight_processes_a_dashboard_a_watch_and_commands_lose_nothing(app, folder: Path, at_rest) -> None:
    own = {**os.environ, "TENDWORK_ORCHARD": str(folder)}
    watch = subprocess.Popen([sys.executable, "-m", "tendwork", "watch"], env=own, stderr=subprocess.PIPE, text=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        troubles: list[str] = []
        app.watch(app, "notice", lambda notice: notice.trouble and troubles.append(notice.text))
        tickers = [
            subprocess.Popen(
                [sys.executable, "-c", TICKER, str(folder), str(number), str(TICKS)], stderr=subprocess.PIPE, text=True
            )
            for number in range(PROCESSES)
        ]
        said: list[str] = []
        while any(ticker.poll() is None for ticker in tickers):
            command = [sys.executable, "-m", "tendwork", "--on", str(TODAY), "week"]
            week = await asyncio.to_thread(subprocess.run, command, env=own, capture_output=True, text=True)
            said.append(week.stderr)
            await pilot.pause(0.2)
        said += [ticker.communicate()[1] for ticker in tickers]
        await seconds_until(app, pilot, GATE, "done")
        assert len(app.state.records.ticks) == PROCESSES * TICKS
    watch.terminate()
    assert [*said, watch.communicate()[1]] == [""] * (len(said) + 1)
    assert troubles == []
    bench = Workbench.open(folder)
    assert len({tick.unit for tick in bench.records.read().ticks}) == PROCESSES * TICKS
    assert check_folder(folder, date.today())[0] == ()
