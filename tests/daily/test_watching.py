"""The watch as a process: one a folder, clean at a signal, and no second sheet after a crash."""

from __future__ import annotations

import asyncio
import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from watched_orchard import Person, spare_the_plan

from tendwork.cli import cli
from tendwork.cli import watch as watch_command
from tendwork.daily.watch_lock import only_one
from tendwork.daily.watching import LOOK_SECONDS, Watching
from tendwork.errors import PersonError

NOON = datetime(2026, 5, 5, 12, tzinfo=UTC)
Run = Callable[..., subprocess.CompletedProcess[str]]


class HurriedTicker:
    """Ticks without waiting, and moves a clock by as much as it should have waited, until a day is reached."""

    def __init__(self, person: Person, step: timedelta, until: datetime) -> None:
        self.person = person
        self.step = step
        self.until = until
        self.watching: Watching
        self.seconds = 0.0

    def start(self, seconds: float, job: Callable, trouble: Callable) -> None:
        del trouble
        self.seconds = seconds
        self.task = asyncio.get_running_loop().create_task(self._tick(job))

    async def _tick(self, job: Callable) -> None:
        while self.person.clock.now < self.until:
            await job()
            self.person.clock.now += self.step
        self.watching.stop()

    def stop(self) -> None:
        self.task.cancel()


def test_two_days_of_the_real_watch_pass_in_seconds_with_one_sheet_a_day(orchard_path: Path) -> None:
    person = Person(orchard_path, datetime(2026, 3, 28, tzinfo=UTC))
    ticker = HurriedTicker(person, timedelta(minutes=20), datetime(2026, 3, 30, tzinfo=UTC))
    watching = Watching(lambda: [entry.words for entry in person.look()], lambda _: None, ticker)
    ticker.watching = watching
    watching.run()
    assert person.sheet_days() == ["Sat 28 Mar 2026", "Sun 29 Mar 2026"]
    assert ticker.seconds == LOOK_SECONDS


class Looks:
    """A look that a test can hold up or break, and what the watch said."""

    def __init__(self) -> None:
        self.count = 0
        self.begun = threading.Event()
        self.may_end = threading.Event()
        self.may_end.set()
        self.error: Exception | None = None
        self.said: list[str] = []

    def __call__(self) -> list[str]:
        self.count += 1
        self.begun.set()
        assert self.may_end.wait(10)
        if self.error is not None:
            raise self.error
        return [f"look {self.count}"]


class QuietTicker:
    """Ticks only when a test says so."""

    def start(self, seconds: float, job: Callable, trouble: Callable) -> None:
        self.job = job
        del seconds, trouble

    def stop(self) -> None:
        pass


@contextmanager
def watching_in_a_thread(looks: Looks) -> Iterator[tuple[Watching, threading.Thread]]:
    watching = Watching(looks, looks.said.append, QuietTicker())
    thread = threading.Thread(target=watching.serve)
    thread.start()
    yield watching, thread
    thread.join(10)
    assert not thread.is_alive()


def test_the_watch_looks_at_once_and_says_what_was_done() -> None:
    looks = Looks()
    with watching_in_a_thread(looks) as (watching, _):
        assert looks.begun.wait(10)
        watching.stop()
    assert looks.said == ["look 1"]


def test_a_stop_waits_for_the_look_that_is_under_way() -> None:
    looks = Looks()
    looks.may_end.clear()
    with watching_in_a_thread(looks) as (watching, thread):
        assert looks.begun.wait(10)
        watching.stop()
        thread.join(0.2)
        assert thread.is_alive()
        looks.may_end.set()
    assert looks.said == ["look 1"]


def test_a_tick_that_waited_for_a_look_does_nothing_after_the_stop() -> None:
    looks = Looks()
    looks.may_end.clear()
    ticker = QuietTicker()
    watching = Watching(looks, looks.said.append, ticker)
    thread = threading.Thread(target=watching.serve)
    thread.start()
    assert looks.begun.wait(10)
    assert watching._loop is not None
    waiting = asyncio.run_coroutine_threadsafe(ticker.job(), watching._loop)
    watching.stop()
    looks.may_end.set()
    thread.join(10)
    assert waiting.done()
    assert looks.count == 1


@pytest.mark.anyio
async def test_what_is_wrong_is_said_when_it_is_new_and_not_at_every_look() -> None:
    looks = Looks()
    watching = Watching(looks, looks.said.append, QuietTicker())
    for error in (PersonError("site.toml: gone"), PersonError("site.toml: gone"), ValueError("x"), None):
        looks.error = error
        await watching.look()
    assert looks.said == ["site.toml: gone", "A look went wrong (ValueError: x).", "look 4"]


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


# The process


@pytest.fixture
def person(orchard_path: Path) -> Person:
    return Person(orchard_path, NOON, at="00:00")


