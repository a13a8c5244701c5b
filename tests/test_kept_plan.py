"""The kept plan is a cache: one that cannot be read is as good as none."""

from __future__ import annotations

from datetime import date
from pathlib import Path

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
