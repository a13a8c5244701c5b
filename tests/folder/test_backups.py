"""Daily copies of the records: read back, the newest fourteen kept; and a copy before every upgrade."""

from __future__ import annotations

import os
import re
import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder import schema
from tendwork.folder.backups import back_up_daily, newest_good_backup
from tendwork.folder.proving import is_good
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.records import Records

DAY = datetime(2026, 5, 1, 12, tzinfo=UTC)
FIXTURES = Path(__file__).parent / "fixtures"


@pytest.fixture
def backups(tmp_path: Path) -> Path:
    return tmp_path / "backups"


def test_a_copy_holds_the_same_records_and_stands_alone(
    full_store: RecordStore, full_records: Records, backups: Path, tmp_path: Path
) -> None:
    copy = back_up_daily(full_store, backups, DAY)
    assert copy is not None
    elsewhere = tmp_path / "elsewhere" / "records.db"
    elsewhere.parent.mkdir()
    elsewhere.write_bytes(copy.read_bytes())
    with RecordStore.open(elsewhere) as restored:
        assert restored.read() == full_records
        assert restored.content_token() == full_store.content_token()


def test_a_second_copy_on_the_same_day_is_not_made(full_store: RecordStore, backups: Path) -> None:
    back_up_daily(full_store, backups, DAY)
    assert back_up_daily(full_store, backups, DAY) is None


def test_the_newest_fourteen_are_kept(full_store: RecordStore, backups: Path) -> None:
    for number in range(20):
        back_up_daily(full_store, backups, DAY + timedelta(days=number))
    names = sorted(path.name for path in backups.iterdir())
    assert names == [f"records-2026-05-{day:02d}T120000Z.db" for day in range(7, 21)]


def test_copies_are_for_their_owner_only(full_store: RecordStore, backups: Path) -> None:
    copy = back_up_daily(full_store, backups, DAY)
    assert copy is not None
    assert [oct(path.stat().st_mode & 0o777) for path in (backups, copy)] == ["0o700", "0o600"]


def test_a_damaged_database_makes_no_copy_and_drops_none(full_store: RecordStore, backups: Path) -> None:
    for number in range(14):
        back_up_daily(full_store, backups, DAY + timedelta(days=number))
    full_store.close()
    content = bytearray(full_store.path.read_bytes())
    content[4096:] = b"\xff" * (len(content) - 4096)
    full_store.path.write_bytes(content)
    with pytest.raises(PersonError), RecordStore.open(full_store.path) as damaged:
        back_up_daily(damaged, backups, DAY + timedelta(days=14))
    assert sorted(path.name for path in backups.iterdir())[0] == "records-2026-05-01T120000Z.db"
    assert len(list(backups.iterdir())) == 14


def test_a_place_that_cannot_be_written_is_told(full_store: RecordStore, tmp_path: Path) -> None:
    (tmp_path / "backups").write_text("a file in the way")
    with pytest.raises(PersonError) as refused:
        back_up_daily(full_store, tmp_path / "backups", DAY)
    assert str(refused.value) == (
        f"{tmp_path / 'backups'}: the folder cannot be made, as what stands there is no folder."
        " Move it away and do it again."
    )


def test_the_newest_good_copy_is_the_newest_that_reads_back(full_store: RecordStore, backups: Path) -> None:
    for number in range(3):
        back_up_daily(full_store, backups, DAY + timedelta(days=number))
    (backups / "records-2026-05-03T120000Z.db").write_bytes(b"x" * 5000)
    assert newest_good_backup(full_store.path) == backups / "records-2026-05-02T120000Z.db"


@pytest.mark.parametrize("damage", [b"", b"SQLite format 3\x00", b"junk"])
def test_a_file_that_is_no_database_is_no_good_copy(tmp_path: Path, damage: bytes) -> None:
    (tmp_path / "copy.db").write_bytes(damage)
    assert not is_good(tmp_path / "copy.db")


def make_from(fixture: str, path: Path) -> None:
    with sqlite3.connect(path) as old:
        old.executescript((FIXTURES / fixture).read_text(encoding="utf-8"))
    old.close()


@pytest.mark.parametrize("number", range(1, len(schema.STEPS) + 1))
def test_a_database_of_every_schema_opens_with_all_its_records(
    number: int, tmp_path: Path, full_records: Records
) -> None:
    make_from(f"records-schema-{number}.sql", tmp_path / "records.db")
    with RecordStore.open(tmp_path / "records.db") as store:
        assert store.read() == full_records
        assert store.undo_last() == "everything"


