"""What is no plain file in the place of the records, or of what SQLite keeps beside them: told, and set aside whole."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from tendwork.folder.records_db import RecordStore
from tendwork.folder.restoring import restore

pytestmark = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such files here")


def make(kind: str, place: Path) -> None:
    if kind == "a fifo":
        os.mkfifo(place)
        return
    place.mkdir()
    (place / "mine.txt").write_text("kept")
    (place / "leads nowhere").symlink_to(place / "gone")


@pytest.mark.parametrize("kind", ["a fifo", "a folder"])
@pytest.mark.parametrize("name", ["records.db", "records.db-journal", "records.db-wal"])
@pytest.mark.parametrize("command", [["check"], ["week"], ["saw", "apple", "dormant"]], ids=" ".join)
def test_every_command_says_what_to_move_and_none_waits(
    run: Callable[..., subprocess.CompletedProcess[str]], orchard_path: Path, name: str, kind: str, command: list[str]
) -> None:
    if name == "records.db":
        (orchard_path / name).unlink()
    make(kind, orchard_path / name)
    done = run(*command)
    told = done.stdout + done.stderr
    assert done.returncode == 1, told
    assert f"{name}: is " in told
    assert "Traceback" not in told


@pytest.mark.parametrize("kind", ["a fifo", "a folder"])
@pytest.mark.parametrize("name", ["records.db", "records.db-journal"])
def test_a_restore_moves_it_aside_as_it_is(tmp_path: Path, kind: str, name: str) -> None:
    path = tmp_path / "records.db"
    with RecordStore.open(path, create=True) as store:
        store.copy_to(tmp_path / "backups" / "records-2026-05-01.db")
    if name == path.name:
        path.unlink()
    make(kind, path.with_name(name))
    copy, aside = restore(path, tmp_path / "backups" / "records-2026-05-01.db")
    assert copy.name == "records-2026-05-01.db"
    assert aside is not None
    RecordStore.open(path).close()
    if kind == "a fifo":
        assert (aside / name).is_fifo()
    else:
        assert (aside / name / "mine.txt").read_text() == "kept"
        assert (aside / name / "leads nowhere").is_symlink()
