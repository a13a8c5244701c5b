"""Several processes on one folder at once: no act lost, no lock error."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tendwork.folder.records_db import RecordStore

_TICKER = """
import sys
from datetime import date
from pathlib import Path
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.records import Tick
store = RecordStore.open(Path(sys.argv[1]), create=True)
for number in range(int(sys.argv[3])):
    with store.act("tick") as act:
        act.add(Tick("upkeep/site/2026", f"p{sys.argv[2]}-{number}", date(2026, 1, 1)))
    if number % 10 == 0:
        store.read()
"""


def tick_together(path: Path, processes: int, ticks: int) -> None:
    """All processes begin together, on a file that is not there yet."""
    running = [
        subprocess.Popen(
            [sys.executable, "-c", _TICKER, str(path), str(number), str(ticks)], stderr=subprocess.PIPE, text=True
        )
        for number in range(processes)
    ]
    said = [process.communicate()[1] for process in running]
    assert said == [""] * processes
    with RecordStore.open(path) as store:
        assert len({tick.unit for tick in store.read().ticks}) == processes * ticks
        assert store.faults() == ()


def test_four_processes_with_fifty_ticks_each_lose_none(tmp_path: Path) -> None:
    tick_together(tmp_path / "records.db", 4, 50)


@pytest.mark.slow
def test_eight_processes_with_five_hundred_ticks_each_lose_none(tmp_path: Path) -> None:
    tick_together(tmp_path / "records.db", 8, 500)
