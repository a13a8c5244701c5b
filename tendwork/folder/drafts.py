"""Drafts: a file is made beside its place under a name of its own, and takes its place only once it is on the disk."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

_END = ".draft"
_drafts = count()
_ANY = re.compile(r".+")
_DEAD_AFTER_SECONDS = 600.0  # no draft takes so long; whose draft goes all the same is told, and has changed nothing


@contextmanager
def draft_of(target: Path, new: bool = False) -> Iterator[Path]:
    """An empty file beside `target`, for its owner only, which takes the place of `target` when the block is done.

    Where the block raises, it goes and `target` stays. Raises OSError, and where `target` is to be `new`,
    FileExistsError if anything stands there.
    """
    import tempfile

    handle, name = tempfile.mkstemp(prefix=f".{target.name}.", suffix=_END, dir=target.parent)
    os.close(handle)
    draft = Path(name)
    try:
        yield draft
        on_disk(draft)
        if new:
            _put_new(draft, target)
        else:
            os.replace(draft, target)
        on_disk(target.parent)
    finally:
        for end in ("", "-journal", "-wal", "-shm"):  # what SQLite lays beside one goes as well
            with suppress(OSError):
                os.unlink(name + end)


def draft_name(target: Path) -> Path:
    """A name for a draft of `target` that nobody else who writes has; `sweep` knows it."""
    return target.with_name(f".{target.name}.{os.getpid() % 16**5:05x}{next(_drafts) % 16**3:03x}{_END}")


def _put_new(draft: Path, target: Path) -> None:
    """Give a draft the name `target`, unless that is taken. Raises FileExistsError then, else OSError."""
    try:
        os.link(draft, target)
        return
    except FileExistsError:
        raise
    except OSError:  # not every file system has hard links
        os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    try:
        os.replace(draft, target)
    except OSError:
        os.unlink(target)
        raise


def on_disk(path: Path) -> None:
    """Have a file, or the entries of a folder, on the disk. Raises OSError for a file; a folder is asked in vain."""
    is_folder = path.is_dir()
    try:
        handle = os.open(path, os.O_RDONLY if is_folder else os.O_RDWR)
    except OSError:
        if is_folder:  # Windows opens no folder
            return
        raise
    try:
        os.fsync(handle)
    except OSError:
        if not is_folder:
            raise
    finally:
        os.close(handle)


def sweep(folder: Path, name: str | re.Pattern[str] = _ANY) -> None:
    """Remove the drafts that writers who were killed have left in a folder, with what SQLite lays beside one.

    In a folder that is not tendwork's own, `name` the files that are written: other hidden files are another's there.
    """
    import time

    named = re.escape(name) if isinstance(name, str) else name.pattern
    is_draft = re.compile(rf"\.(?:{named})\.[a-z0-9_]{{8}}{re.escape(_END)}(-journal|-wal|-shm)?")
    dead_before = time.time() - _DEAD_AFTER_SECONDS
    with suppress(OSError):
        for draft in folder.iterdir():
            with suppress(OSError):
                if is_draft.fullmatch(draft.name) and draft.lstat().st_mtime < dead_before:
                    draft.unlink()
