"""What SQLite says, as a sentence for the person: whether it is the rights, the disk or the records themselves."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.folder import sqlite_words
from tendwork.folder.sqlite_words import CAN_ONLY_READ, in_words


def said(code: int, records: Path) -> str:
    error = sqlite3.OperationalError("the words of SQLite")
    error.sqlite_errorcode = code
    with pytest.raises(PersonError) as told, in_words(records):
        raise error
    return str(told.value)


@pytest.mark.parametrize(
    ("code", "may_write", "words"),
    [
        (sqlite3.SQLITE_READONLY, False, CAN_ONLY_READ),
        (sqlite3.SQLITE_READONLY, True, "the records are damaged"),
        (sqlite3.SQLITE_CORRUPT, False, "the records are damaged"),
        (sqlite3.SQLITE_CORRUPT, True, "the records are damaged"),
        (sqlite3.SQLITE_NOTADB, True, "the records are damaged"),
        (sqlite3.SQLITE_CORRUPT_INDEX, True, "the records are damaged"),
        (sqlite3.SQLITE_FULL, True, "Nothing was changed"),
        (sqlite3.SQLITE_ERROR, False, "the records cannot be used (the words of SQLite)"),
    ],
)
def test_what_sqlite_says_is_told_by_what_is_to_mend(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, may_write: bool, words: str
) -> None:
    monkeypatch.setattr(sqlite_words, "may_write", lambda records: may_write)  # noqa: ARG005
    told = said(code, tmp_path / "records.db")
    assert words in told
    assert told.startswith(f"{tmp_path / 'records.db'}: ")
    assert ("cannot be used" in told) == (code == sqlite3.SQLITE_ERROR)
