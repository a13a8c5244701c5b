"""A journal that a sync brings late is kept out; that of a writer who was killed is played back, as it must be."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder import records_files
from tendwork.folder.proving import prove
from tendwork.folder.records_db import RecordStore
from tendwork.folder.records_files import journal_of, journals_set_aside
from tendwork.folder.restoring import restore
from tendwork.folder.strays import stray_copies
from tendwork.orchard.records import Tree

# Killed, as SQLite calls it, after all pages but before the journal goes; and with a cache so small that pages of the
# database are written before page 1 is reached.
KILLED_WRITER = """
import os, signal, sqlite3, sys
path, spills = sys.argv[1], sys.argv[2] == "early"
writer = sqlite3.connect(path, isolation_level=None)
writer.execute("PRAGMA synchronous = EXTRA")
writer.execute("PRAGMA cache_size = 2")
writer.execute("BEGIN IMMEDIATE")
for number in range(400):
    name = f"half{number}" + "x" * 100
    writer.execute("INSERT INTO trees (id, name, species, stock, place) VALUES (?, ?, 'apple', '', '')", (name, name))
if not spills:
    journal = path + "-journal"
    os.link(journal, journal + ".kept")
    writer.execute("COMMIT")
    os.replace(journal + ".kept", journal)
os.kill(os.getpid(), signal.SIGKILL)
"""


def plant(path: Path, *names: str) -> None:
    with RecordStore.open(path, create=True) as store:
        for name in names:
            with store.act(f"planted {name}") as act:
                act.add(Tree(name, name, "apple"))


def trees(path: Path) -> list[str]:
    with RecordStore.open(path) as store:
        assert store.faults() == ()
        return [tree.id for tree in store.read().trees]


def journal_within_an_act(path: Path) -> bytes:
    """The journal as it stands on the disk while the act that plants "later" is written."""
    with closing(sqlite3.connect(path, isolation_level=None)) as writer:
        writer.execute("PRAGMA cache_size = 1")
        writer.execute("PRAGMA synchronous = EXTRA")
        writer.execute("BEGIN IMMEDIATE")
        writer.execute("PRAGMA user_version = 4")
        writer.execute("UPDATE content SET token = 'later'")
        for number in range(60):
            name = f"later{number}" + "x" * 200
            writer.execute(
                "INSERT INTO trees (id, name, species, stock, place) VALUES (?, ?, 'apple', '', '')", (name,) * 2
            )
        content = journal_of(path).read_bytes()
        writer.execute("ROLLBACK")
    assert content[:4] == b"\xd9\xd5\x05\xf9"
    return content


@pytest.fixture
def path(tmp_path: Path) -> Path:
    plant(tmp_path / "records.db", "first")
    return tmp_path / "records.db"


@pytest.fixture
def stale(path: Path) -> bytes:
    """A journal of the records as they were three acts ago."""
    content = journal_within_an_act(path)
    plant(path, "second", "third", "fourth")
    return content


ALL = ["first", "second", "third", "fourth"]


def test_a_journal_brought_late_takes_no_act_back_and_is_set_aside_and_told(path: Path, stale: bytes) -> None:
    journal_of(path).write_bytes(stale)
    assert trees(path) == ALL
    (aside,) = journals_set_aside(path)
    assert aside.read_bytes() == stale
    (told,) = stray_copies(path.parent)
    assert f"{aside}: a journal of another state of the records" in told


def test_journals_set_aside_within_one_second_are_both_kept(
    path: Path, stale: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(records_files, "stamp", lambda _: "2026-05-01T120000Z")
    parts = [stale, stale[:3000], stale[:600]]
    for part in parts:
        journal_of(path).write_bytes(part)
        assert trees(path) == ALL
    asides = journals_set_aside(path)
    assert [aside.read_bytes() for aside in asides] == parts
    assert len(stray_copies(path.parent)) == len(parts)


def test_a_journal_brought_late_to_open_records_takes_no_act_back(path: Path, stale: bytes) -> None:
    with RecordStore.open(path) as store:
        journal_of(path).write_bytes(stale)
        with store.act("planted fifth") as act:
            act.add(Tree("fifth", "fifth", "apple"))
        assert [tree.id for tree in store.read().trees] == [*ALL, "fifth"]
    assert trees(path) == [*ALL, "fifth"]


@pytest.mark.parametrize("length", [28, 512, 3000, 5000])
def test_a_journal_of_which_a_sync_has_brought_a_part_is_kept_out(path: Path, length: int) -> None:
    content = journal_within_an_act(path)
    assert len(content) > length
    journal_of(path).write_bytes(content[:length])
    assert trees(path) == ["first"]
    assert len(journals_set_aside(path)) == 1


def test_a_copy_is_tried_and_put_back_without_a_journal_of_another_state(
    path: Path, stale: bytes, tmp_path: Path
) -> None:
    copy = tmp_path / "elsewhere" / "copy.db"
    copy.parent.mkdir()
    shutil.copyfile(path, copy)
    journal_of(copy).write_bytes(stale)
    assert prove(copy).acts == len(ALL)
    restore(path, copy)
    assert trees(path) == ALL


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is not there")
@pytest.mark.parametrize("when", ["early", "at the end"])
def test_the_journal_of_a_writer_who_was_killed_is_played_back(path: Path, when: str) -> None:
    plant(path, "second", "third")
    before = path.read_bytes()
    writer = subprocess.run([sys.executable, "-c", KILLED_WRITER, str(path), when], check=False)
    assert writer.returncode == -9
    assert journal_of(path).read_bytes().startswith(b"\xd9\xd5\x05\xf9")
    assert path.read_bytes() != before
    assert trees(path) == ["first", "second", "third"]
    assert journals_set_aside(path) == []
    assert not journal_of(path).exists()


def test_nobody_takes_the_journal_of_a_writer_who_writes(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tendwork.folder.records_db._WAIT_SECONDS", 0.1)
    plant(path, "second")
    with closing(sqlite3.connect(path, isolation_level=None)) as writer:
        writer.execute("PRAGMA cache_size = 1")
        writer.execute("BEGIN IMMEDIATE")
        for number in range(300):
            name = f"third{number}" + "x" * 100
            writer.execute(
                "INSERT INTO trees (id, name, species, stock, place) VALUES (?, ?, 'apple', '', '')", (name,) * 2
            )
        assert journal_of(path).read_bytes().startswith(b"\xd9\xd5\x05\xf9")
        with pytest.raises(PersonError, match="another program holds the records"):
            RecordStore.open(path)
        writer.execute("COMMIT")
    assert len(trees(path)) == 302
    assert journals_set_aside(path) == []


def test_readers_and_writers_in_one_process_lose_no_lock_to_each_other(path: Path) -> None:
    def write(name: str) -> None:
        plant(path, *(f"{name}{number}" for number in range(30)))

    threads = [threading.Thread(target=write, args=(name,)) for name in "abc"]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(trees(path)) == 91
    assert journals_set_aside(path) == []
    assert not [*path.parent.glob(".*.draft*")]
