"""The records database as files: SQLite keeps what was done last in companions of the file, so all of them are one.

A restore ends in two steps: the whole new database stands as `.records.db.restored`, and then takes the place of the
old one. Whoever opens the records between the two, after a restore that was killed, finishes it first.
"""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

from tendwork.folder.drafts import draft_of, on_disk
from tendwork.folder.files import make_folder

BACKUPS = "backups"
COPIES = "records-*.db"
SET_ASIDE = "set-aside-*"
_SHARED_MEMORY = "-shm"  # made by SQLite out of the log, and of no worth without it
_COMPANIONS = ("-wal", _SHARED_MEMORY, "-journal")


def standing(records: Path) -> list[Path]:
    """The database and its companions, as far as they are there."""
    files = [records, *(records.with_name(records.name + end) for end in _COMPANIONS)]
    return [file for file in files if file.exists()]


def restored_beside(records: Path) -> Path:
    """Where a restored database stands until it takes its place."""
    return records.with_name(f".{records.name}.restored")


def copies(records: Path) -> list[Path]:
    """Every copy in backups/."""
    return list((records.parent / BACKUPS).glob(COPIES))


def databases_set_aside(records: Path) -> list[Path]:
    """Every database that was set aside when another took its place."""
    return list((records.parent / BACKUPS).glob(f"{SET_ASIDE}/{records.name}"))


def were_here(records: Path) -> bool:
    """Whether anything shows that there were records here before, so that absent or empty ones are no new ones."""
    log_alone = not records.exists() and bool(standing(records))
    return log_alone or bool(copies(records)) or any((records.parent / BACKUPS).glob(SET_ASIDE))


def stamp(now: datetime) -> str:
    """A moment as names of copies have it, in UTC and to the second."""
    return now.astimezone(UTC).strftime("%Y-%m-%dT%H%M%SZ")


def copy_whole(records: Path, folder: Path) -> Path:
    """The database with its companions as they are now, in another folder; returns the database. Raises OSError."""
    import shutil

    for file in standing(records):
        if not file.name.endswith(_SHARED_MEMORY):
            shutil.copyfile(file, folder / file.name)
    return folder / records.name


def set_aside(records: Path, now: datetime) -> Path | None:
    """Make ready a folder of backups/ with the database and its companions, on the disk; they stay in place, too.

    It gets its name, which is returned, when other records take their place; None where there is nothing to set aside.
    Raises OSError and PersonError.
    """
    import shutil

    if not standing(records):
        return None
    aside = folder_to_set_aside(records, now)
    unready = aside.with_name(f".{aside.name}")
    make_folder(unready)
    for file in standing(records):
        if file.is_dir():
            shutil.copytree(file, unready / file.name)
        elif not file.name.endswith(_SHARED_MEMORY):
            try:
                os.link(file, unready / file.name)
            except OSError:  # a file system without links
                shutil.copyfile(file, unready / file.name)
            on_disk(unready / file.name)
    on_disk(unready)
    return aside


def folder_to_set_aside(records: Path, now: datetime) -> Path:
    """The name of a folder that is not there yet. Raises PersonError where backups/ cannot be made."""
    make_folder(records.parent / BACKUPS)
    first = records.parent / BACKUPS / SET_ASIDE.replace("*", stamp(now))
    nth = 1
    aside = first
    while aside.exists():
        nth += 1
        aside = first.with_name(f"{first.name}-{nth}")
    return aside


def put_in_place(records: Path, whole: Path) -> None:
    """Put a database that stands alone in the place of the records, which were set aside. Raises OSError.

    Killed at any moment, it has either not begun, or is finished by whoever opens the records next.
    """
    import shutil

    with draft_of(restored_beside(records)) as draft:
        shutil.copyfile(whole, draft)
    finish(records)


def finish(records: Path) -> None:
    """Let the database that was restored take its place; does nothing where there is none. Raises OSError."""
    import shutil

    restored = restored_beside(records)
    if not restored.exists():
        return
    for unready in _unready(records):
        os.replace(unready, unready.with_name(unready.name.removeprefix(".")))
    for file in standing(records):
        if file != records:
            file.unlink()
        elif file.is_dir():
            shutil.rmtree(file)
    os.replace(restored, records)
    on_disk(records.parent)


def drop_unready(records: Path) -> None:
    """Remove what a restore that was killed had begun to set aside; nobody may be restoring meanwhile."""
    import shutil

    if not restored_beside(records).exists():
        for unready in _unready(records):
            shutil.rmtree(unready, ignore_errors=True)


def _unready(records: Path) -> list[Path]:
    return list((records.parent / BACKUPS).glob(f".{SET_ASIDE}"))
