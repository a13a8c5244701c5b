"""How soon the program is there, and what it takes: each run stands beside the least that its library could do.

`tendwork week` with its plan kept stands beside a click program of one line, the dashboard beside a Textual app of one
line. Both of a pair run by turns in processes of their own, so that what else runs meets both alike; the quickest of
each counts. The first paint has the day, the orchard and its next job; the whole of Morning is timed too. Memory is
what a process holds once its screen stands, the plan of the day is made and it watches for another
day. Needs a pseudo-terminal and /proc, so Linux. Run with `-m bench -s`.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from time import perf_counter

import pytest

from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard

pytestmark = [
    pytest.mark.bench,
    pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads /proc and a pseudo-terminal"),
]

TODAY = date(2026, 6, 10)
ROUNDS = 7
LONGEST_SECONDS = 30
MOST_TIMES_CLICK, MOST_TIMES_PAINT, MOST_TIMES_MORNING, MOST_TIMES_MEMORY = 2.5, 1.25, 3.0, 1.3

BARE_CLICK = """
import click

@click.command()
@click.option("--on")
def main(on):
    click.echo("Nothing to do.")

main()
"""
BARE_APP = """
from textual.app import App
from textual.widgets import Static

class Bare(App):
    def compose(self):
        yield Static("painted")
"""
OPENED_ORCHARD = """
import sys
from datetime import date
from pathlib import Path
from tendwork.dashboard.app import Dashboard
from tendwork.workbench.bench import Workbench

app = Dashboard(Workbench.open(Path(sys.argv[1])), date.fromisoformat(sys.argv[2]))
"""
HELD = """
import asyncio
from pathlib import Path

async def stand():
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert getattr(app, "state", None) is None or app.state.made
        status = Path("/proc/self/status").read_text()
        print(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS")))

asyncio.run(stand())
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample orchard with its plan of the day kept."""
    path = demo_orchard(TODAY, tmp_path_factory.mktemp("startup") / "orchard")
    bench = Workbench.open(path)
    bench.plan.of(TODAY)
    bench.close()
    return path


@pytest.fixture(autouse=True)
def bytecode_is_kept(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a person's machine, every module of either side is compiled once and not at each start."""
    monkeypatch.delenv("PYTHONDONTWRITEBYTECODE", raising=False)
    monkeypatch.setenv("PYTHONPYCACHEPREFIX", str(tmp_path_factory.getbasetemp() / "bytecode"))


def processor_seconds(command: Sequence[str]) -> float:
    """The processor's time of one run, so that what else runs does not count."""
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stdin=subprocess.DEVNULL)
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    assert process.returncode == 0
    return used.ru_utime + used.ru_stime


def seconds_to_paint(command: Sequence[str], sign: bytes) -> float:
    """From the start of a process in a terminal of 80 by 24 until `sign` is drawn."""
    import pty
    from select import select

    start = perf_counter()
    child, terminal = pty.fork()
    if child == 0:
        os.environ.update(TERM="xterm-256color", COLUMNS="80", LINES="24")
        os.execv(command[0], list(command))
    drawn = b""
    try:
        while sign not in drawn:
            assert select([terminal], [], [], LONGEST_SECONDS)[0], f"{sign!r} was never drawn"
            drawn += os.read(terminal, 65536)
        return perf_counter() - start
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(terminal)


def kilobytes_held(code: str, *words: str) -> float:
    """The memory that the app of `code` holds once its screen stands."""
    done = subprocess.run([sys.executable, "-c", code + HELD, *words], capture_output=True, text=True, check=True)
    return float(done.stdout)


def least_of_each(
    ours: Callable[[], float], bare: Callable[[], float], what: str, unit: str, scale: float, most: float
) -> float:
    """Run both by turns and print the least of each; the ratio of ours to the bare one."""
    bare(), ours()  # fills the bytecode and the page cache
    pairs = [(ours(), bare()) for _ in range(ROUNDS)]
    least, least_bare = min(held for held, _ in pairs), min(held for _, held in pairs)
    ratio = least / least_bare
    print(f"\n{what}: {least * scale:.0f} {unit} beside {least_bare * scale:.0f} {unit}: {ratio:.2f} x (most {most} x)")
    return ratio


def test_the_week_from_a_kept_plan_beside_a_bare_click_program(folder: Path) -> None:
    week = [sys.executable, "-m", "tendwork", "--orchard", str(folder), "--on", str(TODAY), "week"]
    bare = [sys.executable, "-c", BARE_CLICK, "--on", str(TODAY)]
    ratio = least_of_each(
        lambda: processor_seconds(week),
        lambda: processor_seconds(bare),
        "`tendwork week`, plan kept, beside one line of click",
        "ms",
        1000,
        MOST_TIMES_CLICK,
    )
    assert ratio <= MOST_TIMES_CLICK


@pytest.mark.parametrize(
    ("what", "sign", "most"),
    [("the first paint", b"Next: ", MOST_TIMES_PAINT), ("the whole of Morning", b"Open now", MOST_TIMES_MORNING)],
)
def test_the_way_to_a_paint_beside_an_app_of_one_line(folder: Path, what: str, sign: bytes, most: float) -> None:
    dashboard = [sys.executable, "-m", "tendwork", "--orchard", str(folder), "--on", str(TODAY)]
    bare = [sys.executable, "-c", BARE_APP + "Bare().run()"]
    ratio = least_of_each(
        lambda: seconds_to_paint(dashboard, sign),
        lambda: seconds_to_paint(bare, b"painted"),
        f"process start to {what}, dashboard beside an app of one line",
        "ms",
        1000,
        most,
    )
    assert ratio <= most


def test_the_memory_of_the_dashboard_beside_an_app_of_one_line(folder: Path) -> None:
    ratio = least_of_each(
        lambda: kilobytes_held(OPENED_ORCHARD, str(folder), str(TODAY)),
        lambda: kilobytes_held(BARE_APP + "app = Bare()"),
        "memory held, dashboard with its plan kept beside an app of one line",
        "MB",
        1 / 1024,
        MOST_TIMES_MEMORY,
    )
    assert ratio <= MOST_TIMES_MEMORY
