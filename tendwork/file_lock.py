"""A lock between processes that the operating system lets go of when its holder ends, however that happens."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tendwork.errors import PersonError

_PATIENCE_SECONDS = 30.0
_PAUSE_SECONDS = 0.02


@contextmanager
def locked(file: Path, held_words: str, wait_s: float = _PATIENCE_SECONDS) -> Iterator[None]:
    """Hold the lock of a file made for it. Raises PersonError, with `held_words` if another holds it past `wait_s`."""
    import time

    handle = -1
    end = time.monotonic() + wait_s
    try:
        try:
            handle = os.open(file, os.O_RDWR | os.O_CREAT, 0o600)
            while not (taken := _taken(handle)) and time.monotonic() < end:
                time.sleep(_PAUSE_SECONDS)
        except OSError as error:
            why = (error.strerror or str(error)).lower()
            raise PersonError(f"{file}: cannot be locked ({why}). Nothing was changed.") from None
        if not taken:
            raise PersonError(held_words)
        yield
    finally:
        if handle >= 0:
            os.close(handle)


def _taken(handle: int) -> bool:
    """Take the lock if nobody has it. Raises OSError where the file system has no locks."""
    try:
        import fcntl
    except ImportError:  # Windows
        return _taken_on_windows(handle)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _taken_on_windows(handle: int) -> bool:
    import msvcrt

    try:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined]
    except OSError:
        return False
    return True
