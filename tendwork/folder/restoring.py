"""Putting a copy of the records back: what stands there now is set aside, never written over."""

from __future__ import annotations

import os
import shutil
from datetime import UTC, datetime
from pathlib import Path

from tendwork.errors import PersonError
from tendwork.folder.backups import BACKUPS, COPIES, is_good, newest_good_backup
from tendwork.folder.files import make_folder, reason

_COMPANIONS = ("", "-wal", "-shm", "-journal")


def copies(records: Path) -> tuple[tuple[Path, bool], ...]:
    """Every copy in backups/, the newest name last, and whether it can be read back."""
    return tuple((path, is_good(path)) for path in sorted((records.parent / BACKUPS).glob(COPIES)))


def restore(records: Path, copy: Path | None) -> tuple[Path, Path | None]:
    """Put `copy`, or in the place of records that cannot be read the newest good one.

    Returns the copy used and the folder to which the records that stood there were moved, None if none did. Raises
    PersonError, and then the records are as they were.
    """
    if copy is None and records.is_file() and is_good(records):
        remedy = "To go back to a copy, name it: `tendwork restore FILE`; `tendwork restore --list` shows them all."
        raise PersonError(f"{records}: can be read, so nothing was changed. {remedy}")
    chosen = copy or newest_good_backup(records.parent / BACKUPS)
    if chosen is None:
        raise PersonError(f"{records.parent / BACKUPS}: holds no copy that can be read back. Nothing was changed.")
    if not os.path.isfile(chosen) or not is_good(chosen):
        raise PersonError(f"{chosen}: is no copy of the records that can be read back. Nothing was changed.")
    fresh = records.with_name(f".{records.name}.{os.getpid()}")
    try:
        shutil.copyfile(chosen, fresh)
        fresh.chmod(0o600)
        aside = _set_aside(records)
        os.replace(fresh, records)
    except OSError as error:
        fresh.unlink(missing_ok=True)
        raise PersonError(f"{records}: cannot be restored ({reason(error)}). Check the disk and your rights.") from None
    return chosen, aside


def _set_aside(records: Path) -> Path | None:
    """Move the database and its logs away together: a log that stayed would be written into the copy."""
    standing = [records.with_name(records.name + end) for end in _COMPANIONS]
    standing = [file for file in standing if file.exists()]
    if not standing:
        return None
    stamp = datetime.now(UTC).strftime("%Y-%m-%dT%H%M%S")
    aside = records.parent / BACKUPS / f"set-aside-{stamp}-{os.getpid()}"
    make_folder(aside)
    for file in standing:
        os.replace(file, aside / file.name)
    return aside
