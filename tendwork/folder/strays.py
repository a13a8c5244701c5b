"""Second copies of a file, as a file sync leaves them beside it when it met two versions that had both been changed."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

from tendwork.folder.orchard_folder import RECORDS_FILE
from tendwork.folder.records_files import journals_set_aside, odd_companions
from tendwork.folder.site import SITE_FILE

_ADJUSTMENTS_FILE = "adjustments.toml"
_OF_A_JOURNAL = (
    "a journal of another state of the records, as a file sync brings one late; it was kept from taking acts back. "
    "Look whether your last acts are there, then remove it."
)


def stray_copies(folder: Path) -> tuple[str, ...]:
    """A sentence for each copy beside the records, the site or the adjustments, which are read as if it were not.

    And one for each journal that was kept from being played back into the records.
    """
    copies = tuple(
        f"{stray}: a second copy of {name}, as a file sync leaves behind; not read. {_remedy(folder / name, stray)}"
        for name in (RECORDS_FILE, SITE_FILE, _ADJUSTMENTS_FILE)
        for stray in _beside(folder / name)
    )
    journals = journals_set_aside(Path(os.path.realpath(folder / RECORDS_FILE)))
    return (*copies, *(f"{journal}: {_OF_A_JOURNAL}" for journal in journals))


def _beside(file: Path) -> list[Path]:
    """ "site.sync-conflict-1.toml", "site (copy of the barn).toml", but not the file itself."""
    return [stray for stray in sorted(file.parent.glob(f"{file.stem}*{file.suffix}")) if stray.name != file.name]


def _remedy(file: Path, stray: Path) -> str:
    if file.name != RECORDS_FILE:
        return f"Put what you want of it into {file.name} and set it aside."
    ours, theirs = _newest_act(file, "mode=ro"), _newest_act(stray, "mode=ro&immutable=1")
    newest = f"Its newest act is of {theirs}, the newest in {file.name} of {ours}. " if ours and theirs else ""
    return f"{newest}Keep the one with the newer acts as {RECORDS_FILE} and set the other aside."


def _newest_act(records: Path, how: str) -> str:
    """When the newest act was done, in UTC to the minute; empty if that cannot be read."""
    if not records.is_file() or odd_companions(records):
        return ""
    try:
        with closing(sqlite3.connect(f"{records.absolute().as_uri()}?{how}", uri=True)) as connection:
            newest = connection.execute("SELECT max(at) FROM acts").fetchone()[0]
    except sqlite3.Error:
        return ""
    return str(newest or "")[:16].replace("T", " ")