def test_an_older_schema_is_brought_up_to_date_after_a_copy(
    full_store: RecordStore, full_records: Records, monkeypatch: pytest.MonkeyPatch, backups: Path
) -> None:
    full_store.close()
    number = len(schema.STEPS)
    step = ("ALTER TABLE content ADD COLUMN sign TEXT", "UPDATE content SET sign = 'new'")
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, step))
    monkeypatch.setattr("tendwork.folder.records_db.STEPS", schema.STEPS)
    with RecordStore.open(full_store.path) as store:
        assert store.read() == full_records
        assert store._connection.execute("SELECT sign FROM content").fetchone() == ("new",)
        assert store._connection.execute("PRAGMA user_version").fetchone() == (len(schema.STEPS),)
    (copy,) = backups.iterdir()
    assert re.fullmatch(rf"records-schema-{number}-\d{{4}}-\d\d-\d\dT\d{{6}}Z\.db", copy.name)
    assert is_good(copy)


def test_an_act_from_before_a_column_was_added_can_still_be_taken_back(
    full_store: RecordStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    full_store.close()
    step = ("ALTER TABLE trees ADD COLUMN aspect TEXT NOT NULL DEFAULT ''",)
    monkeypatch.setattr(schema, "STEPS", (*schema.STEPS, step))
    monkeypatch.setattr("tendwork.folder.records_db.STEPS", schema.STEPS)
    with RecordStore.open(full_store.path) as store:
        assert store.undo_last() == "everything"
        assert store.read().trees == ()


def test_an_upgrade_that_fails_leaves_the_older_schema_as_it_was(
    full_store: RecordStore, full_records: Records, monkeypatch: pytest.MonkeyPatch
) -> None:
    full_store.close()
    with monkeypatch.context() as patch:
        steps = (*schema.STEPS, ("ALTER TABLE content ADD COLUMN sign TEXT", "UPDATE nowhere SET sign = 1"))
        patch.setattr(schema, "STEPS", steps)
        patch.setattr("tendwork.folder.records_db.STEPS", steps)
        with pytest.raises(PersonError, match="the records are damaged"):
            RecordStore.open(full_store.path)
    with RecordStore.open(full_store.path) as store:
        assert store.read() == full_records


@pytest.mark.parametrize("cut_to", [0, 50, 4096])
def test_a_copy_of_today_that_was_cut_off_does_not_stand_for_one(
    full_store: RecordStore, backups: Path, cut_to: int
) -> None:
    copy = back_up_daily(full_store, backups, DAY)
    assert copy is not None
    copy.write_bytes(copy.read_bytes()[:cut_to])
    again = back_up_daily(full_store, backups, DAY + timedelta(minutes=1))
    assert again is not None
    assert is_good(again)
    assert back_up_daily(full_store, backups, DAY + timedelta(minutes=2)) is None


def test_copies_that_were_cut_off_are_the_first_to_go(full_store: RecordStore, backups: Path) -> None:
    for number in range(14):
        back_up_daily(full_store, backups, DAY + timedelta(days=number))
    cut = backups / "records-2026-05-10T120000Z.db"
    cut.write_bytes(b"")
    back_up_daily(full_store, backups, DAY + timedelta(days=14))
    assert not cut.exists()
    assert (backups / "records-2026-05-01T120000Z.db").exists()


def test_what_cannot_be_removed_in_the_place_of_an_old_copy_is_passed_over(
    full_store: RecordStore, backups: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (backups / "records-2026-01-01.db").mkdir(parents=True)
    for number in range(14):
        assert back_up_daily(full_store, backups, DAY + timedelta(days=number)) is not None
    kept_by_its_owner = backups / "records-2026-05-01T120000Z.db"
    unlink = Path.unlink

    def refusing(path: Path, missing_ok: bool = False) -> None:
        if path == kept_by_its_owner:
            raise PermissionError(1, "Operation not permitted")
        unlink(path, missing_ok)

    monkeypatch.setattr(Path, "unlink", refusing)
    assert back_up_daily(full_store, backups, DAY + timedelta(days=14)) is not None
    assert kept_by_its_owner.exists()


def test_only_drafts_of_copies_go_from_where_they_lie(full_store: RecordStore, backups: Path) -> None:
    backups.mkdir()
    ours = [backups / f".records-2026-04-01T120000Z.db.abcdefgh.draft{end}" for end in ("", "-journal")]
    theirs = [
        backups / ".letter.draft",
        backups / ".letter.abcdefgh.draft",
        backups.parent / ".letter.draft",
        backups.parent / ".letter.abcdefgh.draft",
    ]
    for file in (*ours, *theirs):
        file.write_text("half")
        os.utime(file, (0, 0))
    assert back_up_daily(full_store, backups, DAY) is not None
    assert [file.exists() for file in (*ours, *theirs)] == [False] * 2 + [True] * 4
