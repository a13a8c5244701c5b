"""Trees with 2,000 grafts against Trees with 50: a key must not feel slower because the orchard is large."""

from __future__ import annotations

import time
from datetime import date
from pathlib import Path

import pytest
from from_always import write_from_always
from textual.pilot import Pilot

from tendwork.dashboard.app import Dashboard
from tendwork.orchard.records import RecordKind
from tendwork.workbench.bench import Workbench

pytestmark = [pytest.mark.bench, pytest.mark.anyio]

TODAY = date(2026, 4, 11)
NAMES = ("Red", "Blue", "Old", "Long", "Lost", "Hill", "Barn", "Dull", "Far", "Near")
MOST_TIMES_SLOWER = 3.0


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


def orchard(place: Path, grafts: int) -> Path:
    """Twenty trees that carry so many grafts between them."""
    folder = place / f"orchard-{grafts}"
    bench = Workbench.begin(folder, name="Big", timezone="UTC", latitude=52.1, longitude=-3.0)
    trees = "id,name,species\n" + "".join(f"t{number},Tree {number},apple\n" for number in range(20))
    rows = "id,tree,variety,method,state,set_on,facing,height_m,out_m\n" + "".join(
        f"g{number},t{number % 20},{NAMES[number % 10]} {NAMES[number // 10 % 10]} Lamp {number},cleft,took,2024-04-10,"
        f"{number * 7 % 360},{1 + number % 30 / 10},{0.5 + number % 20 / 10}\n"
        for number in range(grafts)
    )
    tables: tuple[tuple[RecordKind, str], ...] = (("trees", trees), ("grafts", rows))
    for kind, text in tables:
        file = write_from_always(place / f"{kind}.csv", kind, text)
        bench.records.bring(file, kind, TODAY)
    bench.close()
    return folder


async def seconds(folder: Path) -> dict[str, float]:
    """Seconds of each kind of key press, the least of three."""
    app = Dashboard(Workbench.open(folder), TODAY)
    taken: dict[str, float] = {}
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await pilot.press("3")
        await pilot.pause(0.5)
        for _ in range(3):
            for name, key in (("down", "down"), ("page", "pagedown"), ("order", "o"), ("end", "end"), ("home", "home")):
                await _timed(pilot, taken, name, key)
            await pilot.press("slash")
            for letter in "red":
                await _timed(pilot, taken, "filter", letter)
            await pilot.press("escape")
            await _timed(pilot, taken, "mark all", "asterisk")
            await pilot.press("asterisk")
    return taken


async def _timed(pilot: Pilot[None], taken: dict[str, float], name: str, key: str) -> None:
    start = time.perf_counter()
    await pilot.press(key)
    await pilot.pause()
    taken[name] = min(taken.get(name, float("inf")), time.perf_counter() - start)


async def test_two_thousand_rows_stay_as_quick_as_fifty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Dashboard, "replan", lambda *_: None)
    few, many = await seconds(orchard(tmp_path, 50)), await seconds(orchard(tmp_path, 2000))
    for name in few:
        print(f"{name:10} {few[name] * 1000:6.0f} ms with 50, {many[name] * 1000:6.0f} ms with 2,000")
    assert {name: many[name] / few[name] for name in few if many[name] > MOST_TIMES_SLOWER * few[name]} == {}
