"""Nothing is sent unless it is asked for: commands, watch and dashboard run where no connection may be opened."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

PROBE = """
import socket, sys
asked = []
def refuse(self, address, *more):
    asked.append(address)
    raise AssertionError(f"a connection to {address}")
for name in ("connect", "connect_ex", "sendto", "bind"):
    setattr(socket.socket, name, refuse)
socket.getaddrinfo = socket.create_connection = lambda *words, **_: refuse(None, words[0])
from tendwork.cli import cli
from tendwork.errors import PersonError
orchard = sys.argv[1]
for words in (
    ["week", "--on", "2026-05-05"], ["check"], ["temps", "show", "--on", "2026-05-05"], ["temps", "fetch"],
    ["watch", "--once"], ["calendar", orchard + "/a.ics", "--on", "2026-05-05"],
):
    try:
        cli.main(["--orchard", orchard, *words], prog_name="tendwork")
    except SystemExit as done:
        print("ENDED", words[0], int(done.code or 0))
    except PersonError:
        print("ENDED", words[0], 1)
import asyncio
from datetime import date
from tendwork.dashboard.app import Dashboard
from tendwork.workbench.bench import Workbench
async def show():
    app = Dashboard(Workbench.open(__import__("pathlib").Path(orchard)), date(2026, 5, 5))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("7")
        await app.workers.wait_for_complete()
        print("SHOWN", app.state.made)
asyncio.run(show())
print("ASKED", asked)
"""


def test_week_watch_and_dashboard_open_no_connection_where_no_service_is_named(orchard_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", PROBE, str(orchard_path)], capture_output=True, encoding="utf-8", timeout=120
    )
    assert [line for line in done.stdout.splitlines() if line.split(" ")[0] in ("ENDED", "SHOWN", "ASKED")] == [
        "ENDED week 0",
        "ENDED check 0",
        "ENDED temps 0",
        "ENDED temps 1",
        "ENDED watch 0",
        "ENDED calendar 0",
        "SHOWN True",
        "ASKED []",
    ], done.stderr
