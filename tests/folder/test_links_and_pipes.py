"""Files of the orchard that are links or pipes: written through where they lead, told where they lead nowhere."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.daily_log import change_log, read_log
from tendwork.folder.files import make_folder, read_text
from tendwork.folder.temperature_origins import Origin, note_origin, read_origins
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.workbench.adjusting import changed
from tendwork.workbench.bench import Workbench
from tendwork.workbench.folder_check import check_folder
from tendwork.workbench.temperature_files import alone_at_temperatures

Run = Callable[..., subprocess.CompletedProcess[str]]

ON = date(2026, 5, 5)
NEEDS_PIPES = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
DAYS = "date,tmin_c,tmax_c\n2026-04-01,1,9\n"


def adjust(path: Path) -> None:
    bench = Workbench.open(path)
    before = bench.templates.adjustments()
    bench.templates.adjust(before, changed(before, "suckers", {"minutes_each": 2.0}), ON)
    bench.close()


def add_temperatures(path: Path) -> None:
    own = path.parent / "own.csv"
    own.write_text("date,tmin_c,tmax_c\n2026-04-02,2,8\n")
    bench = Workbench.open(path)
    bench.temperatures.add(own, ON, False, None)
    bench.close()


def note_source(path: Path) -> None:
    with alone_at_temperatures(path):
        note_origin(path, "temperatures/zeta.csv", Origin(service="zeta"))


def note_round(path: Path) -> None:
    change_log(path, lambda kept: kept.begun("sheet", ON))


WRITERS = {
    "adjustments.toml": ("", adjust),
    "rounds.toml": ("", note_round),
    "temperatures/sources.toml": ("", note_source),
    "temperatures/added.csv": (DAYS, add_temperatures),
}


@pytest.mark.parametrize("name", WRITERS)
def test_what_the_program_writes_goes_through_a_link_to_where_it_leads(orchard_path: Path, name: str) -> None:
    stood, write = WRITERS[name]
    target = orchard_path.parent / "shared" / "kept"
    target.parent.mkdir()
    target.write_text(stood)
    (orchard_path / name).symlink_to(target)
    write(orchard_path)
    assert (orchard_path / name).is_symlink()
    assert target.read_text() not in ("", stood)
    assert not [entry.name for entry in target.parent.iterdir() if entry.name.endswith(".draft")]


@pytest.mark.parametrize("name", WRITERS)
def test_a_link_that_leads_nowhere_is_told_and_stays(orchard_path: Path, name: str) -> None:
    target = orchard_path.parent / "gone" / "kept"
    (orchard_path / name).symlink_to(target)
    with pytest.raises(PersonError, match=rf"{Path(name).name}: is a link to .*gone/kept, which cannot be reached"):
        WRITERS[name][1](orchard_path)
    assert (orchard_path / name).is_symlink()
    assert not target.parent.exists()


@pytest.mark.parametrize(
    "name",
    [
        "site.toml",
        "adjustments.toml",
        "rounds.toml",
        "templates/own.toml",
        "temperatures/own.csv",
        "temperatures/added.csv",
        "temperatures/sources.toml",
        "temperatures",
        "templates",
    ],
)
def test_check_names_a_link_that_leads_nowhere(orchard_path: Path, name: str) -> None:
    link = orchard_path / name
    if link.is_dir():
        link.rename(orchard_path.parent / f"{name}-elsewhere")
    elif link.exists():
        link.unlink()
    link.symlink_to(orchard_path.parent / "gone")
    faults, _ = check_folder(orchard_path, ON)
    assert [Path(name).name in fault and "is a link to" in fault for fault in faults] == [True]


def test_a_temperatures_folder_that_leads_nowhere_is_told_by_who_reads_and_who_writes(orchard_path: Path) -> None:
    Workbench.open(orchard_path).plan.of(ON)  # what is kept from before is not shown in its place
    (orchard_path / "temperatures").rename(orchard_path.parent / "elsewhere")
    (orchard_path / "temperatures").symlink_to(orchard_path.parent / "gone")
    for use in (
        lambda: Workbench.open(orchard_path).plan.of(ON),
        lambda: make_folder(orchard_path / "temperatures"),
    ):
        with pytest.raises(PersonError, match=r"temperatures: is a link to .*gone, which cannot be reached"):
            use()


def test_adjustments_behind_a_link_to_nowhere_are_not_taken_for_none_from_the_kept_plan(orchard_path: Path) -> None:
    Workbench.open(orchard_path).plan.of(ON)
    (orchard_path / "adjustments.toml").symlink_to(orchard_path.parent / "gone")
    with pytest.raises(PersonError, match=r"adjustments\.toml: is a link to"):
        Workbench.open(orchard_path).plan.of(ON)


@NEEDS_PIPES
def test_pipes_in_the_place_of_files_are_named_and_nobody_waits_for_them(orchard_path: Path, run: Run) -> None:
    names = ("adjustments.toml", "templates/own.toml", "temperatures/own.csv", "rounds.toml")
    for name in names:
        os.mkfifo(orchard_path / name)
    done = run("check")
    assert [name for name in names if f"{Path(name).name}: is no plain file" not in done.stdout + done.stderr] == []
    assert "is no plain file" in run("week").stderr


@NEEDS_PIPES
@pytest.mark.parametrize("name", ["site.toml", "temperatures/sources.toml", "temperatures/added.csv"])
def test_a_pipe_is_told_in_one_sentence(orchard_path: Path, run: Run, name: str) -> None:
    (orchard_path / name).unlink(missing_ok=True)
    os.mkfifo(orchard_path / name)
    own = orchard_path.parent / "own.csv"
    own.write_text(DAYS)
    for words in (("check",), ("temps", "add", str(own))):
        done = run(*words)
        assert (done.returncode, f"{Path(name).name}: is no plain file" in done.stdout + done.stderr) == (1, True)


@NEEDS_PIPES
def test_a_pipe_in_the_cache_is_as_good_as_nothing_kept(orchard_path: Path, run: Run) -> None:
    assert run("week").returncode == 0
    for kept in (orchard_path / "cache").iterdir():
        kept.unlink()
        os.mkfifo(kept)
    assert run("week").returncode == 0


@NEEDS_PIPES
def test_a_pipe_that_the_person_names_is_read(orchard_path: Path) -> None:
    import sys

    def piped(text: str, *words: str) -> str:
        start = [sys.executable, "-m", "tendwork", "--orchard", str(orchard_path), *words]
        return subprocess.run(start, input=text, capture_output=True, text=True, timeout=60, check=True).stdout

    assert "1 new" in piped("name,species\nNew pear,pear\n", "bring", "/dev/stdin", "--as", "trees")
    piped(DAYS, "temps", "add", "/dev/stdin")
    assert list(read_temperatures(orchard_path / "temperatures" / "added.csv").days) == [date(2026, 4, 1)]


def test_what_stands_behind_a_link_is_read(orchard_path: Path) -> None:
    shared = orchard_path.parent / "shared"
    shared.mkdir()
    for name in ("rounds.toml", "temperatures/sources.toml"):
        (orchard_path / name).symlink_to(shared / Path(name).name)
        (shared / Path(name).name).write_text("")
    note_round(orchard_path)
    note_source(orchard_path)
    assert read_log(orchard_path).was_begun("sheet", ON)
    assert read_origins(orchard_path)["temperatures/zeta.csv"].service == "zeta"
    assert "zeta" in read_text(shared / "sources.toml")
