"""Who has the records open: everyone shares one lock, and who puts other records in their place needs it alone."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

from tendwork.errors import PersonError
from tendwork.folder.file_lock import take

_PATIENCE_SECONDS = 30.0
_LONGEST_LIST_BYTES = 4000


def lock_file(records: Path) -> Path:
    return records.with_name(f".{records.name}.lock")


def share(records: Path) -> int | None:
    """The open handle that says that this process has the records open; closing it says that it has not.

    None where the file system has no locks. Raises PersonError while a restore is under way.
    """
    file = lock_file(records)
    try:
        if (alone := take(file, wait_s=0)) is not None:
            with suppress(OSError):
                os.ftruncate(alone, 0)  # nobody else has them open: what the list says is over
            os.close(alone)
        handle = take(file, _PATIENCE_SECONDS, shared=True)
    except OSError:
        return None
    if handle is None:
        raise PersonError(f"{records}: another tendwork is just restoring the records. Do it again in a while.")
    with suppress(OSError):
        _note(handle)
    return handle


@contextmanager
def alone(records: Path, wait_s: float = 0) -> Iterator[None]:
    """Keep everybody else out. Raises PersonError that says who has the records open."""
    file = lock_file(records)
    try:
        handle = take(file, wait_s)
    except OSError:  # no locks here: it is for the person to have closed the others
        yield
        return
    if handle is None:
        raise PersonError(f"{records}: open in {_holders(file)}. Close it and do it again; nothing was changed.")
    try:
        with suppress(OSError):
            os.ftruncate(handle, 0)
        yield
    finally:
        os.close(handle)


def _note(handle: int) -> None:
    """Add this process to the list of those that have the records open."""
    if os.fstat(handle).st_size > _LONGEST_LIST_BYTES:
        return
    os.lseek(handle, 0, os.SEEK_END)
    since = datetime.now(UTC).strftime("%Y-%m-%dT%H:%M")
    os.write(handle, f"{os.getpid()} {since} {_command()}\n".encode("utf-8", "replace"))


def _command() -> str:
    """The first word of the command line that is no option; none for the dashboard."""
    return next((word[:20] for word in sys.argv[1:] if word.isidentifier() or word == "put-off"), "")


def _holders(file: Path) -> str:
    """In words, those of the list that still run; those of another machine are not known."""
    try:
        lines = [line.split(" ", 2) for line in file.read_text("utf-8", "replace").splitlines()]
    except OSError:
        lines = []
    found = [
        f"tendwork{f' {command}' if command else ''} (process {process}, since {since.replace('T', ' ')} UTC)"
        for process, since, command in (line for line in lines if len(line) == 3)
        if process.isdecimal() and _runs(int(process))
    ]
    return " and ".join(dict.fromkeys(found[-3:])) or "another tendwork"


def _runs(process: int) -> bool:
    if process == os.getpid():
        return True
    if sys.platform == "win32":  # asking there would end it
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True
