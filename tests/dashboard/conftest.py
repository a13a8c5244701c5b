"""A small invented orchard whose names try to break the screen, and an app on it that a test drives by key presses."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path

import pytest
from from_always import write_from_always
from kept_files import OWN_RULE
from nasty_names import BRACKETS, LINK, OVERRIDE, PLAIN
from record_screens import make_folder
from settling import settled
from textual.pilot import Pilot

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.widgets.press_line import PressLine
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard

TODAY = date(2026, 3, 12)

TREES = f"""id,name,species,stock,planted,place
t1,{BRACKETS},apple,seedling,1990,"by the [red]gate[/blue]"
t2,{LINK},pear,quince,2010,
"""
GRAFTS = "id,tree,variety,method,wrap,state,set_on,height_m\n" + "".join(
    f"g{number:02d},t1,{name},cleft,raffia,set,2026-03-01,{number / 4}\n"
    for number, name in enumerate((BRACKETS, OVERRIDE, *[PLAIN] * 10), 1)
)
OWN_TEMPLATES = """[[template]]
id = "own-unwrap"
title = "Loosen [/b] the\\u001b[2J raffia"
part = "aftercare"
each = "graft"
opens = { date = "03-02" }
closes = { date = "03-14" }
effort = { setup_minutes = 3, minutes_each = 2 }
steps = ["Cut it [on] the far side.", "Look [/again]."]
outcomes = ["off", "not yet"]
cautions = ["knife"]

"""


@pytest.fixture
def anyio_backend() -> str:
    return "asyncio"


@pytest.fixture(scope="session", autouse=True)
def made_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The orchard's folder, with its first plan kept."""
    place = tmp_path_factory.mktemp("dashboard")
    folder = place / "orchard"
    bench = Workbench.begin(folder, name="Bank [/end] Orchard", timezone="UTC", latitude=52.1, longitude=-3.0)
    (folder / "templates").mkdir(exist_ok=True)
    (folder / "templates" / "own.toml").write_text(OWN_TEMPLATES + OWN_RULE, encoding="utf-8")
    for kind, text in (("trees", TREES), ("grafts", GRAFTS)):
        file = write_from_always(place / f"{kind}.csv", kind, text)
        bench.records.bring(file, kind, TODAY)
    bench.close()
    bench = Workbench.open(folder)
    bench.plan.of(TODAY)
    bench.close()
    # Read once, so that msgspec learns its types from the real datetime and not, later, from a frozen one.
    assert Workbench.open(folder).plan.last_plan() is not None
    return folder


@pytest.fixture
def folder(made_folder: Path, tmp_path: Path) -> Path:
    """The orchard's folder, a test's own."""
    return Path(shutil.copytree(made_folder, tmp_path / "orchard"))


@pytest.fixture
def bench(folder: Path) -> Workbench:
    return Workbench.open(folder)


@pytest.fixture
def app(bench: Workbench) -> Dashboard:
    return Dashboard(bench, TODAY)


@pytest.fixture(scope="session")
def sample_of(tmp_path_factory: pytest.TempPathFactory) -> Callable[[date], Path]:
    """The sample orchard as of a day, with its plan kept; only ever copied."""

    @cache
    def made(today: date) -> Path:
        folder = demo_orchard(today, tmp_path_factory.mktemp("sample") / "orchard")
        bench = Workbench.open(folder)
        bench.plan.of(today)
        bench.close()
        return folder

    return made


@pytest.fixture
def sample_folder(request: pytest.FixtureRequest, sample_of: Callable[[date], Path], tmp_path: Path) -> Path:
    """The sample orchard as of the TODAY of the test's module, a test's own."""
    return Path(shutil.copytree(sample_of(request.module.TODAY), tmp_path / "sample"))


@pytest.fixture
def sample(request: pytest.FixtureRequest, sample_folder: Path) -> Dashboard:
    return Dashboard(Workbench.open(sample_folder), request.module.TODAY)


@pytest.fixture(scope="session")
def made_records(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The orchard of the screens of records; only ever copied."""
    return make_folder(tmp_path_factory.mktemp("records"))


@pytest.fixture
def record_folder(made_records: Path, tmp_path: Path) -> Path:
    """The orchard of the screens of records, a test's own."""
    return Path(shutil.copytree(made_records, tmp_path / "orchard"))


@pytest.fixture
def press() -> Callable:
    """Presses keys one after the other, then waits until the workbench is done and the screen is drawn."""

    async def press(pilot: Pilot, *keys: str) -> None:
        await pilot.press(*keys)
        await settled(pilot)

    return press


@pytest.fixture
def at_rest() -> Callable:
    return settled


def screen_text(app: Dashboard) -> str:
    """What stands on the screen, line by line."""
    return "\n".join(strip.text for strip in app.screen._compositor.render_strips())


@pytest.fixture
def seen_on() -> Callable:
    return screen_text


async def text_with(pilot: Pilot, words: str) -> str:
    """What stands on the screen once it has these words, or what stands there when it is too late for them."""
    for _ in range(100):
        if words in screen_text(pilot.app):
            break
        await pilot.pause(0.02)  # what changes its size is drawn a moment after all else is done
    return screen_text(pilot.app)


@pytest.fixture
def seen_with() -> Callable:
    return text_with


async def press_words(pilot: Pilot, words: str, line: str = "PressLine") -> None:
    """Presses words that stand for a key with the mouse; `line` selects where they stand."""
    for held in pilot.app.screen.query(line).results(PressLine):
        found = re.search(rf"(?<!\S){re.escape(words)}(?!\S)", held.line().plain)
        if found:
            await pilot.click(held, offset=(held.gutter.left + found.start(), 0))
            return
    raise AssertionError(f"nowhere stands {words!r}")


@pytest.fixture
def press_on() -> Callable:
    return press_words


@pytest.fixture
def go_to() -> Callable:
    """Puts the cursor of the job list on a job, as the palette does."""

    async def go(pilot: Pilot, key: str) -> None:
        pilot.app.go_to("morning", key)
        await settled(pilot)

    return go
