"""Records that are put back, set aside or replaced: nothing that was acknowledged is lost, and nobody writes beside."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import subprocess
import sys
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder import proving, records_db, records_files, restoring
from tendwork.folder.backups import back_up_daily, newest_good_backup
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.proving import is_good
from tendwork.folder.records_db import RecordStore
from tendwork.folder.records_lock import lock_file
from tendwork.folder.restoring import restore
from tendwork.orchard.records import Tree

NOON = datetime(2026, 5, 1, 12, tzinfo=UTC)


def plant(store: RecordStore, *names: str) -> None:
    for name in names:
        with store.act(f"planted {name}") as act:
            act.add(Tree(name, name, "apple"))


def trees(path: Path) -> list[str]:
    with RecordStore.open(path) as store:
        return [tree.id for tree in store.read().trees]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Closed records with the tree "first", a copy of them, and then the tree "second"."""
    with RecordStore.open(tmp_path / "records.db", create=True) as store:
        plant(store, "first")
        back_up_daily(store, tmp_path / "backups", NOON)
        plant(store, "second")
    return tmp_path / "records.db"


def a_log_left_behind(path: Path, *names: str) -> None:
    """Acts of an earlier version, which ended without closing: they stand in a write-ahead log alone."""
    acts = f"""
import os, sqlite3, sys
log = sqlite3.connect(sys.argv[1], isolation_level=None)
log.execute("PRAGMA journal_mode = WAL")
for name in {names!r}:
    log.execute("INSERT INTO trees (id, name, species, stock, place) VALUES (?, ?, 'apple', '', '')", (name, name))
os._exit(0)
"""
    subprocess.run([sys.executable, "-c", acts, str(path)], check=True)
    assert path.with_name("records.db-wal").stat().st_size > 0


def test_what_stands_in_the_log_of_records_set_aside_comes_back_with_them(path: Path) -> None:
    a_log_left_behind(path, "third")
    _, aside = restore(path, newest_good_backup(path))
    assert aside is not None
    assert trees(path) == ["first"]
    assert restore(path, aside)[0] == aside / "records.db"
    assert trees(path) == ["first", "second", "third"]


def test_a_copy_named_by_its_file_comes_back_with_its_log_and_stays_as_it_is(path: Path, tmp_path: Path) -> None:
    a_log_left_behind(path, "third")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    for name in ("records.db", "records.db-wal"):
        shutil.copyfile(path.with_name(name), elsewhere / name)
    before = {file.name: file.read_bytes() for file in elsewhere.iterdir()}
    restore(path, newest_good_backup(path))
    restore(path, elsewhere / "records.db")
    assert trees(path) == ["first", "second", "third"]
    assert {file.name: file.read_bytes() for file in elsewhere.iterdir()} == before


def test_open_records_are_not_put_aside_and_it_is_said_who_has_them_open(path: Path) -> None:
    with RecordStore.open(path) as store:
        with pytest.raises(
            PersonError, match=rf"open in tendwork.* \(process {os.getpid()}, since .* UTC\)\. Close it"
        ):
            restore(path, newest_good_backup(path))
        plant(store, "third")
    assert trees(path) == ["first", "second", "third"]
    restore(path, newest_good_backup(path))
    assert trees(path) == ["first"]


def test_the_lock_of_a_process_that_was_killed_hinders_nobody(path: Path) -> None:
    holder = subprocess.Popen(
        [
            sys.executable,
            "-c",
            "import sys, time; from pathlib import Path; from tendwork.folder.records_db import RecordStore; "
            "store = RecordStore.open(Path(sys.argv[1])); print('open', flush=True); time.sleep(60)",
            str(path),
        ],
        stdout=subprocess.PIPE,
    )
    assert holder.stdout is not None
    holder.stdout.readline()
    with pytest.raises(PersonError, match=f"process {holder.pid}"):
        restore(path, newest_good_backup(path))
    holder.kill()
    holder.wait()
    holder.stdout.close()
    restore(path, newest_good_backup(path))
    assert trees(path) == ["first"]


def test_the_list_of_who_has_the_records_open_does_not_grow(path: Path) -> None:
    for _ in range(5):
        RecordStore.open(path).close()
    assert len(lock_file(path).read_text().splitlines()) == 1


