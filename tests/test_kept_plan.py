"""The kept plan is a cache: one that cannot be read is as good as none."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from datetime import date
from pathlib import Path

import tendwork
from tendwork.workbench.bench import Workbench
from tendwork.workbench.plan_cache import CACHE_FILE, PlannedDay, read_kept


def test_a_kept_plan_whose_text_is_damaged_is_made_again(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    before = bench.plan.of(date(2026, 5, 6)).plan
    file = orchard_path / "cache" / CACHE_FILE
    file.write_bytes(file.read_bytes().replace(b"Red Lamp", b"Red \xb2amp"))
    bench.close()
    bench = Workbench.open(orchard_path)
    assert read_kept(bench._folder, PlannedDay) is None
    assert bench.plan.of(date(2026, 5, 6)).plan == before
    bench.close()


def test_a_plan_is_of_another_program_once_any_of_its_files_is_another(tmp_path: Path) -> None:
    package = Path(tendwork.__file__).parent
    shutil.copytree(package, tmp_path / "tendwork", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(package.parent / "task_templates", tmp_path / "task_templates")
    ask = "from tendwork.workbench.plan_cache import _program; print(_program())"

    def program() -> str:
        done = subprocess.run([sys.executable, "-c", ask], cwd=tmp_path, capture_output=True, text=True, check=True)
        return done.stdout

    seen = [program()]
    for file in ("tendwork/errors.py", "tendwork/planning/states.py", "task_templates/wood.toml"):
        os.utime(tmp_path / file, (1, 1))
        seen.append(program())
    assert "" not in seen
    assert len(set(seen)) == len(seen)
