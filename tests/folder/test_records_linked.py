"""Records that are a link: where it leads nowhere, nobody takes the empty place for new records."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.records_db import RecordStore

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")


@pytest.mark.parametrize("is_mounted", [True, False], ids=["its folder is empty", "its folder is missing"])
@pytest.mark.parametrize(
    "command", [["week"], ["check"], ["saw", "apple", "dormant"], ["restore"], ["restore", "--list"]], ids=" ".join
)
def test_a_link_to_a_disk_that_is_not_there_is_told_and_nothing_is_made(
    run: Callable[..., subprocess.CompletedProcess[str]],
    orchard_path: Path,
    tmp_path: Path,
    command: list[str],
    is_mounted: bool,
) -> None:
    disk = tmp_path / "disk"
    if is_mounted:
        disk.mkdir()
    link = orchard_path / "records.db"
    link.unlink()
    link.symlink_to(disk / "records.db")
    done = run(*command)
    told = done.stdout + done.stderr
    assert done.returncode == 1, told
    assert f"records.db: is a link to {disk / 'records.db'}, and nothing stands there. Bring the disk" in told
    assert not disk.exists() or list(disk.iterdir()) == []


def test_an_empty_file_at_the_end_of_a_link_is_not_taken_for_new_records(tmp_path: Path) -> None:
    (tmp_path / "emptied.db").touch()
    (tmp_path / "records.db").symlink_to(tmp_path / "emptied.db")
    with pytest.raises(PersonError, match="the records are empty"):
        RecordStore.open(tmp_path / "records.db", create=True)


def test_records_gone_from_the_end_of_a_link_are_missing_where_copies_show_them(tmp_path: Path) -> None:
    disk = tmp_path / "disk"
    disk.mkdir()
    (tmp_path / "records.db").symlink_to(disk / "records.db")
    with RecordStore.open(disk / "records.db", create=True) as store:
        store.copy_to(disk / "backups" / "records-2026-05-01.db")
    (disk / "records.db").unlink()
    with pytest.raises(PersonError, match=r"the records are missing\. The newest good copy is"):
        RecordStore.open(tmp_path / "records.db", create=True)
