"""A small real orchard folder, and commands run as a person runs them."""

from __future__ import annotations

import gc
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from examples import profiles
from forking import Commands
from from_always import write_from_always
from hill import SITE

from tendwork.workbench.bench import Workbench

profiles()  # here, since Hypothesis looks for the profile of the command line before it collects a test

TREES = """id,name,species,stock,planted,place
t1,Old apple,apple,M25,1990,by the gate
t2,Wall pear,pear,Quince A,2001,south wall
"""
GRAFTS = """id,tree,variety,method,wrap,state,set_on,height_m
g1,t1,Red Lamp,whip and tongue,PVC tape,set,2026-04-10,2.5
g2,t1,Blue Lamp,cleft,budding rubber,set,2026-04-12,1.5
g3,t1,Green Lamp,cleft,budding rubber,planned,,1.2
g4,t2,Long Lamp,whip and tongue,raffia,set,2026-04-14,1.0
"""


def pytest_collection_finish() -> None:
    """What stands when all tests are read stays to the end, so that no collection of garbage looks through it again."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def _away_from_the_person_s_own_orchard(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """No test may touch the orchard, home or terminal settings of whoever runs it."""
    monkeypatch.delenv("TENDWORK_ORCHARD", raising=False)
    monkeypatch.setenv("TENDWORK_SETTINGS", str(tmp_path / "settings" / "dashboard.toml"))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data-home"))
    monkeypatch.setenv("HOME", str(tmp_path / "home"))


@pytest.fixture(scope="session")
def made_orchard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with two trees and four grafts, three of them set in April 2026; only ever copied."""
    return small_orchard(tmp_path_factory.mktemp("made"))


@pytest.fixture
def orchard_path(made_orchard: Path, tmp_path: Path) -> Path:
    """The folder, a test's own."""
    return Path(shutil.copytree(made_orchard, tmp_path / "orchard"))


@pytest.fixture(scope="module")
def shared_orchard_path(made_orchard: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same folder for all tests of a file, which copy it before they change anything."""
    return Path(shutil.copytree(made_orchard, tmp_path_factory.mktemp("shared") / "orchard"))


def small_orchard(folder: Path) -> Path:
    """Make it in a folder."""
    path = folder / "orchard"
    bench = Workbench.begin(path, name="Test hill", timezone="Europe/London", latitude=52.1, longitude=-3.0)
    bench.close()
    (path / "site.toml").write_text(SITE)
    bench = Workbench.open(path)
    from datetime import date

    for kind, text in (("trees", TREES), ("grafts", GRAFTS)):
        file = write_from_always(folder / f"{kind}.csv", kind, text)
        bench.records.bring(file, kind, date(2026, 11, 1))
    bench.close()
    return path


Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture(scope="session")
def commands(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Commands]:
    """The process that runs the commands of all tests."""
    running = Commands(tmp_path_factory.mktemp("said"))
    yield running
    running.close()


@pytest.fixture
def run(orchard_path: Path, commands: Commands) -> Run:
    """Run `tendwork` in a process of its own on the small orchard, without a terminal."""

    def run_it(*words: str, orchard: Path | None = orchard_path) -> subprocess.CompletedProcess[str]:
        where = [] if orchard is None else ["--orchard", str(orchard)]
        return commands.run(*where, *words)

    return run_it
