"""A missing, damaged, foreign, newer, full or read-only database: one sentence, and nothing is overwritten."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
from folder_samples import fill

from tendwork.errors import PersonError
from tendwork.folder import schema
from tendwork.folder.backups import back_up_daily
from tendwork.folder.records_db import RecordStore
from tendwork.folder.restoring import copies_proved, restore
from tendwork.orchard.records import Records, Tree


def open_fails(path: Path) -> str:
    before = path.read_bytes() if path.is_file() else None
    with pytest.raises(PersonError) as caught, RecordStore.open(path) as store:
        store.read()
    assert (path.read_bytes() if path.is_file() else None) == before
    return str(caught.value)


def add_trees(store: RecordStore, count: int) -> None:
    with store.act("trees") as act:
        for number in range(count):
            act.add(Tree(f"n{number}", "x" * 100, "apple"))


def refused(store: RecordStore, count: int) -> str:
    with pytest.raises(PersonError) as caught:
        add_trees(store, count)
    return str(caught.value)


@pytest.fixture
def copied(full_store: RecordStore) -> Path:
    """A closed database with one good copy; the copy's newer neighbour is damaged."""
    backups = full_store.path.parent / "backups"
    back_up_daily(full_store, backups, datetime(2026, 5, 1, 12, tzinfo=UTC))
    (backups / "records-2026-05-02.db").write_bytes(b"not a database at all")
    full_store.close()
    return full_store.path


def test_a_missing_database_names_the_newest_good_copy(copied: Path) -> None:
    copied.unlink()
    assert "the records are missing. The newest good copy is" in open_fails(copied)
    assert "records-2026-05-01T120000Z.db: close tendwork everywhere" in open_fails(copied)


def test_a_damaged_header_names_the_newest_good_copy(copied: Path) -> None:
    copied.write_bytes(b"garbage" * 1000)
    assert "the records are damaged. The newest good copy is" in open_fails(copied)


def test_a_damaged_page_names_the_newest_good_copy(copied: Path) -> None:
    content = bytearray(copied.read_bytes())
    content[4096:] = b"\xff" * (len(content) - 4096)
    copied.write_bytes(content)
    assert "the records are damaged. The newest good copy is" in open_fails(copied)


def test_a_cut_off_file_is_told(copied: Path) -> None:
    copied.write_bytes(copied.read_bytes()[:6000])
    assert "the records are damaged" in open_fails(copied)


def test_an_emptied_file_beside_copies_is_not_taken_for_a_new_one(copied: Path) -> None:
    copied.write_bytes(b"")
    assert "the records are empty. The newest good copy is" in open_fails(copied)


def test_without_any_good_copy_that_is_said(tmp_path: Path) -> None:
    assert "No good copy was found in" in open_fails(tmp_path / "records.db")


def test_a_database_of_another_program_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "records.db"
    with sqlite3.connect(path) as other:
        other.execute("CREATE TABLE stamps (id)")
    other.close()
    assert "is a database of another program" in open_fails(path)


def test_a_newer_schema_is_left_alone(full_store: RecordStore) -> None:
    full_store.close()
    with sqlite3.connect(full_store.path) as newer:
        newer.execute("PRAGMA user_version = 99")
    newer.close()
    known = len(schema.STEPS)
    assert f"was written by a newer tendwork (schema 99; this one knows {known})" in open_fails(full_store.path)


def test_a_folder_in_the_place_of_the_database_is_told(tmp_path: Path) -> None:
    (tmp_path / "records.db").mkdir()
    assert "is not a file" in open_fails(tmp_path / "records.db")


def test_a_cell_that_holds_no_date_is_told(full_store: RecordStore) -> None:
    full_store.close()
    with sqlite3.connect(full_store.path) as outside:
        outside.execute("UPDATE sightings SET day = 'soon'")
    outside.close()
    assert 'in the table sightings, row 1: day "soon" is not a date' in open_fails(full_store.path)


def test_a_row_without_its_tree_is_a_fault(full_store: RecordStore) -> None:
    with sqlite3.connect(full_store.path) as outside:
        outside.execute("DELETE FROM trees WHERE id = 't2'")
    outside.close()
    (fault,) = full_store.faults()
    assert "a row of grafts refers to nothing in trees" in fault


def test_a_full_disk_is_told_and_nothing_is_changed(full_store: RecordStore, full_records: Records) -> None:
    pages = full_store._connection.execute("PRAGMA page_count").fetchone()[0]
    full_store._connection.execute(f"PRAGMA max_page_count = {pages}")
    assert "the disk is full. Nothing was changed" in refused(full_store, 500)
    assert full_store.read() == full_records