@contextmanager
def watch_process(orchard: Path) -> Iterator[subprocess.Popen[str]]:
    """`tendwork watch`, ended if a test leaves it running."""
    command = [sys.executable, "-u", "-m", "tendwork", "--orchard", str(orchard), "watch"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        yield process
    finally:
        process.kill()
        process.wait()


def wait_for(true: Callable[[], bool]) -> None:
    end = time.monotonic() + 120
    while not true():
        assert time.monotonic() < end
        time.sleep(0.05)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_ends_the_watch_cleanly_after_what_it_is_at(person: Person, number: signal.Signals) -> None:
    with watch_process(person.orchard) as process:
        wait_for(lambda: bool(person.log("sheet")))
        process.send_signal(number)
        said, _ = process.communicate(timeout=120)
    assert process.returncode == 0
    assert said.endswith("The watch has ended.\n")
    assert "Traceback" not in said
    assert len(person.deliveries()) == 1


def test_a_second_watch_on_the_folder_says_so_and_leaves(person: Person, run: Run) -> None:
    with only_one(person.orchard):
        done = run("watch", "--once")
    assert done.returncode == 1
    assert "another watch is at work on this orchard, so this one leaves" in done.stderr
    assert person.deliveries() == []


def test_the_lock_goes_with_its_holder(person: Person, run: Run) -> None:
    with watch_process(person.orchard) as process:
        wait_for(lambda: bool(person.log("sheet")))
        process.kill()
        process.wait()
    assert run("watch", "--once").returncode == 0


def test_a_sheet_whose_delivery_was_cut_off_by_a_crash_does_not_come_twice(orchard_path: Path, run: Run) -> None:
    person = Person(orchard_path, NOON, at="00:00")
    kill = f"\nimport os, signal\nos.kill(os.getppid(), {int(signal.SIGKILL)})\n"
    with (orchard_path / "write_down.py").open("a") as script:
        script.write(kill)
    assert run("watch", "--once").returncode == -signal.SIGKILL
    after = run("watch", "--once")
    assert after.returncode == 1
    assert "broken off; it is not done again, so that it does not come twice" in after.stderr
    assert run("watch", "--once").returncode == 0
    assert len(person.deliveries()) == 1


def test_once_says_what_was_due_and_then_nothing(person: Person, run: Run) -> None:
    assert "sheet: The sheet of" in run("watch", "--once").stdout
    again = run("watch", "--once")
    assert (again.returncode, again.stdout, again.stderr) == (0, "", "")
    assert len(person.deliveries()) == 1


def test_the_log_tells_what_a_watch_did_and_does_nothing(person: Person, run: Run) -> None:
    assert "The watch has done nothing here yet" in run("watch", "--log").stdout
    run("watch", "--once")
    before = len(person.deliveries())
    told = run("watch", "--log")
    assert (told.returncode, len(person.deliveries())) == (0, before)
    assert " sheet: The sheet of" in told.stdout


def test_once_whose_command_fails_says_so_and_exits_1(orchard_path: Path, run: Run) -> None:
    Person(orchard_path, NOON, at="00:00", remind='command = ["no-such-program"]')
    done = run("watch", "--once")
    assert done.returncode == 1
    assert "sheet failed:" in done.stderr
    assert "no-such-program cannot be run" in done.stderr


def test_a_watch_takes_no_day_to_plan_for(run: Run) -> None:
    assert run("watch", "--once", "--on", "2026-05-05").returncode == 2


def test_a_crontab_line_through_the_change_to_summer_time_brings_one_sheet_a_day(
    orchard_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    spare_the_plan(monkeypatch)
    person = Person(orchard_path, datetime(2026, 3, 28, tzinfo=UTC), at="01:30")
    monkeypatch.setattr(watch_command, "_now", person.clock)
    for _ in range(24):
        done = CliRunner().invoke(cli, ["--orchard", str(orchard_path), "watch", "--once"])
        assert done.exit_code == 0, done.output
        person.clock.now += timedelta(hours=3)
    assert person.sheet_days() == ["Sat 28 Mar 2026", "Sun 29 Mar 2026", "Mon 30 Mar 2026"]


def test_a_watch_loads_no_screen_library(orchard_path: Path) -> None:
    probe = """
import sys
from tendwork.cli import cli
from tendwork.cli import watch as watch_command
try:
    cli.main(["--orchard", sys.argv[1], "watch", "--once"], prog_name="tendwork")
except SystemExit as done:
    assert not done.code, done.code
print("LOADED", *sys.modules, file=sys.stderr)
"""
    done = subprocess.run(
        [sys.executable, "-c", probe, str(orchard_path)],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
        env=os.environ.copy(),
    )
    assert {"textual", "httpx", "apscheduler.schedulers"}.isdisjoint(done.stderr.split("LOADED")[1].split())
