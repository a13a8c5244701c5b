"""Whether a file holds records that the program can use: all of them are read, as the store would read them."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from msgspec import Struct

from tendwork.folder.records_files import copy_whole, plain_files
from tendwork.folder.records_reading import Damaged, inner_faults, refuse_header, token
from tendwork.folder.schema import STEPS, is_ours, schema_number, upgrade
from tendwork.folder.scratch import no_room, scratch_folder

_BLOCK = 100_000  # bytes


class Proof(Struct, frozen=True):
    """What a database was found to be. `newest_act` is when the last act was done, in UTC; empty where none was.

    `why` is what is wrong in one that is not good, in a few words, where that could be found.
    """

    good: bool
    newest_act: str = ""
    acts: int = 0
    why: str = ""


def prove(records: Path) -> Proof:
    """Read a database and what SQLite keeps beside it, on a copy, through to the last row; nothing of it is changed.

    Raises PersonError where there is no room for the copy, so that nothing is taken for damaged that is not.
    """
    why = ""
    try:
        for _ in range(2):  # what fails once, and then does not, was the disk and not the records
            with scratch_folder(records) as folder:
                try:
                    return _read_through(copy_whole(records, Path(folder)))
                except Damaged as damage:
                    why = str(damage)
                    _need_room(records, Path(folder))
                except Exception:  # whatever reading it raises, it cannot be used, if there was room to try
                    _need_room(records, Path(folder))
    except OSError as error:
        raise no_room(records, error) from None
    return Proof(good=False, why=why)


def _need_room(records: Path, folder: Path) -> None:
    """Raise OSError where a copy of the records cannot grow as it must for being tried."""
    size = sum(status.st_size for status in plain_files(records).values())
    with (folder / "room").open("wb") as stream:
        for _ in range(size // _BLOCK + 2):
            stream.write(b"\0" * _BLOCK)


def is_good(records: Path) -> bool:
    """Whether a database is whole, is ours, is not newer than this program, and can be read and written.

    Raises PersonError as `prove` does.
    """
    return prove(records).good


def _read_through(records: Path) -> Proof:
    with closing(sqlite3.connect(f"{records.absolute().as_uri()}?mode=rw", uri=True, isolation_level=None)) as copy:
        copy.execute("PRAGMA journal_mode = MEMORY")  # nobody will read this copy: nothing of it need reach the disk
        copy.execute("PRAGMA synchronous = OFF")
        refuse_header(copy)
        if not is_ours(copy) or not 0 < schema_number(copy) <= len(STEPS):
            return Proof(good=False)
        upgrade(copy)
        copy.execute("UPDATE content SET token = ?", (token(copy),))
        copy.execute("BEGIN")
        copy.execute("INSERT INTO acts (at, description, changes) VALUES ('', '', '[]')")
        copy.execute("ROLLBACK")
        if faults := inner_faults(copy):
            return Proof(good=False, why=faults[0])
        newest, count = copy.execute("SELECT max(at), count(*) FROM acts").fetchone()
        return Proof(True, newest or "", count)
