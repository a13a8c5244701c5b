"""Several processes that add to one temperature file, and what a lock that is held says."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.file_lock import locked
from tendwork.folder.temperatures_csv import read_temperatures

_ADDER = """
import sys
from datetime import date, timedelta
from pathlib import Path
from tendwork.workbench.bench import Workbench
bench, own, first = Workbench.open(Path(sys.argv[1])), Path(sys.argv[2]), date.fromisoformat(sys.argv[3])
import tendwork.workbench.temperature_files
print("ready", flush=True)
sys.stdin.readline()  # all begin together
for number in range(8):
    day = first + timedelta(days=number)
    own.write_text(f"date,tmin_c,tmax_c\\n{day},1,9\\n{day + timedelta(days=1)},1,9\\n", encoding="utf-8")
    bench.temperatures.add(own, date(2026, 6, 1), False, None)
"""


def test_four_processes_that_add_days_to_one_file_lose_none(orchard_path: Path, tmp_path: Path) -> None:
    firsts = [date(2025, month, 1) for month in (1, 3, 5, 7)]
    running = [
        subprocess.Popen(
            [sys.executable, "-c", _ADDER, str(orchard_path), str(tmp_path / f"{first}.csv"), str(first)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for first in firsts
    ]
    for process in running:
        process.stdout.readline()
    for process in running:
        process.stdin.write("go\n")
        process.stdin.flush()
    assert [process.communicate(timeout=60)[1] for process in running] == [""] * 4
    held = read_temperatures(orchard_path / "temperatures" / "added.csv").days
    assert list(held) == [first + timedelta(days=number) for first in firsts for number in range(9)]


def test_a_lock_that_stays_held_is_a_sentence(tmp_path: Path) -> None:
    file = tmp_path / ".lock"
    with (
        locked(file, "first"),
        pytest.raises(PersonError, match="busy, do it again"),
        locked(file, "busy, do it again", 0.1),
    ):
        pass


def test_a_lock_is_free_again_after_its_holder(tmp_path: Path) -> None:
    for _ in range(2):
        with locked(tmp_path / ".lock", "held", 0):
            pass
