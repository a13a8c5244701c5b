"""SQLite's errors as sentences for the person."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tendwork.errors import PersonError
from tendwork.folder.backups import restore_words

CAN_ONLY_READ = "the records can only be read here. Nothing was changed; give yourself the right to write."
_UNCHANGED = {
    sqlite3.SQLITE_FULL: "the disk is full. Nothing was changed; make room and do it again.",
    sqlite3.SQLITE_READONLY: CAN_ONLY_READ,
    sqlite3.SQLITE_BUSY: "another program holds the records. Nothing was changed; close it and do it again.",
    sqlite3.SQLITE_LOCKED: "another program holds the records. Nothing was changed; close it and do it again.",
    sqlite3.SQLITE_IOERR: "the disk failed. Nothing was changed; check the disk.",
    sqlite3.SQLITE_CANTOPEN: "the records cannot be opened. Check the rights of the file and its folder.",
}


@contextmanager
def in_words(records: Path) -> Iterator[None]:
    """Turn an error of SQLite's into a PersonError that says what to do about it."""
    try:
        yield
    except UnicodeEncodeError:
        raise PersonError(
            "That text holds characters that are no text at all. Nothing was changed; type it again."
        ) from None
    except sqlite3.Error as error:
        raise PersonError(f"{records}: {_sentence(error, records)}") from None


def _sentence(error: sqlite3.Error, records: Path) -> str:
    primary = (getattr(error, "sqlite_errorcode", None) or 0) & 0xFF
    if primary in _UNCHANGED:
        return _UNCHANGED[primary]
    if primary in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
        return f"the records are damaged. {restore_words(records)}"
    return f"the records cannot be used ({error}). {restore_words(records)}"
