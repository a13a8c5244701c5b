"""A copy of records that can only be read, as of one moment, whoever writes them meanwhile.

SQLite cannot be let at them where they lie: a journal that was left behind must be played back before anything is read.
"""

from __future__ import annotations

import sqlite3
import time
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from tendwork.errors import PersonError
from tendwork.folder.files import reason
from tendwork.folder.records_files import copy_whole, refuse_odd_companions, restored_beside, statuses
from tendwork.folder.scratch import scratch_folder

if TYPE_CHECKING:
    import tempfile

_TRIES = 25
_PAUSE_SECONDS = 0.2
_STILL_SECONDS = 0.05  # a file system's clock may tick so slowly that two writings have one time


def private_copy(records: Path, wait_s: float) -> tempfile.TemporaryDirectory[str]:
    """A folder for a moment with a copy of the records, under their own name. Raises PersonError."""
    import shutil

    refuse_odd_companions(records)
    aside = scratch_folder(records)
    try:
        try:
            shutil.copyfile(restored_beside(records), Path(aside.name) / records.name)
        except FileNotFoundError:  # as nearly always: there is no restore that nobody could finish here
            if not _copied_under_lock(records, Path(aside.name), wait_s):
                _copy_when_still(records, Path(aside.name))
    except BaseException as error:
        aside.cleanup()
        if not isinstance(error, OSError):
            raise
        raise PersonError(
            f"{records}: the records cannot be read ({reason(error)}). Give yourself the right to, or look at the disk."
        ) from None
    return aside


def _copied_under_lock(records: Path, folder: Path, wait_s: float) -> bool:
    """Copy while SQLite's own lock keeps writers waiting; False where it cannot be had or the file is no whole one."""
    address = f"{records.absolute().as_uri()}?mode=ro"
    try:
        with (
            closing(sqlite3.connect(address, uri=True, timeout=wait_s, isolation_level=None)) as held,
            closing(sqlite3.connect(folder / records.name)) as copy,
        ):
            held.execute("BEGIN")
            held.execute("SELECT count(*) FROM sqlite_master").fetchone()
            held.backup(copy)
    except sqlite3.Error:  # a journal must be played back first, there are no locks here, or the file is damaged
        return False
    return True


def _copy_when_still(records: Path, folder: Path) -> None:
    """Copy the database and its companions once they stay as they are for that long. Raises OSError and PersonError."""
    for _ in range(_TRIES):
        for file in folder.iterdir():
            file.unlink()
        before = _state(records)
        try:
            copy_whole(records, folder)
        except FileNotFoundError:  # a journal that has gone
            continue
        newest = max((changed for _, _, changed in before.values()), default=0) / 1e9
        if _state(records) == before and not 0 <= time.time() - newest < _STILL_SECONDS:
            return
        time.sleep(_PAUSE_SECONDS)
    raise PersonError(f"{records}: are being written just now. Nothing was changed; do it again in a while.")


def _state(records: Path) -> dict[str, tuple[int, int, int]]:
    return {
        file.name: (status.st_ino, status.st_size, status.st_mtime_ns) for file, status in statuses(records).items()
    }
