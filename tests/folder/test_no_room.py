"""No room on the disk, a process killed while it writes, and who may read: whole files stand, old ones or new."""

from __future__ import annotations

import os
import shutil
import signal
import stat
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from folder_samples import fill
from small_disks import small_disk_in

from tendwork.errors import PersonError
from tendwork.folder.adjustments import read_adjustments, write_adjustments
from tendwork.folder.csv_files import give
from tendwork.folder.files import write_whole
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.records_db import RecordStore
from tendwork.folder.temperatures_csv import read_temperatures
from tendwork.orchard.records import Records, Tree
from tendwork.planning.adjustments import Adjustment, Adjustments

KILOBYTES = 1024


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    with small_disk_in(tmp_path, KILOBYTES) as place:
        yield place


def fill_up(place: Path) -> Path:
    """A file that takes all the room that is left."""
    ballast = place / "ballast"
    try:
        with ballast.open("wb", buffering=0) as stream:
            while stream.write(b"x" * 4096):
                pass
    except OSError:
        return ballast
    raise AssertionError("the disk took everything")


def add_trees(store: RecordStore, count: int) -> None:
    with store.act("trees") as act:
        for number in range(count):
            act.add(Tree(f"n{number}", "x" * 100, "apple"))


def test_a_full_disk_leaves_the_old_file_whole_and_no_other_behind(small_disk: Path) -> None:
    file = small_disk / "adjustments.toml"
    write_adjustments(file, Adjustments())
    before = file.read_bytes()
    fill_up(small_disk)
    with pytest.raises(PersonError, match=r"cannot be written \(no space left on device\); what stood there stays"):
        write_whole(file, b"x" * 9000)
    assert file.read_bytes() == before
    assert sorted(entry.name for entry in small_disk.iterdir()) == ["adjustments.toml", "ballast"]


def test_an_orchard_that_cannot_be_begun_for_want_of_room_can_be_begun_when_there_is_some(small_disk: Path) -> None:
    place = {"name": "Hill", "timezone": "UTC", "latitude": 52.1, "longitude": -3.0}
    refused = 0
    for room_kb in range(0, 120, 4):
        ballast = fill_up(small_disk)
        with ballast.open("r+b") as stream:
            stream.truncate(ballast.stat().st_size - room_kb * 1024)
        try:
            OrchardFolder.begin(small_disk / "hill", **place).close()
        except PersonError:
            refused += 1
            assert [entry.name for entry in small_disk.iterdir()] == ["ballast"]
            ballast.unlink()
            OrchardFolder.begin(small_disk / "hill", **place).close()
        ballast.unlink(missing_ok=True)
        shutil.rmtree(small_disk / "hill")
    assert refused > 3


def test_records_on_a_full_disk_refuse_an_act_in_words_and_go_on_when_there_is_room(
    small_disk: Path, full_records: Records
) -> None:
    path = small_disk / "records.db"
    with RecordStore.open(path, create=True) as store:
        fill(store, full_records)
        before = store.read()
        ballast = fill_up(small_disk)
        with pytest.raises(PersonError, match=r"Nothing was changed; (make room|check the disk)"):
            add_trees(store, 2000)
        assert store.read() == before
        ballast.unlink()
        with store.act("a tree") as act:
            act.add(Tree("later", "Later", "apple"))
        assert store.faults() == ()


def test_no_copy_is_made_or_lost_on_a_full_disk(small_disk: Path, full_records: Records) -> None:
    path = small_disk / "records.db"
    with RecordStore.open(path, create=True) as store:
        fill(store, full_records)
        store.copy_to(small_disk / "backups" / "records-2026-05-01.db")
        fill_up(small_disk)
        with pytest.raises(PersonError, match=r"make room|Check the disk|check the disk"):
            store.copy_to(small_disk / "backups" / "records-2026-05-02.db")
    assert [entry.name for entry in (small_disk / "backups").iterdir()] == ["records-2026-05-01.db"]


def test_records_given_out_on_a_disk_too_small_for_them_leave_no_file_and_are_given_when_there_is_room(
    small_disk: Path, full_records: Records
) -> None:
    ballast = fill_up(small_disk)
    os.truncate(ballast, ballast.stat().st_size - 12_000)  # room for some of the files
    out = small_disk / "out"
    with pytest.raises(PersonError, match=r"no space left on device"):
        give(full_records, out, small_disk / "orchard")
    assert not out.exists()
    ballast.unlink()
    assert len(give(full_records, out, small_disk / "orchard")) == len([*out.iterdir()])


_WRITER = """
import sys
from datetime import date, timedelta
from pathlib import Path
from tendwork.folder.adjustments import write_adjustments
from tendwork.folder.temperatures_csv import write_temperatures
from tendwork.planning.adjustments import Adjustment, Adjustments
place = Path(sys.argv[1])
number = 0
while True:
    number += 1
    change = Adjustment(setup_minutes=number % 500)
    write_adjustments(place / "adjustments.toml", Adjustments(template={f"t{at}": change for at in range(200)}))
    days = {date(2020, 1, 1) + timedelta(days=day): (number % 9, 20.0) for day in range(500)}
    write_temperatures(place / "added.csv", days)
    print(number, flush=True)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no process can be killed so here")
def test_kills_leave_adjustments_and_temperatures_whole(tmp_path: Path) -> None:
    for kill in range(4):
        process = subprocess.Popen([sys.executable, "-c", _WRITER, str(tmp_path)], stdout=subprocess.PIPE)
        assert process.stdout is not None
        process.stdout.readline()
        time.sleep(0.013 * kill)
        process.kill()
        process.wait()
        process.stdout.close()
        changes = read_adjustments(tmp_path / "adjustments.toml").template
        assert (len(changes), len(set(changes.values()))) == (200, 1)
        days = read_temperatures(tmp_path / "added.csv").days
        assert (len(days), len(set(days.values()))) == (500, 1)


@pytest.mark.skipif(os.name != "posix", reason="rights of Unix")
def test_every_file_of_a_new_orchard_is_for_its_owner_only(tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        folder = OrchardFolder.begin(tmp_path / "o", name="Hill", timezone="UTC", latitude=52.1, longitude=-3.0)
        assert folder.records.writable
        folder.write_cache("plan", b"x")
        write_adjustments(folder.adjustments_path, Adjustments(template={"a": Adjustment(setup_minutes=1)}))
        folder.close()
    finally:
        os.umask(old)
    for entry in [folder.path, *folder.path.rglob("*")]:
        assert stat.S_IMODE(entry.stat().st_mode) & 0o077 == 0, entry
