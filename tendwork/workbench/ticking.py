"""What a person does from a front: ticks, undoing, sightings. Each is one act of the records, or none at all."""

from __future__ import annotations

from collections.abc import Container, Sequence
from datetime import date

from tendwork.folder.records_db import RecordStore
from tendwork.orchard.records import Sighting
from tendwork.orchard.sighting_edits import sighting_edit
from tendwork.orchard.standing_ticks import key_of
from tendwork.orchard.wraps import WRAPS
from tendwork.planning.results import Task
from tendwork.planning.tick_edits import (
    TaskTick,
    keys_that_stand,
    tick_edit,
    unit_key,
    unit_ticks,
    units_to_untick,
    untick_edit,
)
from tendwork.planning.wish_edits import put_off_edit


def tick(
    store: RecordStore,
    asked: Sequence[TaskTick],
    today: date,
    wrap: str | None = None,
    known_wraps: Sequence[str] = WRAPS,
    sure: bool = False,
    barred: Container[str] = (),
) -> str:
    """Tick units of tasks in one act, as `tick_edit` says. Raises PersonError."""
    keys = [key_of(one.tick) for one in unit_ticks(asked, today)]
    with store.act("") as act:
        records = store.read()
        acts = act.ticked_acts(keys_that_stand(records, keys))
        edit = tick_edit(records, acts, asked, today, wrap, known_wraps, sure, barred)
        act.apply(edit)
    return edit.sentence


def untick(store: RecordStore, task: Task, units: tuple[str, ...], today: date) -> str:
    """Undo the ticks of units of a task, or all that stand, with what each of them changed. Raises PersonError."""
    keys = [unit_key(task, unit) for unit in units_to_untick(task, units)]
    with store.act("") as act:
        edit = untick_edit(store.read(), act.ticked_acts(keys), task, units, today)
        act.apply(edit)
    return edit.sentence


def put_off(store: RecordStore, tasks: Sequence[Task], day: date, today: date, fixed: bool) -> str:
    """Plan whole jobs for a day, or put them off until then: all or none. Raises PersonError."""
    return store.write(lambda records: put_off_edit(records, tasks, day, today, fixed)).sentence


def saw(store: RecordStore, sighting: Sighting) -> str:
    """Record a bud stage that was seen. Raises PersonError."""
    return store.write(lambda records: sighting_edit(records, sighting)).sentence
