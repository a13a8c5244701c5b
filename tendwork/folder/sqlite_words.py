"""What goes wrong in the records as sentences for the person."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tendwork.errors import PersonError
from tendwork.folder.files import reason
from tendwork.folder.records_reading import Damaged

CAN_ONLY_READ = "the records can only be read here. Nothing was changed; give yourself the right to write."
_UNCHANGED = {
    sqlite3.SQLITE_FULL: "the disk is full. Nothing was changed; make room and do it again.",
    sqlite3.SQLITE_BUSY: "another program holds the records. Nothing was changed; close it and do it again.",
    sqlite3.SQLITE_LOCKED: "another program holds the records. Nothing was changed; close it and do it again.",
    sqlite3.SQLITE_IOERR: "the disk failed, or is full. Nothing was changed; check the disk.",
    sqlite3.SQLITE_CANTOPEN: "the records cannot be opened. Check the rights of the file and its folder.",
}


@contextmanager
def in_words(records: Path) -> Iterator[None]:
    """Turn what SQLite raises, and what a database raises in which something is wrong, into a PersonError."""
    try:
        yield
    except UnicodeEncodeError:
        raise PersonError(
            "That text holds characters that are no text at all. Nothing was changed; type it again."
        ) from None
    except Damaged as damage:
        raise PersonError(f"{records}: the records are damaged: {damage}. {restore_words(records)}") from None
    except (UnicodeDecodeError, MemoryError):  # SQLite is led astray by a size that it reads
        raise PersonError(f"{records}: the records are damaged. {restore_words(records)}") from None
    except sqlite3.Error as error:
        raise PersonError(f"{records}: {_sentence(error, records)}") from None
    except OSError as error:
        raise PersonError(f"{records}: cannot be used ({reason(error)}). Check the disk and your rights.") from None


def restore_words(records: Path) -> str:
    """What to do when the records cannot be used. See `tendwork.folder.backups`, which is loaded only then."""
    from tendwork.folder import backups

    return backups.restore_words(records)


def may_write(records: Path) -> bool:
    """Whether this person may write the file and beside it."""
    return os.access(records, os.W_OK) and os.access(records.parent, os.W_OK)


def _sentence(error: sqlite3.Error, records: Path) -> str:
    primary = (getattr(error, "sqlite_errorcode", None) or 0) & 0xFF
    if primary in _UNCHANGED:
        return _UNCHANGED[primary]
    if primary == sqlite3.SQLITE_READONLY and not may_write(records):
        return CAN_ONLY_READ
    if primary in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_READONLY):
        return f"the records are damaged. {restore_words(records)}"
    return f"the records cannot be used ({error}). {restore_words(records)}"
