"""Older records may say "2019-00", which was taken for a date once: the year is what was known."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from msgspec.structs import replace

from tendwork.folder.records_db import RecordStore
from tendwork.folder.schema import STEPS
from tendwork.orchard.records import Graft, Life, Tree
from tendwork.orchard.rough_dates import RoughDate, date_of_text

BEFORE = next(number for number, step in enumerate(STEPS) if any("leave_the_year" in str(part) for part in step))
GRAFT = Graft("g1", "t1", "Red Lamp", state="took", set_on=RoughDate(2019, 4), note='a "2019-00" and 2020-00')
LIFE = Life("g1", "Old Lamp", set_on=RoughDate(2001, 4), ended_on=RoughDate(2018, 4))


@pytest.fixture
def older(store: RecordStore) -> Path:
    """Records in which 2019-00, 2001-00 and 2018-00 stand where a month was given, in the acts too."""
    for records in ((Tree("t1", "Old Tom", "apple"), GRAFT, LIFE), ()):
        with store.act("added" if records else "renamed") as act:
            for record in records:
                act.add(record)
            if not records:
                act.replace(replace(GRAFT, variety="Blue Lamp"))
    store.close()
    with closing(sqlite3.connect(store.path)) as old, old:
        for table, column in (("grafts", "set_on"), ("lives", "set_on"), ("lives", "ended_on")):
            old.execute(f"UPDATE {table} SET {column} = replace({column}, '-04', '-00')")
        for year in (2019, 2001, 2018):
            old.execute("UPDATE acts SET changes = replace(changes, ?, ?)", (f'"{year}-04"', f'"{year}-00"'))
        old.execute(f"PRAGMA user_version = {BEFORE}")
    return store.path


def test_the_year_stays_and_every_act_can_be_undone(older: Path) -> None:
    with RecordStore.open(older) as new:
        assert new.faults() == ()
        (graft,), (life,) = new.read().grafts, new.read().lives
        assert (graft.set_on, graft.note) == (RoughDate(2019), GRAFT.note)
        assert (life.set_on, life.ended_on) == (RoughDate(2001), RoughDate(2018))
        assert new.undo_last() == "renamed"
        assert new.read().grafts == (replace(GRAFT, set_on=RoughDate(2019)),)
        assert new.undo_last() == "added"
        assert new.read().grafts == new.read().lives == ()


def test_a_month_0_is_none() -> None:
    with pytest.raises(ValueError, match="month"):
        date_of_text("2019-00")
