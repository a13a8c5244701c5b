"""Copies of the records: one a day through SQLite's backup API, each read back, the newest fourteen kept."""

from __future__ import annotations

import os
import re
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Protocol

from tendwork.errors import PersonError
from tendwork.folder.fields import KINDS
from tendwork.folder.files import make_folder, reason
from tendwork.folder.schema import STEPS, is_ours, schema_number

BACKUPS = "backups"
KEPT = 14
COPIES = "records-*.db"
_DAILY = "records-????-??-??.db"


class Copyable(Protocol):
    """What can be copied: an open records database."""

    def copy_to(self, target: Path) -> None: ...


def back_up_daily(records: Copyable, backups: Path, today: date) -> Path | None:
    """Copy the records once a day; None if today's copy stands. Raises PersonError, and then no older copy goes."""
    target = backups / f"records-{today.isoformat()}.db"
    if target.exists():
        return None
    records.copy_to(target)
    for old in sorted(backups.glob(_DAILY))[:-KEPT]:
        old.unlink(missing_ok=True)
    return target


def copy_records(connection: sqlite3.Connection, target: Path) -> None:
    """Copy a database whole, read the copy back, and only then let it take its name.

    Raises PersonError, and sqlite3.Error where the database itself cannot be read.
    """
    make_folder(target.parent)
    unproved = target.with_name(f".{target.name}.{os.getpid()}")
    try:
        os.close(os.open(unproved, os.O_CREAT | os.O_TRUNC | os.O_WRONLY, 0o600))
        with closing(sqlite3.connect(unproved)) as copy:
            connection.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")
        if not is_good(unproved):
            raise PersonError(f"{target}: the copy of the records cannot be read back. See what `tendwork check` says.")
        os.replace(unproved, target)
    except OSError as error:
        raise PersonError(f"{target}: the records could not be copied ({reason(error)}). Check the disk.") from None
    finally:
        unproved.unlink(missing_ok=True)


def is_good(path: Path) -> bool:
    """Whether a copy is whole, is ours, is not newer than this program, and gives up all its rows."""
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)) as copy:
            number = schema_number(copy)
            tables = [kind.name for kind in KINDS.values() if kind.since <= number]
            return (
                is_ours(copy)
                and 0 < number <= len(STEPS)
                and copy.execute("PRAGMA quick_check").fetchone()[0] == "ok"
                and all(copy.execute(f"SELECT count(*) FROM {name}").fetchone() is not None for name in tables)
            )
    except sqlite3.Error:
        return False


def newest_good_backup(backups: Path) -> Path | None:
    """The newest copy that can be read back; None if there is none."""
    copies = sorted(backups.glob(COPIES), key=_when, reverse=True)
    return next((path for path in copies if is_good(path)), None)


def _when(copy: Path) -> str:
    """The day in a copy's name, and the time behind it; a file's own time is not kept by every file sync."""
    found = re.search(r"\d{4}-\d\d-\d\d.*", copy.stem)
    return found[0] if found else ""


def restore_words(records: Path) -> str:
    """What to do when the records cannot be used: which copy to put back."""
    backups = records.parent / BACKUPS
    newest = newest_good_backup(backups)
    if newest is None:
        return f"No good copy was found in {backups}."
    remedy = "close tendwork everywhere, and `tendwork restore` puts it back and sets what stands there aside"
    return f"The newest good copy is {newest}: {remedy}."
