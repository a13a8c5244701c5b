"""Copies of the records: one a day through SQLite's backup API, each read back, the newest fourteen kept.

A copy is named by the moment at which it was made, in UTC, never by the day that is planned for.
"""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing, suppress
from datetime import datetime
from pathlib import Path
from typing import Protocol

from tendwork.errors import PersonError
from tendwork.folder.drafts import draft_of, sweep
from tendwork.folder.files import make_folder, reason
from tendwork.folder.proving import prove
from tendwork.folder.records_files import BACKUPS, copies, databases_set_aside, stamp
from tendwork.folder.records_reading import Damaged
from tendwork.folder.schema import APPLICATION_ID

KEPT = 14
_COPY = re.compile(r"records-.*\.db")
_DAILY = re.compile(r"records-(\d{4}-\d\d-\d\d)(T\d{6}Z)?\.db")  # the time of day is missing in older names


class Copyable(Protocol):
    """What can be copied: an open records database."""

    def copy_to(self, target: Path) -> None: ...

    def is_untouched(self) -> bool: ...


def back_up_daily(records: Copyable, backups: Path, now: datetime) -> Path | None:
    """Copy the records once a day of UTC; None if today's copy stands, or no act was ever done.

    Raises PersonError, and then no older copy goes.
    """
    if backups.is_dir():
        make_folder(backups)  # closed to others, whoever made it
        sweep(backups, _COPY)  # where a person made backups/, or what it lies in, other hidden files there are not ours
    today = stamp(now)[:10]
    dailies = {
        path: found[1] + (found[2] or "")
        for path in backups.glob("*")
        if (found := _DAILY.fullmatch(path.name)) and path.is_file()
    }
    has_today_s = any(when.startswith(today) and _is_uncut(path) for path, when in dailies.items())
    if has_today_s or records.is_untouched():
        return None
    make_folder(backups)
    target = backups / f"records-{stamp(now)}.db"
    records.copy_to(target)
    # What was cut off goes first, then a copy of a day to come: a wrong clock made it, or it has a plan's day.
    worth = {path: (_is_uncut(path), when[:10] <= today, when) for path, when in dailies.items()}
    for old in sorted(dailies, key=worth.__getitem__, reverse=True)[KEPT - 1 :]:
        with suppress(OSError):  # it can go another day
            old.unlink()
    return target


def _is_uncut(copy: Path) -> bool:
    """Whether a copy begins as records of ours do and is as long as it says; whether it is good, `prove` finds out."""
    try:
        with copy.open("rb") as stream:
            head = stream.read(100)  # the header; its fields as in SQLite's "Database File Format"
        page_bytes = int.from_bytes(head[16:18], "big")
        whole_bytes = (page_bytes if page_bytes > 1 else 65536) * int.from_bytes(head[28:32], "big")
        is_ours = int.from_bytes(head[68:72], "big") == APPLICATION_ID
        return is_ours and whole_bytes == copy.stat().st_size
    except OSError:
        return False


def copy_records(connection: sqlite3.Connection, target: Path) -> None:
    """Copy a database whole, read the copy back, and only then let it take its name.

    Raises PersonError, and Damaged or sqlite3.Error where the database itself cannot be read.
    """
    make_folder(target.parent)
    try:
        with draft_of(target) as draft:
            with closing(sqlite3.connect(draft)) as copy:
                connection.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")
            proof = prove(draft)
            if not proof.good:
                raise Damaged(proof.why or "a copy of them cannot be read back")
    except OSError as error:
        raise PersonError(f"{target}: the records could not be copied ({reason(error)}). Check the disk.") from None


def newest_good_backup(records: Path) -> Path | None:
    """The copy that can be read back with the newest act, of several the one that was made last; None without any."""
    proofs = [(prove(path), path) for path in copies(records)]
    good = [(proof.newest_act, _made(path), path) for proof, path in proofs if proof.good]
    return max(good)[2] if good else None


def _made(copy: Path) -> str:
    """The moment in a copy's name; a file's own time is not kept by every file sync."""
    found = re.search(r"\d{4}-\d\d-\d\d.*", copy.stem)
    return found[0] if found else ""


def restore_words(records: Path) -> str:
    """What to do when the records cannot be used: which copy to put back, and what else there is."""
    try:
        return _restore_words(records)
    except PersonError as error:  # the copies cannot be looked at, or not be tried
        return str(error)


def _restore_words(records: Path) -> str:
    newest = newest_good_backup(records)
    if newest is None:
        words = f"No good copy was found in {records.parent / BACKUPS}."
        if not records.exists():
            words += " If there never were any, take cache/ and rounds.toml out of the folder."
    else:
        remedy = "close tendwork everywhere, and `tendwork restore` puts it back and sets what stands there aside"
        words = f"The newest good copy is {newest}: {remedy}."
    since = "" if newest is None else prove(newest).newest_act
    asides = [(proof.newest_act, path) for path in databases_set_aside(records) if (proof := prove(path)).good]
    if not asides or max(asides)[0] <= since:
        return words
    return f"{words} {max(asides)[1].parent}, which was set aside, is newer: `tendwork restore` takes its name as well."
