"""The way in: the front page, then Morning; what is kept for it, and what is said where a folder cannot be opened."""

from __future__ import annotations

import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path

import pytest
from textual.css.stylesheet import Stylesheet

from tendwork.dashboard.app import screen_class
from tendwork.dashboard.opening import OpeningDashboard
from tendwork.dashboard.screens.front import FrontScreen
from tendwork.dashboard.screens.morning import MorningScreen
from tendwork.dashboard.screens.trees import TreesScreen
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.workbench.bench import Workbench
from tendwork.workbench.front_page import FRONT_PAGE_FILE, FrontPage, read_front_page

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
PROBE = """
import sys
import tendwork.cli
import tendwork.dashboard.opening
print(*sys.modules)
"""
AFTER_THE_PAINT = (
    "sqlite3",
    "tomllib",
    "apscheduler",
    "pendulum",
    "tendwork.workbench.bench",
    "tendwork.folder.orchard_folder",
    "tendwork.planning.planner",
    "tendwork.almanac.almanac",
    "tendwork.dashboard.screens.morning",
    "tendwork.dashboard.screens.season",
)


@pytest.fixture
def at_the_front(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is opened, so that the front page stays."""
    monkeypatch.setattr(OpeningDashboard, "_open", _stay)


def _refuse(_: Stylesheet) -> None:
    raise AssertionError("every style sheet was parsed again")


async def _stay(_: OpeningDashboard) -> None:
    return


@pytest.mark.usefixtures("at_the_front")
async def test_the_front_page_has_the_day_the_orchard_and_its_next_job(folder: Path, seen_on) -> None:
    app = OpeningDashboard(folder, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        first, second, *_ = seen_on(app).splitlines()
        assert first.startswith(" Thu 12 Mar 2026  Bank [/end] Orchard")
        assert second.startswith(f" Next: {read_front_page(folder).next_job[:60]}")


@pytest.mark.usefixtures("at_the_front")
async def test_the_next_job_of_another_day_is_not_shown(folder: Path, seen_on) -> None:
    app = OpeningDashboard(folder, TODAY + timedelta(days=1))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Fri 13 Mar 2026" in seen_on(app)
        assert "Next:" not in seen_on(app)


async def test_a_first_visit_reads_the_style_sheets_of_that_screen_alone(folder, at_rest, monkeypatch) -> None:
    app = OpeningDashboard(folder, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await at_rest(pilot)
        monkeypatch.setattr(Stylesheet, "reparse", _refuse)
        await pilot.press("2")
        await at_rest(pilot)
        assert isinstance(app.screen, screen_class("season"))


async def test_morning_takes_the_place_of_the_front_page(folder: Path, seen_on, at_rest) -> None:
    app = OpeningDashboard(folder, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await at_rest(pilot)
        assert isinstance(app.screen, MorningScreen)
        assert app.state.made
        assert "Check labels and" in seen_on(app)


async def test_the_whole_plan_is_read_for_the_first_screen_that_shows_it(folder: Path, at_rest, press) -> None:
    bench = Workbench.open(folder)
    bench.plan.of(TODAY)
    bench.close()
    app = OpeningDashboard(folder, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await at_rest(pilot)
        assert app.state.made
        assert app.state.plan is None
        await press(pilot, "2")
        assert app.state.plan is not None


async def test_keys_pressed_at_the_front_page_are_not_lost(folder: Path, at_rest, monkeypatch) -> None:
    opened = OpeningDashboard._open
    monkeypatch.setattr(OpeningDashboard, "_open", _stay)
    app = OpeningDashboard(folder, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("3", "down", "x")
        assert isinstance(app.screen, FrontScreen)
        await opened(app)
        await at_rest(pilot)
        assert isinstance(app.screen, TreesScreen)


async def test_a_key_pressed_at_the_front_page_moves_the_cursor_of_morning(folder: Path, at_rest, monkeypatch) -> None:
    opened = OpeningDashboard._open
    monkeypatch.setattr(OpeningDashboard, "_open", _stay)
    app = OpeningDashboard(folder, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down")
        await opened(app)
        await at_rest(pilot)
        jobs = app.screen.query_one(JobList)
        rows = [option for option in jobs.options if not option.disabled]
        assert jobs.highlighted_option is rows[1]


async def test_a_folder_that_cannot_be_opened_is_a_sentence_and_no_screen(folder: Path) -> None:
    (folder / "site.toml").write_text("name = \n", encoding="utf-8")
    app = OpeningDashboard(folder, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
    assert "site.toml, line 1" in str(app.fault)


def test_what_is_kept_of_a_front_page_can_be_read_back(folder: Path) -> None:
    page = FrontPage(TODAY, "Europe/London", 'A "B" [c] é', "Nothing to do this week.")
    (folder / "cache" / FRONT_PAGE_FILE).write_bytes(page.encoded())
    assert read_front_page(folder) == page


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b'{"day": "x"}', b'{"day":"2026-03-12","timezone":"No/Where"}'])
def test_a_damaged_front_page_is_no_page(folder: Path, content: bytes) -> None:
    (folder / "cache" / FRONT_PAGE_FILE).write_bytes(content)
    assert read_front_page(folder) == FrontPage()


def test_an_unknown_time_zone_of_a_front_page_is_no_page(folder: Path) -> None:
    page = FrontPage(TODAY, "No/Where", "Bank", "Nothing to do this week.")
    (folder / "cache" / FRONT_PAGE_FILE).write_bytes(page.encoded())
    assert read_front_page(folder) == FrontPage()


def test_a_new_day_writes_a_new_front_page(folder: Path) -> None:
    bench = Workbench.open(folder)
    bench.plan.of(TODAY + timedelta(days=1))
    bench.close()
    assert read_front_page(folder).day == TODAY + timedelta(days=1)


def test_nothing_but_the_front_page_is_loaded_before_the_first_paint() -> None:
    loaded = subprocess.run([sys.executable, "-c", PROBE], capture_output=True, text=True, check=True).stdout.split()
    assert [name for name in AFTER_THE_PAINT if name in loaded] == []


LEFT_WHILE_ASKING = """
import asyncio, sys, time
from datetime import date
from pathlib import Path
from tendwork.dashboard.app import Dashboard
from tendwork.workbench.bench import Workbench
from tendwork.workbench.temperatures_room import TemperaturesRoom

asked = []
TemperaturesRoom.fetch = lambda *_: (asked.append(True), time.sleep(120))
TemperaturesRoom.sent_where = lambda *_: "The place would be sent."

async def leave(pilot):
    await pilot.pause(0.5)
    await pilot.app.workers.wait_for_complete()
    await pilot.press("7")
    while not asked:
        await pilot.press("g")
        await pilot.pause(0.5)
    await pilot.press("q")

app = Dashboard(Workbench.open(Path(sys.argv[1])), date(2026, 3, 12))
app.run(headless=True, auto_pilot=leave)
print("asked" if asked else "not asked", app.return_code)
"""


def test_leaving_does_not_wait_for_a_weather_service_that_is_silent(folder: Path) -> None:
    left = subprocess.run(
        [sys.executable, "-c", LEFT_WHILE_ASKING, str(folder)], capture_output=True, text=True, timeout=60
    )
    assert (left.stdout, left.stderr) == ("asked 0\n", "")
