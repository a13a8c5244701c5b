"""The records database: one SQLite file, one transaction for each act, every act kept so that it can be taken back.

An act that was acknowledged is on the disk, in the one file: a rollback journal stands beside it only while an act is
written (journal mode DELETE, synchronous EXTRA). A write-ahead log would be quicker, but stays beside the file as long
as anybody has it open, and SQLite reads it into whatever file a sync or a person has put there meanwhile. Where the
folder can only be read, a private copy is opened instead, for a journal that was left behind must be played back first.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Callable, Collection, Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from tendwork.errors import PersonError
from tendwork.folder.records_files import (
    BACKUPS,
    finish,
    folder_to_set_aside,
    refuse_odd_companions,
    restored_beside,
    stamp,
    standing,
    were_here,
    where_they_lie,
)
from tendwork.folder.records_lock import alone, share
from tendwork.folder.records_reading import Damaged, decoded_changes, inner_faults, read_records, refuse_header, token
from tendwork.folder.schema import STEPS, is_blank, is_ours, schema_number, upgrade
from tendwork.folder.sqlite_words import CAN_ONLY_READ, in_words, may_write, restore_words
from tendwork.orchard.records import Records

if TYPE_CHECKING:
    import tempfile

    from tendwork.folder.transactions import Transaction
    from tendwork.orchard.edits import Edit
    from tendwork.orchard.standing_ticks import TickKey

_WAIT_SECONDS = 30.0


_Identity = tuple[int, int]


class RecordStore:
    """An open records database. Safe to share between threads; several processes may hold the same file.

    As long as it is open, nobody puts other records in its place with `tendwork restore`. Where another program does so
    all the same, what stood there is set aside, and the store goes on with what stands there now.
    """

    def __init__(
        self,
        path: Path,
        share: int | None,
        may_be_new: bool = True,
        before_written: Callable[[], object] = lambda: None,
    ) -> None:
        self.path = path
        self._before_written = before_written
        self._may_be_new = may_be_new
        self._lock = threading.RLock()
        self._share = share
        self._last_read: tuple[tuple[str, int], Records] | None = None
        self._private_copy = None if may_write(path) else _copy_of(path)
        try:
            self._connect(path if self._private_copy is None else Path(self._private_copy.name) / path.name)
        except BaseException:
            if self._private_copy is not None:
                self._private_copy.cleanup()
            raise

    @property
    def writable(self) -> bool:
        """Whether the records themselves are open, not a private copy of them that can only be read."""
        return self._private_copy is None

    @classmethod
    def open(cls, path: Path, create: bool = False, before_written: Callable[[], object] = lambda: None) -> RecordStore:
        """Open the database, bringing an older schema up to date after a copy into backups/. Raises PersonError.

        With `create`, an absent file is made empty first, unless something shows that there were records before. Where
        the file is a link, all that belongs to it is where it leads. `before_written` is called before every act or
        undoing that changes anything, while the file still has what stood before; what it raises keeps that from being.
        """
        may_be_new = not os.path.islink(path)
        with in_words(path):
            path = where_they_lie(path)
            handle = _shared(path) if os.access(path.parent, os.W_OK) else None
            try:
                if not path.exists():
                    is_missing = not (create and may_be_new) or were_here(path)
                    if is_missing and not path.exists():  # another may have begun them while it was looked for
                        raise PersonError(f"{path}: the records are missing. {restore_words(path)}")
                    _make_empty(path)
                if not path.is_file():
                    raise PersonError(f"{path}: is not a file. Set it aside. {restore_words(path)}")
                return cls(path, handle, may_be_new, before_written)
            except BaseException:
                if handle is not None:
                    os.close(handle)
                raise

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._connection.close()
            if self._share is not None:
                os.close(self._share)
                self._share = None
            if self._private_copy is not None:
                self._private_copy.cleanup()

    def __enter__(self) -> RecordStore:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def read(self) -> Records:
        """All records as of one moment, each kind in the order of entry; within an act, as the act has made them.

        Raises PersonError.
        """
        with self._in_use():
            if self._connection.in_transaction:
                return read_records(self._connection)
            with self._transaction("BEGIN"):
                # The token alone would miss what another program wrote past this one.
                version = (token(self._connection), self._connection.execute("PRAGMA data_version").fetchone()[0])
                if self._last_read is None or self._last_read[0] != version:
                    self._last_read = (version, read_records(self._connection))
                return self._last_read[1]

    def content_token(self) -> str:
        """A word that is the same in every process as long as the content is, and new after each act."""
        with self._in_use():
            return token(self._connection)

    @contextmanager
    def act(self, description: str) -> Iterator[Transaction]:
        """One act: everything inside happens, or nothing; afterwards it is on the disk and can be taken back.

        Raises PersonError, also where the folder can only be read.
        """
        from tendwork.folder.transactions import Transaction

        with self._in_use():
            self._refuse_unless_writable()
            with self._transaction("BEGIN IMMEDIATE"):
                act = Transaction(self._connection, description)
                yield act
                if act.changes:
                    self._before_written()
                    self._connection.execute(
                        "INSERT INTO acts (at, description, changes) VALUES (?, ?, ?)",
                        (_now(), act.description, msgspec.json.encode(act.changes).decode()),
                    )
                    self._renew_token()

    def write(self, edit_of: Callable[[Records], Edit]) -> Edit:
        """Make the edit that `edit_of` gives for the records as they are now, as one act, and return it.

        Raises PersonError where it is refused, or the folder can only be read.
        """
        with self.act("") as act:
            edit = edit_of(self.read())
            act.apply(edit)
        return edit

    def undo_last(self, day: date | None = None, ticked: Collection[TickKey] = ()) -> str | None:
        """Take back the newest act that stands and return its description; None if none is left. Raises PersonError.

        A tick is taken back by appending its opposite, dated `day` or else as the tick was. With `ticked` an act is
        taken back only where it made a tick on each of these units; else nothing is changed, and None returned.
        """
        from tendwork.folder.transactions import take_back, ticks_made

        with self._in_use():
            self._refuse_unless_writable()
            with self._transaction("BEGIN IMMEDIATE"):
                newest = "SELECT seq, description, changes FROM acts WHERE NOT undone ORDER BY seq DESC LIMIT 1"
                row = self._connection.execute(newest).fetchone()
                changes = [] if row is None else decoded_changes(row[2])
                if row is None or not ticks_made(changes).issuperset(ticked):
                    return None
                take_back(self._connection, changes, day)
                self._before_written()
                self._connection.execute("UPDATE acts SET undone = 1 WHERE seq = ?", (row[0],))
                self._renew_token()
                return str(row[1])

    def newest_act(self) -> int:
        """The number of the newest act that stands, higher than those of all before; 0 for none. Raises PersonError."""
        with self._in_use():
            return int(self._connection.execute("SELECT max(seq) FROM acts WHERE NOT undone").fetchone()[0] or 0)

    def is_untouched(self) -> bool:
        """Whether no act was ever done."""
        with self._in_use():
            return self._connection.execute("SELECT 1 FROM acts LIMIT 1").fetchone() is None

    def faults(self) -> tuple[str, ...]:
        """What is wrong inside the database: pages, indexes and references; empty if it is whole."""
        with self._in_use():
            return tuple(f"{self.path}: {what}. {restore_words(self.path)}" for what in inner_faults(self._connection))

    def copy_to(self, target: Path) -> None:
        """Copy the records as they stand, proved by reading the copy back. Raises PersonError.

        Within an act, as they stood before it: what it has made of them is not in the file yet, where others read.
        """
        from tendwork.folder.backups import copy_records

        with self._in_use():
            if not self._connection.in_transaction:
                copy_records(self._connection, target)
                return
            address = f"{self.path.absolute().as_uri()}?mode=ro"
            with closing(sqlite3.connect(address, uri=True, timeout=_WAIT_SECONDS)) as before:
                copy_records(before, target)

    @contextmanager
    def _in_use(self) -> Iterator[None]:
        with self._lock, in_words(self.path):
            if self.writable and not self._connection.in_transaction:
                _look_beside(self.path)
                self._follow()
            yield

    def _connect(self, here: Path) -> None:
        if here == self.path:
            _look_beside(here)
        connection = sqlite3.connect(
            f"{here.absolute().as_uri()}?mode=rw",
            uri=True,
            timeout=_WAIT_SECONDS,
            isolation_level=None,
            check_same_thread=False,
        )
        try:
            _prepare(connection, self.path, here != self.path, self._may_be_new)
        except BaseException:
            connection.close()
            raise
        self._connection = connection
        self._last_read = None
        self._opened = _identity(here)
        self._kept_aside: Path | None = None

    def _follow(self) -> None:
        """Go on with what stands in the place of the records now, if it is no longer what was opened."""
        now = _identity(self.path)
        if now == self._opened:
            return
        if not self.path.parent.is_dir():
            raise PersonError(f"{self.path.parent}: the folder was moved away. Open it where it is now.")
        from tendwork.folder.backups import copy_records

        if self._kept_aside is None:
            self._kept_aside = folder_to_set_aside(self.path, datetime.now(UTC)) / self.path.name
            with suppress(Damaged, sqlite3.Error):  # what cannot be read cannot be kept
                copy_records(self._connection, self._kept_aside)
        if now is None:
            raise PersonError(f"{self.path}: the records were taken away. {restore_words(self.path)}")
        old, aside = self._connection, self._kept_aside
        self._connect(self.path)
        try:
            is_same = token(old) == token(self._connection)
        except (Damaged, sqlite3.Error):
            is_same = False
        old.close()
        if is_same:
            aside.unlink(missing_ok=True)
            aside.parent.rmdir()

    @contextmanager
    def _transaction(self, begin: str) -> Iterator[None]:
        self._connection.execute(begin)
        try:
            yield
            self._connection.execute("COMMIT")
        except BaseException:
            with suppress(sqlite3.Error):
                self._connection.execute("ROLLBACK")
            raise

    def _renew_token(self) -> None:
        import secrets

        self._connection.execute("UPDATE content SET token = ?", (secrets.token_hex(8),))

    def _refuse_unless_writable(self) -> None:
        if not self.writable:
            raise PersonError(f"{self.path}: {CAN_ONLY_READ}")


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")


def _make_empty(path: Path) -> None:
    try:
        os.close(os.open(path, os.O_CREAT | os.O_WRONLY, 0o600))
    except OSError as error:
        raise PersonError(
            f"{path}: the records cannot be made ({(error.strerror or '').lower()}). Choose another folder."
        ) from None


def _identity(file: Path) -> _Identity | None:
    """What tells a file from another of the same name; None where there is none."""
    try:
        status = os.stat(file)
    except OSError:
        return None
    return status.st_dev, status.st_ino


def _look_beside(path: Path) -> None:
    """Keep from SQLite what has the name of a companion of the records and is none; where there is none, no more."""
    if standing(path)[1:]:
        from tendwork.folder.rollback_journal import keep_out_of_another_state

        refuse_odd_companions(path)
        keep_out_of_another_state(path, _WAIT_SECONDS)


def _shared(path: Path) -> int | None:
    """Share the lock of the records, once a restore that was killed before its end is finished."""
    handle = share(path)
    while restored_beside(path).exists():
        if handle is not None:
            os.close(handle)
        with alone(path, _WAIT_SECONDS):
            finish(path)
        handle = share(path)
    return handle


def _copy_of(path: Path) -> tempfile.TemporaryDirectory[str]:
    from tendwork.folder.private_copy import private_copy

    return private_copy(path, _WAIT_SECONDS)


def _prepare(connection: sqlite3.Connection, path: Path, is_private_copy: bool, may_be_new: bool) -> None:
    """Set the connection up, refuse what is not ours, and bring an older schema up to date."""
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = EXTRA")
    connection.execute("PRAGMA cache_spill = OFF")  # until an act is whole, the file has what stood before it
    refuse_header(connection)
    connection.execute("BEGIN")  # one moment for all three answers: another process may be making the records just now
    number, ours, blank = schema_number(connection), is_ours(connection), is_blank(connection)
    connection.execute("COMMIT")
    if not ours:
        if number or not blank:
            raise PersonError(f"{path}: is a database of another program. {restore_words(path)}")
        if not may_be_new or were_here(path):
            raise PersonError(f"{path}: the records are empty. {restore_words(path)}")
    if number > len(STEPS):
        what = f"was written by a newer tendwork (schema {number}; this one knows {len(STEPS)}). Use the newer one"
        raise PersonError(f"{path}: {what}. {restore_words(path)}")
    if connection.execute("PRAGMA journal_mode").fetchone()[0] == "wal":  # of an earlier version
        connection.execute("PRAGMA busy_timeout = 0")
        with suppress(sqlite3.OperationalError):  # another program has it open: it stays as it is until the next time
            connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute(f"PRAGMA busy_timeout = {_WAIT_SECONDS * 1000:.0f}")
    if number < len(STEPS):
        if number and not is_private_copy:
            from tendwork.folder.backups import copy_records

            copy_records(connection, path.parent / BACKUPS / f"records-schema-{number}-{stamp(datetime.now(UTC))}.db")
        upgrade(connection)


def create_records(path: Path) -> None:
    """Make an empty records database where there is none. Raises PersonError."""
    with closing(RecordStore.open(path, create=True)):
        pass
