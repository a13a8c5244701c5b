"""The import contracts of pyproject.toml hold, and each of them fails as soon as somebody breaks it."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PLANTED = {
    "plain_text.py": "import tendwork.errors",
    "errors.py": "import tendwork.species",
    "unwaited.py": "import tendwork.species",
    "species.py": "import tendwork.orchard.records",
    "almanac/days.py": "import tendwork.orchard.records",
    "orchard/records.py": "import tendwork.almanac.days",
    "planning/results.py": "import tendwork.view.text",
    "view/text.py": "import tendwork.folder.site",
    "folder/site.py": "import tendwork.weather.readers",
    "weather/readers/reading.py": "import tendwork.outputs.page",
    "outputs/page.py": "import tendwork.weather.readers",
    "workbench/bench.py": "import tendwork.daily.jobs",
    "daily/jobs.py": "import tendwork.dashboard.state",
    "dashboard/state.py": "import tendwork.cli.printing",
    "cli/printing.py": "import tendwork.__main__",
    "new_room.py": '"""A room that no layer names."""',
    "planning/fit.py": "import os",
    "almanac/heat.py": "import pendulum",
    "folder/daily_log.py": "import textual",
    "daily/deliveries.py": "import click",
    "workbench/exports.py": "import apscheduler",
    "outputs/events.py": "import pendulum",
    "outputs/labels.py": "import os",
    "outputs/calendar.py": "from pathlib import Path",
    "outputs/sheet.py": "import httpx",
    "outputs/caution.py": "import socket",
    "workbench/plan_room.py": "import sqlite3",
    "daily/timetable.py": "import sqlite3",
    "weather/readers/table.py": "import sqlite3",
    "site_clock.py": "import tendwork.species",
    "cli/read.py": "import textual",
    "cli/session.py": "import sqlite3",
    "dashboard/making.py": "import tendwork.weather.readers",
    "dashboard/desk.py": "import tendwork.folder.site",
}


def lint(place: Path) -> subprocess.CompletedProcess[str]:
    program = str(Path(sys.executable).with_name("lint-imports"))
    return subprocess.run([program, "--no-cache"], cwd=place, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("contracts")
    shutil.copy(ROOT / "pyproject.toml", place)
    shutil.copytree(ROOT / "tendwork", place / "tendwork", ignore=shutil.ignore_patterns("__pycache__"))
    return place


def test_the_contracts_hold(copy: Path) -> None:
    result = lint(copy)
    assert result.returncode == 0, result.stdout


@pytest.mark.parametrize("file", PLANTED)
def test_a_forbidden_import_is_seen(copy: Path, file: str) -> None:
    planted = copy / "tendwork" / file
    before = planted.read_bytes() if planted.exists() else None
    planted.write_bytes((before or b"") + f"\n{PLANTED[file]}\n".encode())
    result = lint(copy)
    if before is None:
        planted.unlink()
    else:
        planted.write_bytes(before)
    assert result.returncode != 0, f"{file} may {PLANTED[file]}"
    assert "BROKEN" in result.stdout or "not specified" in result.stdout + result.stderr, result.stdout
