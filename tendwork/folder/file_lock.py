"""A lock between processes that the operating system lets go of when its holder ends, however that happens."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

from tendwork.errors import PersonError

_PATIENCE_SECONDS = 30.0
_PAUSE_SECONDS = 0.02
_PLACES = 64  # Windows has no shared locks: whoever shares locks one of these bytes, who wants it alone locks them all
_FIRST_PLACE = 1_000_000  # behind what the file holds, which a lock on Windows would keep from being read


def alone_at(file: Path) -> AbstractContextManager[None]:
    """Hold a file from reading to writing, by a hidden lock file beside it, so that of two who change it none loses.

    Raises PersonError. The lock file stays: nobody is kept out by one whose holder is gone, and whoever removed one
    that another has just opened would let a third one in beside them.
    """
    busy = f"{file}: another tendwork is writing it. Nothing was changed; do it again."
    return locked(file.with_name(f".{file.stem}.lock"), busy)


@contextmanager
def locked(file: Path, held_words: str, wait_s: float = _PATIENCE_SECONDS) -> Iterator[None]:
    """Hold the lock of a file made for it. Raises PersonError, with `held_words` if another holds it past `wait_s`."""
    try:
        handle = take(file, wait_s)
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise PersonError(f"{file}: cannot be locked ({why}). Nothing was changed.") from None
    if handle is None:
        raise PersonError(held_words)
    try:
        yield
    finally:
        os.close(handle)


def take(file: Path, wait_s: float = _PATIENCE_SECONDS, shared: bool = False) -> int | None:
    """The open handle that holds the lock, `shared` with others who share it; None if it is not to be had in time.

    Closing the handle lets go. Raises OSError where the file cannot be made, or its file system has no locks.
    """
    import time

    end = time.monotonic() + wait_s
    handle = os.open(file, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        while not _taken(handle, shared):
            if time.monotonic() >= end:
                os.close(handle)
                return None
            time.sleep(_PAUSE_SECONDS)
    except BaseException:
        os.close(handle)
        raise
    return handle


def _taken(handle: int, shared: bool) -> bool:
    """Take the lock if that can be. Raises OSError where the file system has no locks."""
    try:
        import fcntl
    except ImportError:  # Windows
        return _taken_on_windows(handle, shared)
    try:
        fcntl.flock(handle, (fcntl.LOCK_SH if shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _taken_on_windows(handle: int, shared: bool) -> bool:
    import msvcrt

    for place in range(_PLACES) if shared else (0,):
        os.lseek(handle, _FIRST_PLACE + place, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1 if shared else _PLACES)  # type: ignore[attr-defined]
        except OSError:
            continue
        return True
    return False
