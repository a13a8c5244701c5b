"""The step of the schema that takes bloom groups out of the notes of grafts and makes records of varieties of them.

What the acts keep is changed alike, so that all of them can still be undone: a graft's row has no group in its note any
more, and where an act gave, changed or took away a variety's group, the variety's row stands among its changes. Like
every released step it is never edited, so how it reads a note and compares names stands here as it was, once more.
"""

from __future__ import annotations

import re
import sqlite3
from typing import Any
from unicodedata import combining, normalize

import msgspec

_Key = tuple[str, str]
_Row = dict[str, Any]
_EMPTY = ("also", "bloom", "pollen", "ripens", "keeps", "vigour", "use", "source", "note")
_GROUP = re.compile(r"\bbloom group (\d{1,2})\b", re.IGNORECASE)
_WITH_SEPARATOR = re.compile(r"\s*[,;]?\s*" + _GROUP.pattern, re.IGNORECASE)


def move_bloom_groups(connection: sqlite3.Connection) -> None:
    """Make a record of each variety whose group a note gives, also in the acts. Raises sqlite3.Error."""
    then = _Then(connection)
    after = then.groups()
    for key, group in after.items():
        then.number(key, group)
    connection.executemany(
        "UPDATE grafts SET note = ? WHERE seq = ?",
        [(_note_without_group(row["note"]), seq) for seq, row in then.noted.items()],
    )
    told = "instr(lower(changes), 'bloom group') OR instr(changes, '\"trees\"')"
    acts = f"SELECT seq, changes FROM acts WHERE NOT undone AND ({told}) ORDER BY seq DESC"
    for seq, text in connection.execute(acts).fetchall():
        try:
            changes = msgspec.json.decode(text, type=list[tuple[str, _Row | None, _Row | None]])
        except (msgspec.MsgspecError, TypeError, UnicodeError):
            return  # it cannot be undone, nor can what was done before it
        then.go_back(changes)
        before = then.groups()
        moved = [
            ("varieties", *(then.row(key, held.get(key)) for held in (before, after)))
            for key in {**before, **after}
            if before.get(key) != after.get(key)
        ]
        kept = [
            (table, _without_group(old), _without_group(new)) if table == "grafts" else (table, old, new)
            for table, old, new in changes
        ]
        if moved or kept != changes:
            encoded = msgspec.json.encode([*moved, *kept]).decode()
            connection.execute("UPDATE acts SET changes = ? WHERE seq = ?", (encoded, seq))
        after = before


class _Then:
    """The grafts that give a group in their note, and the species of trees, as they stood at some time."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._species: dict[str, str] = dict(connection.execute("SELECT id, species FROM trees"))
        self.noted: dict[int, _Row] = {}
        self._rows: dict[_Key, _Row] = {}
        held = "SELECT seq, tree, variety, species, note FROM grafts"
        for seq, tree, variety, species, note in connection.execute(held):
            self._put(seq, {"tree": tree, "variety": variety, "species": species, "note": note})

    def groups(self) -> dict[_Key, tuple[str, int]]:
        """For each variety its name and its group; the newest graft that gives one speaks."""
        groups: dict[_Key, tuple[str, int]] = {}
        for _, row in sorted(self.noted.items()):
            group = _group_in_note(row["note"])
            if group is not None and row["tree"] in self._species:
                species = row.get("species") or self._species[row["tree"]]  # acts from before schema 6 say none
                groups[_variety_key(species, row["variety"])] = row["variety"], group
        return groups

    def number(self, key: _Key, held: tuple[str, int]) -> int:
        """The row of a variety in the database, which is made where there is none yet."""
        if key not in self._rows:
            row: _Row = {"species": key[0], "variety": held[0], **dict.fromkeys(_EMPTY, "")}
            row |= {"bloom": f"group {held[1]}", "chill": None}
            names = ", ".join(row)
            places = ", ".join(f":{name}" for name in row)
            cursor = self._connection.execute(f"INSERT INTO varieties ({names}) VALUES ({places})", row)
            self._rows[key] = {"seq": cursor.lastrowid, **row}
        return int(self._rows[key]["seq"])

    def row(self, key: _Key, held: tuple[str, int] | None) -> _Row | None:
        """A variety's row with this group, as an act keeps it; one of which only acts tell is taken out again."""
        if held is None:
            return None
        if key not in self._rows:
            self._connection.execute("DELETE FROM varieties WHERE seq = ?", (self.number(key, held),))
        return {**self._rows[key], "bloom": f"group {held[1]}"}

    def go_back(self, changes: list[tuple[str, _Row | None, _Row | None]]) -> None:
        """Take the changes of an act back."""
        for table, before, after in reversed(changes):
            row = after or before or {}
            if table == "trees":
                self._species.pop(row["id"], None)
                if before is not None:
                    self._species[before["id"]] = before["species"]
            elif table == "grafts":
                self.noted.pop(row["seq"], None)
                if before is not None:
                    self._put(before["seq"], before)

    def _put(self, seq: int, row: _Row) -> None:
        if _group_in_note(row["note"]) is not None:
            self.noted[seq] = row


def _without_group(row: _Row | None) -> _Row | None:
    return row if row is None else {**row, "note": _note_without_group(row["note"])}


def _variety_key(species: str, name: str) -> _Key:
    letters = normalize("NFKD", name.casefold())
    return species, "".join(one for one in letters if one.isalnum() and not combining(one)) or name.casefold()


def _group_in_note(note: str) -> int | None:
    found = _GROUP.search(note)
    return None if found is None else int(found[1])


def _note_without_group(note: str) -> str:
    return note if _group_in_note(note) is None else _WITH_SEPARATOR.sub("", note).strip(" ,;")
