"""Records that are damaged come back from the newest good copy, and nothing that stood there is written over."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

Run = Callable[..., subprocess.CompletedProcess[str]]


def test_damaged_records_come_back_as_they_were_before_the_day_s_first_act(run: Run, orchard_path: Path) -> None:
    assert run("saw", "apple", "dormant", "--on", "2026-12-01").returncode == 0
    damaged = b"no database any more"
    (orchard_path / "records.db").write_bytes(damaged)
    for log in orchard_path.glob("records.db-*"):
        log.unlink()
    told = run("week", "--on", "2026-12-01")
    assert told.returncode == 1
    assert "tendwork restore" in told.stderr
    done = run("restore")
    assert done.returncode == 0, done.stderr
    assert "Old apple" in run("trees").stdout
    (aside,) = (orchard_path / "backups").glob("set-aside-*")
    assert (aside / "records.db").read_bytes() == damaged


def test_sound_records_give_way_only_to_a_copy_that_is_named(run: Run, orchard_path: Path) -> None:
    assert run("saw", "apple", "dormant", "--on", "2026-12-01").returncode == 0
    (copy,) = (orchard_path / "backups").glob("records-*.db")
    refused = run("restore")
    assert (refused.returncode, "can be read, so nothing was changed" in refused.stderr) == (1, True)
    assert not [*(orchard_path / "backups").glob("set-aside-*")]
    assert run("restore", str(copy)).returncode == 0


def test_a_copy_that_cannot_be_read_is_refused_and_nothing_is_changed(
    run: Run, orchard_path: Path, tmp_path: Path
) -> None:
    bad = tmp_path / "bad.db"
    bad.write_bytes(b"nothing")
    before = (orchard_path / "records.db").read_bytes()
    done = run("restore", str(bad))
    assert done.returncode == 1
    assert "Nothing was changed" in done.stderr
    assert (orchard_path / "records.db").read_bytes() == before


def test_the_copies_are_listed_with_what_they_are_worth(run: Run, orchard_path: Path) -> None:
    run("saw", "apple", "dormant", "--on", "2026-12-01")
    (orchard_path / "backups" / "records-2020-01-01.db").write_bytes(b"nothing")
    listed = run("restore", "--list").stdout.splitlines()
    assert [line.rpartition("  ")[2] for line in listed] == ["cannot be read back", "good"]
