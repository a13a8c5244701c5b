"""One tick taken back in an act of its own, for the tests of what the database keeps of ticks."""

from __future__ import annotations

from datetime import date

from tendwork.folder.records_db import RecordStore
from tendwork.orchard.edits import Edit, EditUnderWay
from tendwork.orchard.taking_back import TakingBack


def take_back(store: RecordStore, task: str, unit: str, day: date) -> bool:
    """Take the newest tick back with what followed from it; False where none stands."""
    with store.act("") as act:
        edit = EditUnderWay(store.read())
        was_there = TakingBack(edit, act.ticked_acts([(task, unit)])).tick(task, unit, day)
        act.apply(Edit("taken back", tuple(edit.changes)))
    return was_there
