"""What a text command may never load: these modules cost more time than the whole answer.

What the dashboard may not load before its first paint stands in tests/dashboard/test_opening.py.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

NEVER = ("textual", "rich", "apscheduler", "httpx", "icalendar", "jinja2", "numpy")

# What plans, and what has no part in reading a kept week.
NOT_FOR_A_KEPT_WEEK = (
    "asyncio",
    "difflib",
    "hashlib",
    "importlib.metadata",
    "importlib.resources",
    "pendulum",
    "secrets",
    "tempfile",
    "tendwork.almanac.almanac",
    "tendwork.cli.act",
    "tendwork.folder.templates",
    "tendwork.planning.fit",
    "tendwork.planning.planner",
    "tendwork.workbench.plan_making",
)

PROBE = """
import sys
from tendwork.cli import cli
try:
    cli.main(["--orchard", sys.argv[1], "week", *sys.argv[2:], "--on", "2026-05-05"], prog_name="tendwork")
except SystemExit as done:
    assert not done.code, done.code
print("LOADED", *sys.modules, file=sys.stderr)
"""


def loaded_by_week(orchard: Path, *options: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", PROBE, str(orchard), *options], capture_output=True, text=True, timeout=60, check=True
    )
    return set(done.stderr.split("LOADED")[1].split())


def test_the_week_as_json_loads_no_heavy_module(orchard_path: Path) -> None:
    assert loaded_by_week(orchard_path, "--json").isdisjoint(NEVER)


def test_a_kept_week_loads_nothing_that_plans(orchard_path: Path) -> None:
    loaded_by_week(orchard_path)
    assert sorted(loaded_by_week(orchard_path).intersection(NOT_FOR_A_KEPT_WEEK)) == []
