"""A writing process killed at any moment: what it acknowledged is there, and the database is whole."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tendwork.folder.records_db import RecordStore

_WRITER = """
import sys
from datetime import date
from pathlib import Path
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.records import Tick
store = RecordStore.open(Path(sys.argv[1]), create=True)
start = int(sys.argv[2])
for number in range(start, start + 100_000):
    with store.act(f"tick {number}") as act:
        act.add(Tick("upkeep/site/2026", f"u{number}", date(2026, 1, 1), note="x" * (number % 700)))
    sys.stdout.write(f"{number}\\n")
    sys.stdout.flush()
"""
_START_EACH = 1_000_000


def kill_and_count(path: Path, kills: int) -> None:
    chance = random.Random(7)
    acknowledged: set[str] = set()
    for run in range(kills):
        process = subprocess.Popen(
            [sys.executable, "-c", _WRITER, str(path), str(run * _START_EACH)], stdout=subprocess.PIPE, text=True
        )
        assert process.stdout is not None
        if chance.random() < 0.8:  # the others are killed while they start and open
            acknowledged.add("u" + process.stdout.readline().strip())
        time.sleep(chance.random() * 0.03)
        process.send_signal(signal.SIGKILL)
        acknowledged |= {f"u{line.strip()}" for line in process.stdout if line.endswith("\n")}
        process.wait()
        process.stdout.close()
    with RecordStore.open(path) as store:
        assert store.faults() == ()
        assert acknowledged <= {tick.unit for tick in store.read().ticks}
        assert len(acknowledged) >= kills * 0.5


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is not there")
def test_twenty_kills_lose_no_acknowledged_act(tmp_path: Path) -> None:
    kill_and_count(tmp_path / "records.db", 20)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is not there")
def test_a_thousand_kills_lose_no_acknowledged_act(tmp_path: Path) -> None:
    kill_and_count(tmp_path / "records.db", 1000)
