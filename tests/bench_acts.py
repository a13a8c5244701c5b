"""Short ways for tests to what a front does with one job."""

from __future__ import annotations

from datetime import date

from tendwork.workbench.bench import Workbench
from tendwork.workbench.records_room import JobTick


def tick_job(
    bench: Workbench,
    key: str,
    units: tuple[str, ...],
    today: date,
    outcome: str = "",
    note: str = "",
    sure: bool = False,
) -> str:
    """Tick units of one job."""
    return bench.records.tick((JobTick(key, units, outcome, note),), today, sure=sure)
