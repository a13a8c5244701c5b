"""An orchard whose sheet goes to a command that writes down each delivery, and a clock that a test moves."""

from __future__ import annotations

import sys
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from invented_service import Clock, patient_for

from tendwork.daily import deliveries, jobs
from tendwork.daily.jobs import DailyJobs
from tendwork.folder.daily_log import Entry, read_log
from tendwork.view.words import full_day
from tendwork.workbench import temperature_fetching

WRITE_DOWN = """
import sys
text = sys.stdin.buffer.read().decode()
with open("deliveries.txt", "a", encoding="utf-8") as file:
    file.write(text.splitlines()[0] + "\\n")
with open("newest.txt", "w", encoding="utf-8") as file:
    file.write(text)
"""


def spare_the_plan(monkeypatch: pytest.MonkeyPatch) -> None:
    """Spares a test that is about clocks the plan of every day, its frost, and years of temperatures.

    The sheet is its first line only.
    """
    monkeypatch.setattr(temperature_fetching, "history_start", lambda today, _: today)
    monkeypatch.setattr(jobs, "_plan", lambda _: "")
    monkeypatch.setattr(jobs, "frost_delivery", lambda *_: None)
    monkeypatch.setattr(
        deliveries, "morning_text", lambda bench, today: f"{bench.site.name}: {full_day(today)} to another day"
    )


class Person:
    """Somebody who has a watch on an orchard. A new `DailyJobs` stands for a watch that was started again."""

    def __init__(self, orchard: Path, now: datetime, *, at: str = "06:30", remind: str | None = None) -> None:
        self.orchard = orchard
        self.clock = Clock(now)
        (orchard / "write_down.py").write_text(WRITE_DOWN)
        if remind is None:
            remind = f"command = {[sys.executable, 'write_down.py']!r}".replace("'", '"')
        self.configure(f'\n[remind]\nat = "{at}"\n{remind}\n')
        self.start()

    def configure(self, more: str) -> None:
        with (self.orchard / "site.toml").open("a") as site:
            site.write(more)

    def start(self) -> None:
        self.jobs = DailyJobs(self.orchard, self.clock, fetcher_for=patient_for(self.clock))

    def look(self) -> tuple[Entry, ...]:
        return self.jobs.look()

    def watch(self, length: timedelta, step: timedelta = timedelta(minutes=10)) -> None:
        """Look again and again while the clock runs so long."""
        end = self.clock.now + length
        while self.clock.now < end:
            self.jobs.look()
            self.clock.now += step

    def deliveries(self) -> list[str]:
        """The first line of everything that came."""
        file = self.orchard / "deliveries.txt"
        return file.read_text(encoding="utf-8").splitlines() if file.exists() else []

    def sheet_days(self) -> list[str]:
        """The day of each sheet that came, as the sheet writes it: "Tue 5 May 2026"."""
        return [line.removeprefix("Test hill: ").split(" to ")[0] for line in self.deliveries() if " to " in line]

    def newest(self) -> str:
        return (self.orchard / "newest.txt").read_text(encoding="utf-8")

    def log(self, name: str) -> list[Any]:
        return [entry for entry in read_log(self.orchard).entries if entry.job == name]
