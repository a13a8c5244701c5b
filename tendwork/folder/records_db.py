"""The records database: one SQLite file, one transaction for each act, every act kept so that it can be taken back.

An act that was acknowledged is on the disk (WAL, synchronous FULL). Where the folder can only be read, a private copy
is opened instead, because SQLite cannot read a write-ahead log without writing beside it.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from tendwork.errors import PersonError
from tendwork.folder.backups import BACKUPS, COPIES, copy_records, restore_words
from tendwork.folder.fields import KINDS, Form, Kind, from_cell
from tendwork.folder.schema import STEPS, is_blank, is_ours, schema_number, upgrade
from tendwork.folder.sqlite_words import CAN_ONLY_READ, in_words
from tendwork.orchard.records import Records

if TYPE_CHECKING:
    import tempfile

    from tendwork.folder.acts import Act

_WAIT_SECONDS = 30.0


class RecordStore:
    """An open records database. Safe to share between threads; several processes may hold the same file."""

    def __init__(
        self, path: Path, connection: sqlite3.Connection, private_copy: tempfile.TemporaryDirectory[str] | None
    ) -> None:
        self.path = path
        self.writable = private_copy is None
        self._connection = connection
        self._private_copy = private_copy
        self._lock = threading.RLock()
        self._last_read: tuple[tuple[str, int], Records] | None = None

    @classmethod
    def open(cls, path: Path, create: bool = False) -> RecordStore:
        """Open the database, bringing an older schema up to date after a copy into backups/. Raises PersonError.

        With `create`, an absent file is made empty first.
        """
        with in_words(path):
            if not path.exists():
                if not create:
                    raise PersonError(f"{path}: the records are missing. {restore_words(path)}")
                _make_empty(path)
            if not path.is_file():
                raise PersonError(f"{path}: is not a file. Set it aside. {restore_words(path)}")
            private_copy = None if _may_write(path) else _copy_aside(path)
            here = path if private_copy is None else Path(private_copy.name) / path.name
            connection = sqlite3.connect(
                f"{here.absolute().as_uri()}?mode=rw",
                uri=True,
                timeout=_WAIT_SECONDS,
                isolation_level=None,
                check_same_thread=False,
            )
            try:
                _prepare(connection, path, private_copy is not None)
            except BaseException:
                connection.close()
                raise
            return cls(path, connection, private_copy)

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._connection.close()
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
        with self._lock, in_words(self.path):
            if self._connection.in_transaction:
                return self._all()
            with self._transaction("BEGIN"):
                # The token alone would miss what another program wrote past this one.
                version = (self._token(), self._connection.execute("PRAGMA data_version").fetchone()[0])
                if self._last_read is None or self._last_read[0] != version:
                    self._last_read = (version, self._all())
                return self._last_read[1]

    def content_token(self) -> str:
        """A word that is the same in every process as long as the content is, and new after each act."""
        with self._lock, in_words(self.path):
            return self._token()

    @contextmanager
    def act(self, description: str) -> Iterator[Act]:
        """One act: everything inside happens, or nothing; afterwards it is on the disk and can be taken back.

        Raises PersonError, also where the folder can only be read.
        """
        from tendwork.folder.acts import Act

        with self._lock, in_words(self.path):
            self._refuse_unless_writable()
            with self._transaction("BEGIN IMMEDIATE"):
                act = Act(self._connection, description)
                yield act
                if act.changes:
                    self._connection.execute(
                        "INSERT INTO acts (at, description, changes) VALUES (?, ?, ?)",
                        (_now(), act.description, msgspec.json.encode(act.changes).decode()),
                    )
                    self._renew_token()

    def undo_last(self, day: date | None = None) -> str | None:
        """Take back the newest act that stands and return its description; None if none is left. Raises PersonError.

        A tick is taken back by appending its opposite, dated `day` or else as the tick was.
        """
        from tendwork.folder.acts import take_back

        with self._lock, in_words(self.path):
            self._refuse_unless_writable()
            with self._transaction("BEGIN IMMEDIATE"):
                newest = "SELECT seq, description, changes FROM acts WHERE NOT undone ORDER BY seq DESC LIMIT 1"
                row = self._connection.execute(newest).fetchone()
                if row is None:
                    return None
                take_back(self._connection, msgspec.json.decode(row[2]), day)
                self._connection.execute("UPDATE acts SET undone = 1 WHERE seq = ?", (row[0],))
                self._renew_token()
                return str(row[1])

    def last_ticks(self) -> frozenset[tuple[str, str]]:
        """Task and unit of the ticks that the newest act that stands made; empty where it made none."""
        with self._lock, in_words(self.path):
            newest = "SELECT changes FROM acts WHERE NOT undone ORDER BY seq DESC LIMIT 1"
            row = self._connection.execute(newest).fetchone()
            changes = [] if row is None else msgspec.json.decode(row[0])
            ticks = [after for table, _, after in changes if table == "ticks" and after is not None]
            return frozenset((tick["task"], tick["unit"]) for tick in ticks if not tick["undone"])

    def faults(self) -> tuple[str, ...]:
        """What is wrong inside the database: pages, indexes and references; empty if it is whole."""
        with self._lock, in_words(self.path):
            pages = [row[0] for row in self._connection.execute("PRAGMA integrity_check") if row[0] != "ok"]
            loose = [
                f"a row of {row[0]} refers to nothing in {row[2]}"
                for row in self._connection.execute("PRAGMA foreign_key_check")
            ]
            return tuple(f"{self.path}: {what}. {restore_words(self.path)}" for what in pages + loose)

    def copy_to(self, target: Path) -> None:
        """Copy the records as they stand, proved by reading the copy back. Raises PersonError."""
        with self._lock, in_words(self.path):
            copy_records(self._connection, target)

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

    def _all(self) -> Records:
        return Records(**{name: self._rows(kind) for name, kind in KINDS.items()})

    def _rows(self, kind: Kind) -> tuple[Any, ...]:
        by_name = {field.name: field for field in kind.fields}
        fields = [by_name[name] for name in kind.record.__struct_fields__]  # type: ignore[attr-defined]
        dressed = [
            at
            for at, field in enumerate(fields)
            if field.form in (Form.DATE, Form.MONTH_DAY, Form.REFERENCE, Form.FLAG)
        ]
        records = []
        once: dict[Any, Any] = {}  # the same few words and days stand in thousands of rows, and are held once
        names = ", ".join(field.name for field in fields)
        for row in self._connection.execute(f"SELECT {names} FROM {kind.name} ORDER BY seq"):
            cells = [once.setdefault(cell, cell) if type(cell) is str else cell for cell in row]
            for at in dressed:
                known = (fields[at].form, cells[at])
                try:
                    if known not in once:
                        once[known] = from_cell(fields[at], cells[at])
                    cells[at] = once[known]
                except (ValueError, AttributeError, TypeError):
                    what = f'a {kind.one} holds "{cells[at]}", which is not {fields[at].form.value}'
                    raise PersonError(f"{self.path}: {what}. {restore_words(self.path)}") from None
            records.append(kind.record(*cells))
        return tuple(records)

    def _token(self) -> str:
        return str(self._connection.execute("SELECT token FROM content").fetchone()[0])

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


def _may_write(path: Path) -> bool:
    return os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)


def _copy_aside(path: Path) -> tempfile.TemporaryDirectory[str]:
    import shutil
    import tempfile

    aside = tempfile.TemporaryDirectory(prefix="tendwork-")
    try:
        for name in (path.name, f"{path.name}-wal"):
            source = path.with_name(name)
            if source.exists():
                shutil.copyfile(source, Path(aside.name) / name)
    except OSError as error:
        aside.cleanup()
        raise PersonError(
            f"{path}: the records cannot be read ({(error.strerror or '').lower()}). Give yourself the right to."
        ) from None
    return aside


def _prepare(connection: sqlite3.Connection, path: Path, is_private_copy: bool) -> None:
    """Set the connection up, refuse what is not ours, and bring an older schema up to date."""
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("BEGIN")  # one moment for all three answers: another process may be making the records just now
    number, ours, blank = schema_number(connection), is_ours(connection), is_blank(connection)
    connection.execute("COMMIT")
    if not ours:
        if number or not blank:
            raise PersonError(f"{path}: is a database of another program. {restore_words(path)}")
        if any((path.parent / BACKUPS).glob(COPIES)):
            raise PersonError(f"{path}: the records are empty. {restore_words(path)}")
    if number > len(STEPS):
        what = f"was written by a newer tendwork (schema {number}; this one knows {len(STEPS)}). Use the newer one"
        raise PersonError(f"{path}: {what}. {restore_words(path)}")
    if connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        connection.execute("PRAGMA journal_mode = WAL")
    if number < len(STEPS):
        if number and not is_private_copy:
            copy_records(connection, path.parent / BACKUPS / f"records-schema-{number}-{_now().replace(':', '')}.db")
        upgrade(connection)


def create_records(path: Path) -> None:
    """Make an empty records database where there is none. Raises PersonError."""
    with closing(RecordStore.open(path, create=True)):
        pass
