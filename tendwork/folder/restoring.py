"""Putting a copy of the records back: what stands there now is set aside, never written over."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from msgspec import Struct

from tendwork.errors import PersonError
from tendwork.folder.backups import newest_good_backup
from tendwork.folder.drafts import on_disk, sweep
from tendwork.folder.files import reason
from tendwork.folder.proving import Proof, is_good, prove
from tendwork.folder.records_files import (
    BACKUPS,
    copies,
    copy_whole,
    databases_set_aside,
    drop_unready,
    finish,
    put_in_place,
    restored_beside,
    set_aside,
    where_they_lie,
)
from tendwork.folder.records_lock import alone
from tendwork.folder.scratch import scratch_folder


class Copy(Struct, frozen=True):
    """A copy of the records, or a database that was set aside, and what reading it back shows."""

    path: Path
    proof: Proof


def copies_proved(records: Path) -> tuple[Copy, ...]:
    """Every copy in backups/ and every database set aside there, read back, the one with the newest act last.

    Raises PersonError where the records are a link that leads nowhere, and where the copies cannot be looked at.
    """
    records = where_they_lie(records)
    found = [Copy(path, prove(path)) for path in (*copies(records), *databases_set_aside(records))]
    return tuple(sorted(found, key=lambda copy: (copy.proof.newest_act, copy.path.name)))


def restore(records: Path, copy: Path | None) -> tuple[Path, Path | None]:
    """Put `copy`, or in the place of records that cannot be read the newest good one.

    Returns the copy used and the folder to which the records that stood there were moved, None if none did. Raises
    PersonError, and then the records are as they were, or the sentence says that the rest is done at the next opening.
    """
    records = where_they_lie(records)
    with alone(records):
        try:
            finish(records)
            drop_unready(records)
            sweep(records.parent, restored_beside(records).name)
            sweep(records.parent, records.name)
            chosen = _chosen(records, copy)
            return chosen, _put(records, chosen)
        except BaseException as error:
            drop_unready(records)
            if not isinstance(error, OSError):
                raise
            what = f"cannot be restored ({reason(error)}). Check the disk and your rights, and do it again."
            if restored_beside(records).exists():
                remedy = "what comes back stands ready and takes its place when tendwork next opens them"
                what = f"are not all restored ({reason(error)}): {remedy}. Check the disk and your rights."
            raise PersonError(f"{records}: {what}") from None


def _chosen(records: Path, copy: Path | None) -> Path:
    if copy is None and records.is_file() and is_good(records):
        remedy = "To go back to a copy, name it: `tendwork restore FILE`; `tendwork restore --list` shows them all."
        raise PersonError(f"{records}: can be read, so nothing was changed. {remedy}")
    chosen = newest_good_backup(records) if copy is None else copy
    if chosen is None:
        remedy = "`tendwork restore --list` shows what else there is."
        raise PersonError(
            f"{records.parent / BACKUPS}: holds no copy that can be read back. Nothing was changed. {remedy}"
        )
    if os.path.isdir(chosen):
        chosen = chosen / records.name
    if not os.path.isfile(chosen) or not is_good(chosen):
        raise PersonError(f"{chosen}: is no copy of the records that can be read back. Nothing was changed.")
    if records.exists() and os.path.samefile(chosen, records):
        raise PersonError(f"{chosen}: are the records themselves. Nothing was changed; name a copy of them.")
    return chosen


def _put(records: Path, chosen: Path) -> Path | None:
    with scratch_folder(chosen) as folder:
        whole = copy_whole(chosen, Path(folder))
        try:
            with closing(sqlite3.connect(whole)) as connection:  # takes in what stands in its companions
                connection.execute("PRAGMA journal_mode = DELETE").fetchone()
        except sqlite3.Error as error:
            raise PersonError(f"{chosen}: cannot be read ({error}). Nothing was changed.") from None
        on_disk(whole)
        aside = set_aside(records, datetime.now(UTC))
        put_in_place(records, whole)
        return aside
