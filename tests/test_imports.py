"""What a text command may never load: these modules cost more time than the whole answer."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

NEVER = ("textual", "rich", "apscheduler", "httpx", "icalendar", "jinja2", "numpy")

PROBE = """
import sys
from tendwork.cli import cli
try:
    cli.main(["--orchard", sys.argv[1], "week", "--json", "--on", "2026-05-05"], prog_name="tendwork")
except SystemExit as done:
    assert not done.code, done.code
print("LOADED", *sorted({name.partition(".")[0] for name in sys.modules}), file=sys.stderr)
"""


def test_the_week_as_json_loads_no_heavy_module(orchard_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROBE, str(orchard_path)], capture_output=True, text=True, timeout=60, check=True
    )
    loaded = set(done.stderr.split("LOADED")[1].split())
    assert loaded.isdisjoint(NEVER)
