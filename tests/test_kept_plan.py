"""The kept plan is a cache: one that cannot be read is as good as none."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

import tendwork
from tendwork.workbench import kept_reading
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard
from tendwork.workbench.plan_cache import CACHE_FILE, KeptPlans, read_kept


def test_a_kept_plan_that_is_damaged_anywhere_is_made_again(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    before = bench.plan.of(date(2026, 5, 6)).plan
    file = orchard_path / "cache" / CACHE_FILE
    content = bytearray(file.read_bytes())
    content[-100] ^= 0xFF
    file.write_bytes(content)
    bench.close()
    bench = Workbench.open(orchard_path)
    assert read_kept(bench._folder) is None
    assert bench.plan.of(date(2026, 5, 6)).plan == before
    bench.close()


@pytest.mark.parametrize("at", range(1, 60, 3))
def test_a_damaged_day_or_token_is_no_other_one(orchard_path: Path, at: int) -> None:
    bench = Workbench.open(orchard_path)
    bench.plan.of(date(2026, 5, 6))
    file = orchard_path / "cache" / CACHE_FILE
    content = bytearray(file.read_bytes())
    start = content.index(b"2026-05-06") - 30
    content[start + at] ^= 0x01
    file.write_bytes(content)
    bench.close()
    bench = Workbench.open(orchard_path)
    assert KeptPlans(bench._folder).earlier(date(2026, 5, 20)) is None
    bench.close()


@pytest.mark.parametrize("trouble", ["another day", "gone", "damaged"])
def test_a_verdict_ticks_the_job_that_asked_for_it_whatever_is_kept(tmp_path: Path, trouble: str) -> None:
    """The kept plan is a cache, and decides nothing that is written into the records."""
    day = date(2026, 10, 5)
    folders = [tmp_path / "kept", tmp_path / trouble]
    for folder in folders:
        demo_orchard(day, folder)
    ticked = []
    for folder in folders:
        bench = Workbench.open(folder)
        asked = next(task for task in bench.plan.of(day).plan.tasks if task.template == "judge-varieties")
        if folder == folders[1]:
            file = folder / "cache" / CACHE_FILE
            if trouble == "another day":
                other = Workbench.open(folder)
                other.plan.of(date(2026, 6, 1))
                other.close()
            elif trouble == "gone":
                shutil.rmtree(folder / "cache")
            else:
                file.write_bytes(file.read_bytes()[:-40])
            bench.close()
            bench = Workbench.open(folder)
        bench.records.entries.judge([asked.units[0].id], "keep", day)
        ticked.append({(tick.task, tick.unit) for tick in bench.records.read().ticks if tick.day == day})
        bench.close()
    assert ticked[0] == ticked[1] != set()


@pytest.mark.parametrize("name", ["templates.msgpack", "temperatures.msgpack", "progress.msgpack"])
@pytest.mark.parametrize("damage", [lambda _: b"", lambda held: held[:-40], lambda held: held[:50] + b"\0" + held[51:]])
def test_what_was_read_and_is_damaged_is_read_again_without_a_word(
    orchard_path: Path, name: str, damage: Callable[[bytes], bytes]
) -> None:
    bench = Workbench.open(orchard_path)
    before = bench.plan.of(date(2026, 5, 6))
    bench.close()
    file = orchard_path / "cache" / name
    whole = file.read_bytes()
    file.write_bytes(damage(whole))
    (orchard_path / "cache" / CACHE_FILE).unlink()
    bench = Workbench.open(orchard_path)
    assert bench.plan.of(date(2026, 5, 6)) == before
    bench.close()
    assert file.read_bytes() == whole


def test_what_another_program_read_is_read_again(orchard_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    bench = Workbench.open(orchard_path)
    seen = []
    for version in ("1", "1", "2"):
        monkeypatch.setattr(kept_reading, "program", lambda version=version: version)
        kept_reading.kept_or_read(bench._folder, "any.msgpack", "files", list[int], lambda: seen.append(1) or [7])
    bench.close()
    assert len(seen) == 2


def test_a_plan_is_of_another_program_once_any_of_its_files_is_another(tmp_path: Path) -> None:
    package = Path(tendwork.__file__).parent
    shutil.copytree(package, tmp_path / "tendwork", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(package.parent / "task_templates", tmp_path / "task_templates")
    ask = "from tendwork.workbench.plan_cache import program; print(program())"

    def program() -> str:
        done = subprocess.run([sys.executable, "-c", ask], cwd=tmp_path, capture_output=True, text=True, check=True)
        return done.stdout

    seen, lists = [program()], "tendwork/_data/variety_lists/varieties.csv"
    for file in ("tendwork/errors.py", "tendwork/planning/states.py", "task_templates/wood.toml", lists):
        os.utime(tmp_path / file, (1, 1))
        seen.append(program())
    assert "" not in seen
    assert len(set(seen)) == len(seen)