STEPS = ("link", "replace", "unlink", "fsync")


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("nth", range(8))
def test_a_restore_that_ends_anywhere_is_undone_or_finished(
    path: Path, step: str, nth: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_log_left_behind(path, "third")
    left = [nth]

    class Ended(BaseException):
        """The process is over: nothing after it happens."""

    real = getattr(os, step)

    def ends(*arguments: object, **named: object) -> object:
        if left[0] == 0:
            raise Ended
        left[0] -= 1
        return real(*arguments, **named)

    copy = newest_good_backup(path)
    with monkeypatch.context() as patch:
        patch.setattr(os, step, ends)
        with suppress(Ended):
            restore(path, copy)
    now = trees(path)
    assert now in (["first"], ["first", "second", "third"])
    asides = [aside for aside in records_files.databases_set_aside(path) if is_good(aside)]
    if now == ["first"]:
        assert [trees(aside) for aside in asides] == [["first", "second", "third"]]
    else:
        assert restore(path, copy)[0] == copy
        assert trees(path) == ["first"]
    leftovers = [file.name for file in path.parent.iterdir() if file.name.startswith(".records.db.")]
    assert [name for name in leftovers if not name.endswith((".lock", ".draft"))] == []


def test_records_that_are_gone_beside_what_was_set_aside_are_no_new_ones(path: Path) -> None:
    _, aside = restore(path, newest_good_backup(path))
    assert aside is not None
    for copy in (*path.parent.glob("backups/records-*.db"), path):
        copy.unlink()
    with pytest.raises(PersonError, match=rf"are missing\. No good copy.*{aside.name}, which was set aside, is newer"):
        RecordStore.open(path, create=True)
    assert restore(path, aside)[1] is None
    assert trees(path) == ["first", "second"]


def test_of_copies_the_one_with_the_newest_act_counts_whatever_its_name_says(path: Path) -> None:
    backups = path.parent / "backups"
    (older,) = backups.iterdir()
    os.replace(older, backups / "records-2031-01-01.db")
    with sqlite3.connect(backups / "records-2031-01-01.db") as outside:
        outside.execute("UPDATE acts SET at = '2026-05-01T10:00:00+00:00'")
    outside.close()
    with RecordStore.open(path) as store:
        newer = back_up_daily(store, backups, NOON + timedelta(days=2))
    assert newer is not None
    assert newest_good_backup(path) == newer


def test_acts_planned_for_days_to_come_do_not_switch_copies_off(orchard_path: Path) -> None:
    backups = orchard_path / "backups"
    shutil.rmtree(backups)
    backups.mkdir()
    folder = OrchardFolder.open(orchard_path)
    for number in range(14):  # as they were named by the day that was planned for
        folder.records.copy_to(backups / f"records-{date(2035, 5, 1 + number)}.db")
    made = folder.back_up()
    assert made is not None
    assert made.name.startswith(f"records-{datetime.now(UTC):%Y-%m-%d}T")
    assert made.exists()
    assert len(list(backups.glob("records-*.db"))) == 14
    assert folder.back_up() is None
    folder.close()


def test_no_copy_is_made_of_records_without_an_act(tmp_path: Path) -> None:
    with RecordStore.open(tmp_path / "records.db", create=True) as store:
        assert back_up_daily(store, tmp_path / "backups", NOON) is None
        plant(store, "first")
        assert back_up_daily(store, tmp_path / "backups", NOON) is not None


def test_records_replaced_under_an_open_store_are_followed_and_what_stood_there_is_set_aside(
    path: Path, tmp_path: Path
) -> None:
    with RecordStore.open(path) as store:
        plant(store, "third")
        other = tmp_path / "other"
        other.mkdir()
        with RecordStore.open(other / "records.db", create=True) as theirs:
            plant(theirs, "theirs")
        os.replace(other / "records.db", path)
        plant(store, "fourth")
        assert [tree.id for tree in store.read().trees] == ["theirs", "fourth"]
        assert store.faults() == ()
    assert trees(path) == ["theirs", "fourth"]
    (aside,) = records_files.databases_set_aside(path)
    assert trees(aside) == ["first", "second", "third"]


def test_records_replaced_by_their_equal_are_followed_without_a_trace(path: Path, tmp_path: Path) -> None:
    with RecordStore.open(path) as store:
        store.copy_to(tmp_path / "same.db")
        os.replace(tmp_path / "same.db", path)
        plant(store, "third")
    assert trees(path) == ["first", "second", "third"]
    assert records_files.databases_set_aside(path) == []


def test_records_taken_away_under_an_open_store_take_no_more_acts_and_are_kept_once(path: Path, tmp_path: Path) -> None:
    with RecordStore.open(path) as store:
        plant(store, "third")
        os.replace(path, tmp_path / "away.db")
        for _ in range(3):
            with pytest.raises(PersonError, match="the records were taken away"):
                plant(store, "fourth")
        (aside,) = records_files.databases_set_aside(path)
        os.replace(tmp_path / "away.db", path)
        plant(store, "fourth")
    assert trees(path) == ["first", "second", "third", "fourth"]
    assert trees(aside) == ["first", "second", "third"]


def test_a_damaged_cell_is_found_by_restore_as_by_reading(path: Path) -> None:
    with sqlite3.connect(path) as outside:
        outside.execute("UPDATE trees SET species = 'apqle' WHERE id = 'second'")
    outside.close()
    with pytest.raises(
        PersonError, match=r'in the table trees, "second": species "apqle" is not a species\..*newest good copy'
    ):
        trees(path)
    restore(path, None)
    assert trees(path) == ["first"]


def test_records_restore_themselves_is_refused(path: Path) -> None:
    with pytest.raises(PersonError, match="are the records themselves"):
        restore(path, path)
    assert restoring.copies_proved(path)[0].proof.acts == 1


def test_nothing_but_the_one_file_holds_the_records_while_they_are_open(path: Path, tmp_path: Path) -> None:
    with RecordStore.open(path) as store:
        plant(store, "third")
        taken = tmp_path / "taken"
        taken.mkdir()
        shutil.copyfile(path, taken / "records.db")
        assert [file.name for file in records_files.standing(path)] == ["records.db"]
    assert trees(taken / "records.db") == ["first", "second", "third"]


def test_a_log_of_an_earlier_version_is_taken_in_and_goes(path: Path) -> None:
    a_log_left_behind(path, "third")
    assert trees(path) == ["first", "second", "third"]
    assert [file.name for file in records_files.standing(path)] == ["records.db"]


def test_records_written_over_in_place_under_an_open_store_are_followed(path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    with RecordStore.open(other / "records.db", create=True) as theirs:
        plant(theirs, *(f"theirs{number}" for number in range(30)))
    with RecordStore.open(path) as store:
        plant(store, "third")
        shutil.copyfile(other / "records.db", path)
        plant(store, "fourth")
    assert trees(path) == [*(f"theirs{number}" for number in range(30)), "fourth"]


@pytest.mark.parametrize("kind", ["a link that leads nowhere", "a file"])
def test_records_that_are_gone_beside_copies_that_cannot_be_looked_into_are_no_new_ones(path: Path, kind: str) -> None:
    backups = path.parent / "backups"
    shutil.rmtree(backups)
    path.unlink()
    if kind == "a file":
        backups.write_text("")
    else:
        backups.symlink_to(path.parent / "unmounted")
    with pytest.raises(PersonError, match=r"backups: (leads nowhere|cannot be looked into)"):
        RecordStore.open(path, create=True)
    assert not path.exists()


@pytest.mark.parametrize("made_later", ["cache", "rounds.toml"])
def test_a_folder_that_was_worked_with_gets_no_empty_records(tmp_path: Path, made_later: str) -> None:
    (tmp_path / made_later).mkdir()
    with pytest.raises(PersonError, match=r"the records are missing.*If there never were any, take cache/"):
        RecordStore.open(tmp_path / "records.db", create=True)
    assert not (tmp_path / "records.db").exists()


def test_a_file_that_only_looks_like_a_restore_under_way_changes_nothing(path: Path) -> None:
    records_files.restored_beside(path).write_bytes(b"no records at all" * 300)
    assert trees(path) == ["first", "second"]
    assert not records_files.restored_beside(path).exists()
    assert len(list((path.parent / "backups").glob("no-records-*"))) == 1


def test_what_looked_like_a_restore_is_never_written_over(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(records_files, "stamp", lambda _: "2026-05-01T120000Z")
    for content in (b"no records at all" * 300, b"none of these" * 300):
        records_files.restored_beside(path).write_bytes(content)
        assert trees(path) == ["first", "second"]
    assert len({file.read_bytes() for file in (path.parent / "backups").glob("no-records-*")}) == 2


def test_a_restore_under_way_that_a_sync_has_brought_sets_aside_what_it_replaces(path: Path) -> None:
    copy = newest_good_backup(path)
    assert copy is not None
    shutil.copyfile(copy, records_files.restored_beside(path))
    assert trees(path) == ["first"]
    (aside,) = records_files.databases_set_aside(path)
    assert trees(aside) == ["first", "second"]


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_records_that_are_a_link_are_copied_locked_and_restored_where_they_lie(path: Path, tmp_path: Path) -> None:
    folder = tmp_path / "linked"
    folder.mkdir()
    link = folder / "records.db"
    link.symlink_to(path)
    with RecordStore.open(link), pytest.raises(PersonError, match="open in tendwork"):
        restore(link, newest_good_backup(path))
    assert restore(link, newest_good_backup(path))[0].parent == path.parent / "backups"
    assert link.is_symlink()
    assert trees(path) == ["first"]
    assert restoring.copies_proved(link)[0].path.parent.name == "backups"


def test_a_copy_that_cannot_be_tried_for_want_of_room_is_not_called_damaged(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    by_name = max((path.parent / "backups").glob("records-*.db"))
    with monkeypatch.context() as patch:
        patch.setattr(shutil, "copyfile", no_room)
        patch.setattr(proving, "_need_room", no_room)
        for asked in (None, by_name):
            with pytest.raises(PersonError, match=r"cannot be tried in .* \(no space left on device\).*Make room"):
                restore(path, asked)
    assert trees(path) == ["first", "second"]


def test_records_that_another_begins_just_now_are_not_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "records.db"

    def begun_meanwhile(records: Path) -> bool:
        shutil.copyfile(theirs, records)
        return True

    theirs = tmp_path / "theirs" / "records.db"
    theirs.parent.mkdir()
    with RecordStore.open(theirs, create=True) as store:
        plant(store, "theirs")
    monkeypatch.setattr(records_db, "were_here", begun_meanwhile)
    with RecordStore.open(path, create=True) as store:
        assert [tree.id for tree in store.read().trees] == ["theirs"]
