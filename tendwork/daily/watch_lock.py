"""One watch on one folder."""

from __future__ import annotations

from contextlib import AbstractContextManager
from pathlib import Path

from tendwork.folder.file_lock import locked

LOCK_FILE = ".watch.lock"


def only_one(folder: Path) -> AbstractContextManager[None]:
    """Hold the folder's lock. Raises PersonError where another watch holds it or it cannot be had."""
    return locked(folder / LOCK_FILE, f"{folder}: another watch is at work on this orchard, so this one leaves.", 0)
