"""One watch on one folder: a lock that the operating system lets go of when its holder ends, however that happens."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tendwork.errors import PersonError

LOCK_FILE = ".watch.lock"


@contextmanager
def only_one(folder: Path) -> Iterator[None]:
    """Hold the folder's lock. Raises PersonError where another watch holds it or it cannot be had."""
    try:
        handle = os.open(folder / LOCK_FILE, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise PersonError(f"{folder / LOCK_FILE}: cannot be written ({why}), and a watch needs it.") from None
    try:
        try:
            _take(handle)
        except OSError:
            raise PersonError(f"{folder}: another watch is at work on this orchard, so this one leaves.") from None
        yield
    finally:
        os.close(handle)


def _take(handle: int) -> None:
    """Take the lock without waiting. Raises OSError if it is held."""
    try:
        import fcntl
    except ImportError:  # Windows
        import msvcrt

        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    else:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
