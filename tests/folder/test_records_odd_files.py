"""What is no plain file in the place of the records, or of what SQLite keeps beside them: told, and set aside whole."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder.private_copy import _state, private_copy
from tendwork.folder.proving import _need_room
from tendwork.folder.records_db import RecordStore
from tendwork.folder.records_files import refuse_odd_companions, restored_beside
from tendwork.folder.restoring import restore
from tendwork.orchard.records import Records

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


def test_a_link_that_leads_nowhere_is_no_journal(tmp_path: Path) -> None:
    path = tmp_path / "records.db"
    RecordStore.open(path, create=True).close()
    path.with_name("records.db-journal").symlink_to(tmp_path / "gone")
    with pytest.raises(PersonError, match=r"records\.db-journal: is no plain file"):
        RecordStore.open(path)


@pytest.mark.parametrize("looks", [1, 2])
@pytest.mark.parametrize(
    "ask", [refuse_odd_companions, _state, lambda path: _need_room(path, path.parent)], ids=["odd", "state", "room"]
)
def test_a_journal_that_goes_after_a_look_was_the_journal_of_a_writer_at_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, ask: Callable[[Path], object], looks: int
) -> None:
    path = tmp_path / "records.db"
    RecordStore.open(path, create=True).close()
    journal = path.with_name("records.db-journal")
    journal.write_bytes(b"")
    left = iter(range(looks, 0, -1))

    def ending_the_act(look: Callable[..., os.stat_result]) -> Callable[..., os.stat_result]:
        def looked(file: object, *words: object, **more: object) -> os.stat_result:
            status = look(file, *words, **more)
            if str(file) == str(journal) and next(left) == 1:
                journal.unlink()
            return status

        return looked

    for name in ("stat", "lstat"):
        monkeypatch.setattr(os, name, ending_the_act(getattr(os, name)))
    ask(path)


def test_a_restore_that_another_finishes_meanwhile_is_read_from_its_place(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "records.db"
    RecordStore.open(path, create=True).close()
    restored = restored_beside(path)
    restored.write_bytes(path.read_bytes())

    def put_in_place(source: Path, target: Path) -> object:
        if Path(source) == restored:
            os.replace(restored, path)
        return copied(source, target)

    copied = shutil.copyfile
    monkeypatch.setattr(shutil, "copyfile", put_in_place)
    with private_copy(path, 1.0) as folder:
        assert RecordStore.open(Path(folder) / path.name).read() == Records()
