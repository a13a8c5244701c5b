"""SQLite's rollback journal beside the records: one that is of another state of them is not played back.

A writer that was killed leaves its journal, and SQLite takes back from it what the writer had begun. A journal that a
file sync has brought late would be taken for such a one, and take back acts that were acknowledged. What tells them
apart is the change counter on page 1, which each transaction raises by one. The layout of both files is that of
"Database File Format" in SQLite's documentation, sections "The Database Header" and "The Rollback Journal"; that a
journal gets its magic number and count of pages only once all of it is on the disk is from memory of SQLite's pager.
"""

from __future__ import annotations

import os
import sqlite3
import struct
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from time import monotonic, sleep

from tendwork.folder.drafts import on_disk
from tendwork.folder.records_files import journal_of, place_for_journal

_MAGIC = bytes.fromhex("d9d505f920a163d7")
_HEADER = struct.Struct(">8sIIIII")  # magic, pages held, nonce, pages of the database before, sector size, page size
_TO_THE_END = 0xFFFFFFFF
_FIRST_PAGE = (1).to_bytes(4, "big")
_DATABASE_MAGIC = b"SQLite format 3\0"
_DATABASE_HEADER_BYTES = 100
_SECONDS_BETWEEN_LOOKS = 0.002


def keep_out_of_another_state(records: Path, wait_s: float) -> None:
    """Set a journal aside that SQLite would play back into records which it is not of.

    To be called before SQLite looks at the records. Raises PersonError, OSError, and sqlite3.Error where another
    program holds the records longer than `wait_s`.
    """
    journal, end = journal_of(records), monotonic() + wait_s
    while _may_be_played_back(journal):
        try:
            with _nobody_else_in(records) as is_held:
                if is_held and _may_be_played_back(journal):
                    _set_aside_unless_of(records, journal)
            return
        except sqlite3.OperationalError as error:
            # Most often it is the journal of a writer at work, which goes with the writer's act: so it is looked for
            # again at once, as whoever waits for SQLite's own lock has to wait for all others, one after the other.
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or monotonic() > end:
                raise
            sleep(_SECONDS_BETWEEN_LOOKS)


def _set_aside_unless_of(records: Path, journal: Path) -> None:
    """What stands there while nobody else is in: closing a file lets go of all locks that this process has on it."""
    with records.open("rb") as database:
        if is_of(journal.read_bytes(), database.read(_DATABASE_HEADER_BYTES)):
            return
        import shutil

        shutil.move(journal, place_for_journal(records, datetime.now(UTC)))
        on_disk(records.parent)


def drop_unless_of(copy: Path) -> None:
    """Remove the journal of a copy that nobody else has open, where it is of another state. Raises OSError."""
    journal = journal_of(copy)
    if _may_be_played_back(journal):
        with copy.open("rb") as database:
            header = database.read(_DATABASE_HEADER_BYTES)
        if not is_of(journal.read_bytes(), header):
            journal.unlink()


def is_of(journal: bytes, database_header: bytes) -> bool:
    """Whether a writer that was killed can have left this journal beside a database that begins so.

    True, too, where there is nothing in it that SQLite would play back, or no database that it could spoil.
    """
    if not journal.startswith(_MAGIC) or not database_header.startswith(_DATABASE_MAGIC):
        return True
    pages_before, is_whole, first_page = _read(journal)
    if not is_whole:
        return False
    counter, pages = struct.unpack(">II", database_header[24:32])
    if first_page is None and pages_before:  # killed before it came to page 1, which stands as it was
        return bool(pages == pages_before)
    if first_page is None:  # killed while it made the database
        return bool(counter <= 1)
    (counter_before,) = struct.unpack(">I", first_page[24:28])
    return (counter - counter_before) % 2**32 in (0, 1)


def _may_be_played_back(journal: Path) -> bool:
    try:
        with journal.open("rb") as stream:
            return stream.read(len(_MAGIC)) == _MAGIC
    except FileNotFoundError:
        return False


def _read(journal: bytes) -> tuple[int, bool, bytes | None]:
    """The pages of the database before, whether all that the journal counts is there, and page 1 if it is in it."""
    _, _, _, pages_before, sector, size = _HEADER.unpack_from(journal) if len(journal) >= _HEADER.size else (0,) * 6
    if not 32 <= sector <= 65536 or not 512 <= size <= 65536:
        return pages_before, False, None
    at, first_page = 0, None
    while len(journal) >= at + _HEADER.size and journal.startswith(_MAGIC, at):
        _, count, nonce, *_ = _HEADER.unpack_from(journal, at)
        at += sector
        if count == _TO_THE_END:
            count = (len(journal) - at) // (size + 8)
        for _ in range(count):
            number, page, sign = (
                journal[at : at + 4],
                journal[at + 4 : at + 4 + size],
                journal[at + 4 + size : at + 8 + size],
            )
            if len(page) < size or sign != _checksum(nonce, page):
                return pages_before, False, None
            if number == _FIRST_PAGE:
                first_page = page
            at += size + 8
        at = -(-at // sector) * sector
    return pages_before, True, first_page


def _checksum(nonce: int, page: bytes) -> bytes:
    return struct.pack(">I", (nonce + sum(page[at] for at in range(len(page) - 200, 0, -200))) % 2**32)


@contextmanager
def _nobody_else_in(records: Path) -> Iterator[bool]:
    """Hold SQLite's own lock of the records alone without letting it see the journal; False where that cannot be.

    The lock is that of the file, the journal is sought by the file's name: so a second name is given to the file.
    """
    import secrets

    other_name = records.with_name(f".{records.name}.{secrets.token_hex(4)}.draft")
    try:
        os.link(records, other_name)
    except OSError:  # a file system on which a file has one name
        yield False
        return
    try:
        address = f"{other_name.absolute().as_uri()}?mode=rw"
        with closing(sqlite3.connect(address, uri=True, timeout=0.0, isolation_level=None)) as connection:
            connection.execute("PRAGMA writable_schema = ON")  # half written, it may count more pages than it has
            try:
                connection.execute("BEGIN EXCLUSIVE")
            except sqlite3.OperationalError:
                raise
            except sqlite3.DatabaseError:  # no database: SQLite will say what is wrong
                yield False
                return
            yield True
    finally:
        for end in ("", "-journal", "-wal", "-shm"):
            with suppress(OSError):
                os.unlink(f"{other_name}{end}")
