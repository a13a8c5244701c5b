"""Records that are put back, set aside or replaced: nothing that was acknowledged is lost, and nobody writes beside."""

from __future__ import annotations

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
from tendwork.folder import records_files, restoring
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
    """Acts by a process that ends without closing: they stand in the write-ahead log alone."""
    acts = f"""
import os, sys
from pathlib import Path
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.records import Tree
store = RecordStore.open(Path(sys.argv[1]))
for name in {names!r}:
    with store.act("planted") as act:
        act.add(Tree(name, name, "apple"))
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
    with pytest.raises(PersonError, match=r'a tree holds "apqle", which is not a species\..*newest good copy'):
        trees(path)
    restore(path, None)
    assert trees(path) == ["first"]


def test_records_restore_themselves_is_refused(path: Path) -> None:
    with pytest.raises(PersonError, match="are the records themselves"):
        restore(path, path)
    assert restoring.copies_proved(path)[0].proof.acts == 1
