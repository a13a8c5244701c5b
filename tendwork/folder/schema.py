"""The database's numbered schema: step n takes number n to n + 1, so a new database and an old one go the same way.

A released step is never edited; a change of the schema is a new step at the end. A part of a step is SQL, or a function
of the connection where SQL does not do.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable

APPLICATION_ID = 0x74656E64  # "tend"

_FIRST = (
    """CREATE TABLE trees (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, name TEXT NOT NULL, species TEXT NOT NULL,
        stock TEXT NOT NULL, planted INTEGER, place TEXT NOT NULL)""",
    """CREATE TABLE wood (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, variety TEXT NOT NULL, species TEXT NOT NULL,
        sticks INTEGER NOT NULL, cut_on TEXT, came_from TEXT NOT NULL, kept TEXT NOT NULL, promised_to TEXT NOT NULL,
        promised_sticks INTEGER NOT NULL, note TEXT NOT NULL)""",
    """CREATE TABLE grafts (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, tree TEXT NOT NULL REFERENCES trees (id),
        variety TEXT NOT NULL, method TEXT NOT NULL, wrap TEXT NOT NULL, seal TEXT NOT NULL, state TEXT NOT NULL,
        set_on TEXT, bearing INTEGER, height_m REAL, out_m REAL, wood TEXT NOT NULL, chill REAL, ripens_from TEXT,
        ripens_to TEXT, note TEXT NOT NULL, verdict TEXT NOT NULL)""",
    "CREATE INDEX grafts_by_tree ON grafts (tree)",
    """CREATE TABLE sightings (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, day TEXT NOT NULL, species TEXT NOT NULL, stage TEXT NOT NULL,
        tree TEXT REFERENCES trees (id), note TEXT NOT NULL)""",
    "CREATE INDEX sightings_by_tree ON sightings (tree)",
    """CREATE TABLE tastings (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, day TEXT NOT NULL, graft TEXT NOT NULL REFERENCES grafts (id),
        ripe TEXT NOT NULL, score INTEGER, use TEXT NOT NULL, note TEXT NOT NULL)""",
    "CREATE INDEX tastings_by_graft ON tastings (graft)",
    """CREATE TABLE ticks (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, task TEXT NOT NULL, unit TEXT NOT NULL, day TEXT NOT NULL,
        outcome TEXT NOT NULL, note TEXT NOT NULL, undone INTEGER NOT NULL)""",
    """CREATE TABLE acts (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, description TEXT NOT NULL, changes TEXT NOT NULL,
        undone INTEGER NOT NULL DEFAULT 0)""",
    "CREATE TABLE content (token TEXT NOT NULL)",
    "INSERT INTO content VALUES ('empty')",
)

_LIVES = (
    """CREATE TABLE lives (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, graft TEXT NOT NULL REFERENCES grafts (id), variety TEXT NOT NULL,
        method TEXT NOT NULL, wrap TEXT NOT NULL, seal TEXT NOT NULL, state TEXT NOT NULL, set_on TEXT, ended_on TEXT,
        wood TEXT NOT NULL, verdict TEXT NOT NULL, note TEXT NOT NULL)""",
    "CREATE INDEX lives_by_graft ON lives (graft)",
)

_TROUBLES_AND_SPRAYS = (
    "ALTER TABLE trees ADD COLUMN height_m REAL",
    """CREATE TABLE troubles (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, day TEXT NOT NULL, tree TEXT NOT NULL REFERENCES trees (id),
        what TEXT NOT NULL, note TEXT NOT NULL)""",
    "CREATE INDEX troubles_by_tree ON troubles (tree)",
    """CREATE TABLE sprays (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, day TEXT NOT NULL, tree TEXT NOT NULL REFERENCES trees (id),
        product TEXT NOT NULL, days_to_return INTEGER, days_to_harvest INTEGER, note TEXT NOT NULL)""",
    "CREATE INDEX sprays_by_tree ON sprays (tree)",
)

_MINUTES = ("ALTER TABLE ticks ADD COLUMN minutes REAL",)
_ASKED_OF = (
    "ALTER TABLE wood ADD COLUMN asked_on TEXT",
    "ALTER TABLE wood ADD COLUMN answer TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE wood ADD COLUMN mother_years INTEGER",
    "ALTER TABLE wood ADD COLUMN mother_health TEXT NOT NULL DEFAULT ''",
    "ALTER TABLE wood ADD COLUMN health_by TEXT NOT NULL DEFAULT ''",
)
_KNOWN_SINCE = tuple(f"ALTER TABLE {table} ADD COLUMN known_since TEXT" for table in ("trees", "grafts", "wood"))
_WHAT_STANDS_ON_WHAT = (
    *(f"ALTER TABLE {table} ADD COLUMN species TEXT NOT NULL DEFAULT ''" for table in ("grafts", "lives")),
    *(f"ALTER TABLE trees ADD COLUMN {column} TEXT NOT NULL DEFAULT ''" for column in ("interstem", "form", "note")),
    "ALTER TABLE trees ADD COLUMN spread_m REAL",
    "ALTER TABLE trees ADD COLUMN crown_since INTEGER",
    "ALTER TABLE grafts RENAME COLUMN bearing TO facing",
    # A quotation mark inside a text of an act is written \", so this is the name of the column and nothing else.
    """UPDATE acts SET changes = replace(changes, '"bearing":', '"facing":')""",
)


def _move_bloom_groups(connection: sqlite3.Connection) -> None:
    from tendwork.folder.varieties_step import move_bloom_groups

    move_bloom_groups(connection)


_Part = str | Callable[[sqlite3.Connection], None]

_VARIETIES: tuple[_Part, ...] = (
    """CREATE TABLE varieties (
        seq INTEGER PRIMARY KEY AUTOINCREMENT, species TEXT NOT NULL, variety TEXT NOT NULL, also TEXT NOT NULL,
        bloom TEXT NOT NULL, pollen TEXT NOT NULL, ripens TEXT NOT NULL, keeps TEXT NOT NULL, vigour TEXT NOT NULL,
        chill REAL, use TEXT NOT NULL, source TEXT NOT NULL, note TEXT NOT NULL)""",
    _move_bloom_groups,
)

_MONTH_0 = re.compile(r'"(set_on|ended_on)":"([0-9]{4})-00"')  # a quotation mark inside a text is written \"


def _leave_the_year_alone(connection: sqlite3.Connection) -> None:
    """Make "2019-00", which was taken for a date once, the year that was known; also in the acts."""
    for table, column in (("grafts", "set_on"), ("lives", "set_on"), ("lives", "ended_on")):
        connection.execute(f"UPDATE {table} SET {column} = substr({column}, 1, 4) WHERE {column} GLOB '????-00'")
    written = """SELECT seq, changes FROM acts WHERE typeof(changes) = 'text' AND instr(changes, '-00"')"""
    for seq, changes in connection.execute(written).fetchall():
        connection.execute("UPDATE acts SET changes = ? WHERE seq = ?", (_MONTH_0.sub(r'"\1":"\2"', changes), seq))


STEPS: tuple[tuple[_Part, ...], ...] = (
    _FIRST,
    _LIVES,
    _TROUBLES_AND_SPRAYS,
    _MINUTES,
    _KNOWN_SINCE,
    _WHAT_STANDS_ON_WHAT,
    _VARIETIES,
    _ASKED_OF,
    (_leave_the_year_alone,),
)


def schema_number(connection: sqlite3.Connection) -> int:
    """The number of the schema a database has; 0 for a new one."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def is_ours(connection: sqlite3.Connection) -> bool:
    """Whether a database is this program's own."""
    return bool(connection.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID)


def is_blank(connection: sqlite3.Connection) -> bool:
    """Whether nobody has made any table yet."""
    return connection.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchone() is None


def upgrade(connection: sqlite3.Connection) -> None:
    """Take a database from the number it has to the newest, in one transaction, unless another process was quicker."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        for step in STEPS[schema_number(connection) :]:
            for part in step:
                if isinstance(part, str):
                    connection.execute(part)
                else:
                    part(connection)
        connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {len(STEPS)}")
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise
