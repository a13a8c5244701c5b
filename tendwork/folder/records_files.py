"""The records database as files: what SQLite lays beside the file belongs to it, so all of them are one.

A restore ends in two steps: the whole new database stands as `.records.db.restored`, and then takes the place of the
old one. Whoever opens the records between the two, after a restore that was killed, finishes it first.
"""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from datetime import UTC, datetime
from fnmatch import fnmatchcase
from pathlib import Path

from tendwork.errors import PersonError
from tendwork.folder.drafts import draft_of, on_disk
from tendwork.folder.files import make_folder, reason, stands

BACKUPS = "backups"
COPIES = "records-*.db"
SET_ASIDE = "set-aside-*"
JOURNALS_SET_ASIDE = "journal-of-another-state-*"
_MADE_LATER = ("cache", "rounds.toml")  # what the program makes only where there are records
_SHARED_MEMORY = "-shm"  # made by SQLite out of the log, and of no worth without it
_COMPANIONS = ("-wal", _SHARED_MEMORY, "-journal")


def standing(records: Path) -> list[Path]:
    """The database and its companions, as far as they are there."""
    return list(statuses(records))


def statuses(records: Path) -> dict[Path, os.stat_result]:
    """What one look at each shows of the database and its companions that are there.

    A second look may show something else: the journal of a writer at work goes with the writer's act.
    """
    found: dict[Path, os.stat_result] = {}
    with suppress(FileNotFoundError, NotADirectoryError):
        found[records] = os.stat(records)
    for companion in (records.with_name(records.name + end) for end in _COMPANIONS):
        with suppress(FileNotFoundError, NotADirectoryError):
            found[companion] = os.lstat(companion)
    return found


def plain_files(records: Path) -> dict[Path, os.stat_result]:
    """Those of them that are plain files; the database may be a link to one."""
    return {file: status for file, status in statuses(records).items() if stat.S_ISREG(status.st_mode)}


def odd_companions(records: Path) -> list[Path]:
    """What has the name of a companion of the database and is no plain file, so that SQLite cannot have made it."""
    return [file for file, status in statuses(records).items() if file != records and not stat.S_ISREG(status.st_mode)]


def journal_of(records: Path) -> Path:
    """SQLite's rollback journal of a database."""
    return records.with_name(f"{records.name}-journal")


def refuse_odd_companions(records: Path) -> None:
    """Raise PersonError where something else than a file has the name of what SQLite keeps beside the database."""
    for file in odd_companions(records):
        what = "is no plain file, but has the name of what SQLite keeps beside the records"
        raise PersonError(f"{file}: {what}. Move it away and do it again; nothing was changed.")


def where_they_lie(records: Path) -> Path:
    """The file itself, where `records` is a link to it; only a person makes one, and only of records that there are.

    Raises PersonError where the link leads nowhere and nothing at its end shows that there were records, so that an
    empty place, such as that of a disk which was taken out, is not taken for theirs.
    """
    place = Path(os.path.realpath(records))
    if (
        os.path.islink(records)
        and not os.path.lexists(place)
        and not restored_beside(place).exists()
        and not were_here(place)
    ):
        what = f"is a link to {place}, and nothing stands there. Bring the disk or the folder back that it leads to"
        raise PersonError(f"{records}: {what}; if the link is not wanted any more, remove it. Nothing was changed.")
    return place


def restored_beside(records: Path) -> Path:
    """Where a restored database stands until it takes its place."""
    return records.with_name(f".{records.name}.restored")


def copies(records: Path) -> list[Path]:
    """Every copy in backups/. Raises PersonError where that folder cannot be looked into."""
    return _in_backups(records, COPIES)


def databases_set_aside(records: Path) -> list[Path]:
    """Every database that was set aside when another took its place. Raises PersonError as `copies` does."""
    return [folder / records.name for folder in _in_backups(records, SET_ASIDE) if (folder / records.name).exists()]


def journals_set_aside(records: Path) -> list[Path]:
    """Every journal that was kept from being played back into records of another state."""
    return sorted((records.parent / BACKUPS).glob(JOURNALS_SET_ASIDE))


def were_here(records: Path) -> bool:
    """Whether anything shows that there were records here before, so that absent or empty ones are no new ones.

    Raises PersonError where backups/ cannot be looked into.
    """
    there = standing(records)
    log_alone = bool(there) and records not in there
    made_later = any((records.parent / name).exists() for name in _MADE_LATER)
    return log_alone or made_later or bool(_in_backups(records, COPIES) or _in_backups(records, SET_ASIDE))


def _in_backups(records: Path, pattern: str) -> list[Path]:
    folder = records.parent / BACKUPS
    try:
        return [folder / name for name in os.listdir(folder) if fnmatchcase(name, pattern)]
    except FileNotFoundError as error:
        if not os.path.islink(folder):
            return []
        raise PersonError(f"{folder}: leads nowhere ({reason(error)}). Make what it leads to reachable.") from None
    except OSError as error:
        what = f"cannot be looked into ({reason(error)}), so nobody can say which copies of the records there are"
        raise PersonError(f"{folder}: {what}. Make it a folder that you may read.") from None


def stamp(now: datetime) -> str:
    """A moment as names of copies have it, in UTC and to the second."""
    return now.astimezone(UTC).strftime("%Y-%m-%dT%H%M%SZ")


def copy_whole(records: Path, folder: Path) -> Path:
    """The database with its companions as they are now, in another folder; returns the database. Raises OSError.

    A journal of another state is left out, so that the copy is what the program would make of the records.
    """
    import shutil

    from tendwork.folder.rollback_journal import drop_unless_of

    for file in standing(records):
        if not file.name.endswith(_SHARED_MEMORY):
            shutil.copyfile(file, folder / file.name)
    drop_unless_of(folder / records.name)
    return folder / records.name


def set_aside(records: Path, now: datetime) -> Path | None:
    """Make ready a folder of backups/ with the database and its companions, on the disk; they stay in place, too.

    What is no plain file is moved there only when other records take their place. The folder gets its name, which is
    returned, then, too; None where there is nothing to set aside. Raises OSError and PersonError.
    """
    import shutil

    if not standing(records):
        return None
    aside = folder_to_set_aside(records, now)
    unready = aside.with_name(f".{aside.name}")
    make_folder(unready)
    for file in plain_files(records):
        if not file.name.endswith(_SHARED_MEMORY):
            try:
                os.link(file, unready / file.name)
            except OSError:  # a file system without links
                shutil.copyfile(file, unready / file.name)
            on_disk(unready / file.name)
    on_disk(unready)
    return aside


def folder_to_set_aside(records: Path, now: datetime) -> Path:
    """The name of a folder that is not there yet. Raises PersonError where backups/ cannot be made."""
    return _free_place(records, SET_ASIDE.replace("*", stamp(now)))


def place_for_journal(records: Path, now: datetime) -> Path:
    """Where a journal of another state is set aside, over nothing. Raises PersonError where backups/ cannot be made."""
    return _free_place(records, JOURNALS_SET_ASIDE.replace("*", stamp(now)))


def _free_place(records: Path, name: str) -> Path:
    """This name in backups/, which is made where it is not there; numbered where something has it already."""
    make_folder(records.parent / BACKUPS)
    first = place = records.parent / BACKUPS / name
    nth = 1
    while stands(place):
        nth += 1
        place = first.with_name(f"{name}-{nth}")
    return place


def put_in_place(records: Path, whole: Path) -> None:
    """Put a database that stands alone in the place of the records, which `set_aside` has made ready.

    Killed at any moment, it has either not begun, or is finished by whoever opens the records next. Raises OSError, and
    then it has not begun, unless `restored_beside` still stands.
    """
    import shutil

    with draft_of(restored_beside(records)) as draft:
        shutil.copyfile(whole, draft)
    before = standing(records)
    try:
        _take_place(records)
    except OSError:
        if standing(records) == before:
            restored_beside(records).unlink(missing_ok=True)
            for aside in _asides_that_are(records):
                shutil.rmtree(aside, ignore_errors=True)
        raise


def finish(records: Path) -> None:
    """End a restore that was killed, if there is one. Raises OSError and PersonError.

    A file of that name that a sync brought is tried first, and what it replaces is set aside as by a restore here.
    """
    from tendwork.folder.proving import is_good

    restored = restored_beside(records)
    if not restored.exists():
        return
    if not is_good(restored):
        os.replace(restored, _free_place(records, f"no-records-{stamp(datetime.now(UTC))}"))
        return
    if not _unready(records) and not _asides_that_are(records):
        set_aside(records, datetime.now(UTC))
    _take_place(records)


def _take_place(records: Path) -> None:
    """Let the restored database take its place, and what stood there get its name among what is set aside."""
    for unready in _unready(records):
        for file, status in statuses(records).items():
            if not stat.S_ISREG(status.st_mode):
                os.replace(file, unready / file.name)
        os.replace(unready, unready.with_name(unready.name.removeprefix(".")))
    for file in standing(records):
        if file != records:
            file.unlink()
    os.replace(restored_beside(records), records)
    on_disk(records.parent)


def drop_unready(records: Path) -> None:
    """Remove what a restore that was killed had begun to set aside; nobody may be restoring meanwhile."""
    import shutil

    if not restored_beside(records).exists():
        for unready in _unready(records):
            shutil.rmtree(unready, ignore_errors=True)


def _asides_that_are(records: Path) -> list[Path]:
    """The folders in which the very file lies that still stands in its place."""
    return [
        file.parent for file in databases_set_aside(records) if records.exists() and os.path.samefile(file, records)
    ]


def _unready(records: Path) -> list[Path]:
    return list((records.parent / BACKUPS).glob(f".{SET_ASIDE}"))
