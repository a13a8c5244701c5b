"""What the dashboard adds to Textual's own work: to stand ready, and to answer a key over five thousand rows.

The whole start, from the process to the first paint, stands in bench_startup.py.
Times are of the screen's own thread on the processor, so that neither what else runs nor the pilot's waiting counts.
Run with `-m bench -s`.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import date
from pathlib import Path
from time import thread_time

import pytest
from from_always import write_from_always
from textual.app import App, ComposeResult
from textual.pilot import Pilot
from textual.widgets import DataTable, OptionList, Static

from tendwork.dashboard.app import Dashboard
from tendwork.orchard.records import RecordKind
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard

pytestmark = [pytest.mark.bench, pytest.mark.anyio]

TODAY = date(2026, 6, 10)
SIZE = (100, 30)
ROWS, PRESSES, ROUNDS = 5000, 40, 3
MOST_SECONDS_READY, MOST_TIMES_KEY = 0.5, 1.5


class OneLine(App[None]):
    def compose(self) -> ComposeResult:
        yield Static("painted")


class LongTable(App[None]):
    def compose(self) -> ComposeResult:
        yield DataTable(cursor_type="row")

    def on_mount(self) -> None:
        table = self.query_one(DataTable)
        for name in ("variety", "method", "state", "set", "where"):
            table.add_column(name, width=16)
        table.add_rows((f"Variety {n}", "cleft", "bearing", "2015", f"{n % 360}°") for n in range(ROWS))
        table.focus()


class LongList(App[None]):
    def compose(self) -> ComposeResult:
        yield OptionList(*(f"Variety {n}   cleft   bearing   2015   {n % 360}°" for n in range(ROWS)), markup=False)

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample orchard with its plan of the day kept."""
    path = demo_orchard(TODAY, tmp_path_factory.mktemp("ready") / "orchard")
    bench = Workbench.open(path)
    bench.plan.of(TODAY)
    bench.close()
    return path


@pytest.fixture(scope="module")
def many_grafts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An orchard of one hundred invented trees with fifty grafts each."""
    place = tmp_path_factory.mktemp("many")
    trees = "id,name,species\n" + "".join(f"t{n},Tree {n},apple\n" for n in range(100))
    grafts = "id,tree,variety,method,state,set_on,facing,height_m,out_m\n" + "".join(
        f"g{n},t{n % 100},Variety {n},cleft,bearing,2015-04-10,{n % 360},{1 + n % 3},1.5\n" for n in range(ROWS)
    )
    bench = Workbench.begin(place / "orchard", name="Many", timezone="UTC", latitude=52.1, longitude=-3.0)
    tables: tuple[tuple[RecordKind, str], ...] = (("trees", trees), ("grafts", grafts))
    for kind, text in tables:
        file = write_from_always(place / f"{kind}.csv", kind, text)
        bench.records.bring(file, kind, TODAY)
    bench.close()
    return place / "orchard"


async def seconds_to_ready(app: App[None]) -> float:
    start = thread_time()
    async with app.run_test(size=SIZE) as pilot:
        await pilot.pause()
        return thread_time() - start


@asynccontextmanager
async def standing(app: App[None], *first: str) -> AsyncIterator[Pilot[None]]:
    async with app.run_test(size=SIZE) as pilot:
        await pilot.press(*first)
        await pilot.pause(0.5)
        await app.workers.wait_for_complete()
        yield pilot


async def seconds_a_key(app: App[None], *first: str) -> float:
    """The time of one `down` once the app stands and `first` was pressed; the least of a few rounds."""
    async with standing(app, *first) as pilot:
        rounds = []
        for _ in range(ROUNDS):
            start = thread_time()
            await pilot.press(*["down"] * PRESSES)
            await pilot.pause()
            rounds.append((thread_time() - start) / PRESSES)
        return min(rounds)


async def test_the_dashboard_stands_ready_beside_an_app_of_one_line(sample: Path) -> None:
    bare = [await seconds_to_ready(OneLine()) for _ in range(1 + ROUNDS)]
    ours = [await seconds_to_ready(Dashboard(Workbench.open(sample), TODAY)) for _ in range(1 + ROUNDS)]
    for name, mine, theirs in (("first", ours[0], bare[0]), ("later", min(ours[1:]), min(bare[1:]))):
        print(f"\nready, {name}: {mine * 1000:.0f} ms beside {theirs * 1000:.0f} ms: {mine / theirs:.2f} x")
    assert min(ours[1:]) <= MOST_SECONDS_READY


async def test_a_key_over_five_thousand_grafts_beside_textuals_own(
    many_grafts: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(Dashboard, "replan", lambda *_, **__: None)  # Trees lives on the records alone
    trees = await seconds_a_key(Dashboard(Workbench.open(many_grafts), TODAY), "3")
    makers: tuple[Callable[[], App[None]], ...] = (LongTable, LongList)
    table, options = [await seconds_a_key(make()) for make in makers]
    nothing = await seconds_a_key(OneLine())
    print(f"\na key, {ROWS} rows: Trees {trees * 1000:.1f} ms, DataTable {table * 1000:.1f}, OptionList", end=" ")
    print(f"{options * 1000:.1f}, an app without rows {nothing * 1000:.1f}")
    print(f"Trees beside DataTable {trees / table:.2f} x, beside OptionList {trees / options:.2f} x")
    assert trees <= MOST_TIMES_KEY * min(table, options)