def test_another_program_that_holds_the_records_is_told(
    full_store: RecordStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tendwork.folder.records_db._WAIT_SECONDS", 0.05)
    other = sqlite3.connect(full_store.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with RecordStore.open(full_store.path) as store:
        assert "another program holds the records. Nothing was changed" in refused(store, 1)
    other.close()


@contextmanager
def without_roots_rights() -> Iterator[None]:
    """Root may write anywhere whatever the permission bits say, so root becomes the user nobody (65534) for a while."""
    if os.geteuid() != 0:
        yield
        return
    os.setresuid(65534, 65534, 0)
    try:
        yield
    finally:
        os.setresuid(0, 0, 0)


@pytest.fixture
def reachable() -> Iterator[Path]:
    """A folder that another user can reach, unlike pytest's own."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        yield Path(folder)
        os.chmod(folder, 0o755)


@pytest.mark.skipif(not hasattr(os, "setresuid"), reason="rights cannot be given up and taken back here")
@pytest.mark.parametrize("log_left", [False, True])
def test_a_read_only_folder_can_be_read_and_is_not_changed(
    reachable: Path, full_records: Records, log_left: bool
) -> None:
    path = reachable / "records.db"
    writer = RecordStore.open(path, create=True)
    fill(writer, full_records)
    with writer.act("last") as act:
        act.add(Tree("t3", "perhaps only in the log", "pear"))
    if not log_left:
        writer.close()
    for file in reachable.iterdir():
        file.chmod(0o444)
    reachable.chmod(0o555)
    before = {file.name: file.stat().st_mtime_ns for file in reachable.iterdir()}
    with without_roots_rights(), RecordStore.open(path) as store:
        assert not store.writable
        assert store.read().trees[-1].id == "t3"
        assert "the records can only be read here. Nothing was changed" in refused(store, 1)
    assert {file.name: file.stat().st_mtime_ns for file in reachable.iterdir()} == before
    writer.close()


@pytest.mark.skipif(not hasattr(os, "setresuid"), reason="rights cannot be given up and taken back here")
def test_an_older_schema_in_a_read_only_folder_can_be_read(
    reachable: Path, full_records: Records, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = reachable / "records.db"
    with RecordStore.open(path, create=True) as writer:
        fill(writer, full_records)
    steps = (*schema.STEPS, ("ALTER TABLE content ADD COLUMN sign TEXT",))
    monkeypatch.setattr(schema, "STEPS", steps)
    monkeypatch.setattr("tendwork.folder.records_db.STEPS", steps)
    path.chmod(0o444)
    reachable.chmod(0o555)
    with without_roots_rights(), RecordStore.open(path) as store:
        assert store.read() == full_records


def test_the_way_back_sets_a_log_that_is_left_behind_aside(copied: Path) -> None:
    copied.unlink()
    log = copied.with_name("records.db-wal")
    log.write_bytes(b"a log of the records that are gone")
    assert "`tendwork restore`" in open_fails(copied)
    _, aside = restore(copied, None)
    assert aside is not None
    assert (aside / log.name).read_bytes() == b"a log of the records that are gone"
    RecordStore.open(copied).close()


@pytest.mark.skipif(not hasattr(os, "setresuid"), reason="rights cannot be given up and taken back here")
def test_records_that_may_not_even_be_read_are_told(reachable: Path) -> None:
    path = reachable / "records.db"
    RecordStore.open(path, create=True).close()
    path.chmod(0o000)
    with without_roots_rights(), pytest.raises(PersonError, match="the records cannot be read"):
        RecordStore.open(path)


@pytest.mark.parametrize("length", [0, 1, 40, 5000], ids=str)
def test_a_log_of_an_earlier_version_that_a_file_sync_cut_off_leaves_whole_records(
    full_store: RecordStore, full_records: Records, tmp_path: Path, length: int
) -> None:
    full_store._connection.execute("PRAGMA journal_mode = WAL")
    full_store._connection.execute("PRAGMA main.wal_checkpoint(TRUNCATE)")
    add_trees(full_store, 50)  # stands in the log alone
    other = tmp_path / "synced" / "records.db"
    other.parent.mkdir()
    other.write_bytes(full_store.path.read_bytes())
    log = full_store.path.with_name("records.db-wal").read_bytes()
    assert len(log) > 5000
    other.with_name("records.db-wal").write_bytes(log[:length])
    with RecordStore.open(other) as store:
        assert (store.read(), store.faults()) == (full_records, ())


def test_where_no_folder_takes_temporary_files_that_is_said(copied: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none_is_usable() -> str:
        raise FileNotFoundError(2, "No usable temporary directory found in ['/tmp', '/var/tmp']")

    monkeypatch.setattr(tempfile, "gettempdir", none_is_usable)
    words = r"cannot be tried \(no folder for temporary files can be written\).*Make room there, or set TMPDIR"
    with pytest.raises(PersonError, match=words):
        copies_proved(copied)
    copied.write_bytes(b"garbage" * 1000)
    with pytest.raises(PersonError, match=words):
        RecordStore.open(copied)
    with pytest.raises(PersonError, match=words):
        restore(copied, None)


@pytest.mark.parametrize("number", [5, 8])
@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE wood SET sticks = -3", 'in the table wood, "w1": sticks -3 is not between 0 and 10000'),
        ("UPDATE trees SET planted = 'old' WHERE id = 't2'", 'in the table trees, "t2": planted "old" is not a year'),
        ("UPDATE tastings SET score = 9", "in the table tastings, row 1: score 9 is not between 1 and 5"),
        ("ALTER TABLE wood ADD COLUMN colour TEXT", 'wood has a column "colour"'),
        ("CREATE TABLE mine (what TEXT)", 'the table "mine" is one too many'),
        ("UPDATE grafts SET {facing} = 400 WHERE id = 'g2'", 'in the table grafts, "g2": facing 400 is not between'),
        (
            "UPDATE grafts SET verdict = 'maybe' WHERE id = 'g2'",
            'in the table grafts, "g2": verdict "maybe" is not one',
        ),
    ],
)
def test_what_is_wrong_is_named_by_its_table_row_column_and_value(
    tmp_path: Path, number: int, statement: str, words: str
) -> None:
    path = tmp_path / "records.db"
    fixture = Path(__file__).parent / "fixtures" / f"records-schema-{number}.sql"
    with closing(sqlite3.connect(path)) as old, old:
        old.executescript(fixture.read_text(encoding="utf-8"))
        old.execute(statement.format(facing="bearing" if number < 6 else "facing"))
    assert words in open_fails(path)
