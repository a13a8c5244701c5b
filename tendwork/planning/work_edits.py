"""Grafts set, fruit tasted and varieties judged, as edits: refused by what bars them, and ticked where a job asked.

A bar refuses nothing where the person is `sure`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from msgspec.structs import replace

from tendwork.orchard.edits import Add, Change, Edit, Replace
from tendwork.orchard.outcomes import STILL_OPEN
from tendwork.orchard.record_edits import change_grafts, taste
from tendwork.orchard.records import Graft, Records, Tasting, Tick
from tendwork.orchard.series import Draft, set_grafts
from tendwork.orchard.standing_ticks import Standing
from tendwork.planning.results import Task
from tendwork.planning.states import ACTIONABLE, HELD
from tendwork.planning.work_bars import WorkBars, barred_on

TASTED = "tasted"
_EARLIER_THAN_EXPECTED = timedelta(days=28)
"""Fruit that was good so long before its job of tasting was to come is what that job asks for (our own choice)."""


def series_edit(records: Records, drafts: Sequence[Draft], today: date, south: bool, sure: bool) -> Edit:
    """Set a series of grafts today; the wood is counted down."""
    edit = set_grafts(records, drafts, today, barred_on(records, today, south))
    return edit if sure else _unless(_against_setting(records, edit, today, south), edit)


def against_series(records: Records, drafts: Sequence[Draft], today: date, south: bool) -> str:
    """What speaks against setting this series: a spray on the tree, wood of a sick one; empty for nothing."""
    edit = set_grafts(records, drafts, today, barred_on(records, today, south))
    return _against_setting(records, edit, today, south)


def tasting_edit(
    records: Records, tasks: Iterable[Task], tasting: Tasting, today: date, south: bool, sure: bool
) -> Edit:
    """Record a tasting; the job among `tasks` that asked for it is ticked, but left open where the fruit is unripe."""
    edit = taste(records, tasting, today)
    edit = edit if sure else _unless(WorkBars(records, south, today).against_tasting(tasting), edit)
    word = STILL_OPEN if tasting.ripe == "unripe" else TASTED
    return _answering(records, tasks, edit, {tasting.graft: word}, today)


def verdict_edit(records: Records, tasks: Iterable[Task], ids: Sequence[str], verdict: str, today: date) -> Edit:
    """Give grafts a verdict; the jobs among `tasks` that asked for it are ticked, and it goes if their tick does."""
    edit = change_grafts(records, ids, today, done=f"judged: {verdict}", verdict=verdict)
    return _answering(records, tasks, edit, dict.fromkeys(ids, verdict), today)


def _against_setting(records: Records, edit: Edit, today: date, south: bool) -> str:
    touched = (record for record in (*edit.added, *edit.replaced) if isinstance(record, Graft))
    return WorkBars(records, south, today).against_setting(touched)


def _unless(against: str, edit: Edit) -> Edit:
    """The edit, refused where something speaks against it and nothing else does."""
    if not against or edit.refused:
        return edit
    return replace(edit, refused=(f"Held back: {against} Nothing was recorded.",))


def _answering(records: Records, tasks: Iterable[Task], edit: Edit, answers: Mapping[str, str], today: date) -> Edit:
    """The edit with ticks on the jobs that wait for these words, by graft.

    A tick stands before the change of its own graft, which goes back with it, and after all else, which stays.
    """
    tasks = tuple(tasks)
    standing = Standing(records.ticks)
    ticks: dict[str, Tick] = {}
    for graft, word in answers.items():
        task = _asking(tasks, graft, word, today)
        stands = None if task is None else standing.tick(task.key, graft)
        if task is not None and (stands is None or stands.outcome == STILL_OPEN):
            ticks[graft] = Tick(task.key, graft, today, word)
    answered: dict[str, list[Change]] = {graft: [Add(tick)] for graft, tick in ticks.items()}
    others: list[Change] = []
    for change in edit.changes:
        group = answered.get(change.record.id) if isinstance(change, Replace) else None
        (others if group is None else group).append(change)
    return replace(edit, changes=(*others, *(change for group in answered.values() for change in group)))


def _asking(tasks: Sequence[Task], graft: str, word: str, today: date) -> Task | None:
    """The job that waits for this word about this graft; of a tasting also one that would have come in some weeks."""
    states = (*ACTIONABLE, HELD)
    asked = [(task, unit) for task in tasks if word in task.outcomes for unit in task.units if unit.id == graft]
    for task, unit in asked:
        if unit.state in states:
            return task
    last = today + _EARLIER_THAN_EXPECTED
    soon = [(unit.window.opens, task) for task, unit in asked if unit.state == "coming" and unit.window.opens <= last]
    return min(soon, key=lambda found: found[0])[1] if soon and word == TASTED else None
