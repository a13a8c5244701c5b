"""Who can only read the records reads them as of one moment, while another writes."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder import private_copy
from tendwork.folder.records_db import RecordStore

pytestmark = pytest.mark.skipif(not hasattr(os, "setresuid"), reason="rights cannot be given up and taken back here")

ROWS_AT_ONCE = 400
WRITER = """
import sqlite3, sys, time
writer = sqlite3.connect(sys.argv[1], isolation_level=None)
writer.execute("PRAGMA cache_size = 5")
rows = [(f"n{number}", "x" * 100) for number in range(int(sys.argv[2]))]
while True:
    for change in ("INSERT INTO trees (id, name, species, stock, place) VALUES (?, ?, 'apple', '', '')",
                   "DELETE FROM trees WHERE id = ? AND name = ?"):
        writer.execute("BEGIN IMMEDIATE")
        writer.executemany(change, rows)
        writer.execute("COMMIT")
        time.sleep(0.05)
"""


@pytest.fixture
def written() -> Iterator[Path]:
    """Records in a folder that others may only read, which a process writes without a rest."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        path = Path(folder) / "records.db"
        old = os.umask(0o022)
        with RecordStore.open(path, create=True):
            path.chmod(0o644)
        os.umask(old)
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path), str(ROWS_AT_ONCE)], stdout=subprocess.DEVNULL
        )
        yield path
        writer.kill()
        writer.wait()


@pytest.fixture(autouse=True)
def _slow_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file is copied in many small steps, between which another may write."""

    def copyfile(source: Path, target: Path) -> None:
        with source.open("rb", buffering=0) as reading, target.open("wb") as writing:
            while piece := reading.read(16384):
                writing.write(piece)
                time.sleep(0.001)

    monkeypatch.setattr(shutil, "copyfile", copyfile)


@contextmanager
def as_a_reader() -> Iterator[None]:
    if os.geteuid() != 0:
        pytest.skip("only root can become somebody else")
    os.setresuid(65534, 65534, 0)
    try:
        yield
    finally:
        os.setresuid(0, 0, 0)


def read(path: Path) -> int:
    with RecordStore.open(path) as store:
        assert not store.writable
        assert store.faults() == ()
        return len(store.read().trees)


def test_a_reader_sees_whole_acts_while_another_writes(written: Path) -> None:
    with as_a_reader():
        counts = {read(written) for _ in range(6)}
    assert counts <= {0, ROWS_AT_ONCE}


def test_where_there_is_no_lock_to_be_had_a_reader_sees_whole_acts_or_is_told_to_wait(
    written: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(private_copy, "_copied_under_lock", lambda *_: False)
    monkeypatch.setattr(private_copy, "_TRIES", 5)
    monkeypatch.setattr(private_copy, "_PAUSE_SECONDS", 0.01)
    counts, told = set(), []
    with as_a_reader():
        for _ in range(6):
            try:
                counts.add(read(written))
            except PersonError as error:
                told.append(str(error))
    assert counts <= {0, ROWS_AT_ONCE}
    assert all("are being written just now. Nothing was changed; do it again" in words for words in told)
    assert told


def test_what_a_killed_writer_left_is_taken_back_in_the_reader_s_copy_alone() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        path = Path(folder) / "records.db"
        with RecordStore.open(path, create=True):
            path.chmod(0o644)
        half = """
import os, signal, sqlite3, sys
writer = sqlite3.connect(sys.argv[1], isolation_level=None)
writer.execute("PRAGMA cache_size = 1")
writer.execute("BEGIN IMMEDIATE")
for number in range(300):
    row = (f"half{number}" + "x" * 100,) * 2
    writer.execute("INSERT INTO trees (id, name, species, stock, place) VALUES (?, ?, 'apple', '', '')", row)
os.kill(os.getpid(), signal.SIGKILL)
"""
        subprocess.run([sys.executable, "-c", half, str(path)], check=False)
        journal = path.with_name("records.db-journal")
        journal.chmod(0o644)
        before = journal.read_bytes()
        with as_a_reader():
            assert read(path) == 0
        assert journal.read_bytes() == before
