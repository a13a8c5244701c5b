"""What a file sync leaves behind is told with what to do, is never read, and is never touched."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from tendwork.folder.strays import stray_copies
from tendwork.orchard.records import Tree
from tendwork.workbench.bench import Workbench
from tendwork.workbench.folder_check import check_folder


@pytest.mark.parametrize(
    ("file", "stray"),
    [
        ("site.toml", "site.sync-conflict-20260501-101010-ABCDEFG.toml"),
        ("site.toml", "site (conflicted copy).toml"),
        ("records.db", "records (conflicted copy of the barn).db"),
        ("records.db", "records.sync-conflict-20260501-101010-ABCDEFG.db"),
        ("records.db", "records-BARN.db"),
    ],
)
def test_a_second_copy_is_told_by_check_and_by_the_week_and_left_alone(
    orchard_path: Path, file: str, stray: str
) -> None:
    shutil.copyfile(orchard_path / file, orchard_path / stray)
    before = (orchard_path / stray).read_bytes()
    names = {entry.name for entry in orchard_path.iterdir()}
    (fault,) = check_folder(orchard_path, date.today())[0]
    assert f"{stray}: a second copy of {file}" in fault
    assert fault in Workbench.open(orchard_path).plan.of(date(2026, 5, 5)).words
    assert (orchard_path / stray).read_bytes() == before
    assert {entry.name for entry in orchard_path.iterdir()} - names <= {"cache", "records.db-wal", "records.db-shm"}


def test_of_two_databases_that_went_apart_the_newest_acts_are_named(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    with bench._folder.records.act("a tree") as act:
        act.add(Tree("t9", "Ours", "apple"))
    bench.close()
    shutil.copyfile(orchard_path / "records.db", orchard_path / "records (1).db")
    (words,) = stray_copies(orchard_path)
    assert words.count(date.today().isoformat()) == 2
    assert "Keep the one with the newer acts as records.db and set the other aside." in words


def test_a_stray_that_is_no_database_is_told_all_the_same(orchard_path: Path) -> None:
    (orchard_path / "records (1).db").write_bytes(b"no database")
    (words,) = stray_copies(orchard_path)
    assert "Keep the one with the newer acts" in words


def test_backups_are_no_strays(orchard_path: Path) -> None:
    Workbench.open(orchard_path).records.back_up()
    assert stray_copies(orchard_path) == ()
