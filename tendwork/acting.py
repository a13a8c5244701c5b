"""What a person does from a front: ticks, taking back, sightings. Each is one act of the records, or none at all."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from difflib import get_close_matches

import msgspec

from tendwork.errors import PersonError
from tendwork.folder.acts import Act
from tendwork.folder.records_db import RecordStore
from tendwork.orchard.changes import Edit, applied
from tendwork.orchard.outcomes import graft_after, refusal, wood_after
from tendwork.orchard.records import Graft, Records, Sighting, Tick, Wood
from tendwork.orchard.series import set_graft
from tendwork.orchard.wood_balance import GRAFTS_A_STICK
from tendwork.planning.results import Task, Unit
from tendwork.planning.standing import SKIPPED
from tendwork.planning.states import ACTIONABLE
from tendwork.planning.wishes import PLANNED_FOR, PUT_OFF, WHOLE_JOB
from tendwork.species import SPECIES, STAGES, species_named, stage_named
from tendwork.view.words import full_day

STICKS_SPARE = 1  # from memory: a spare stick is cut with those that the grafts need


def tick(
    store: RecordStore, kind: str, task: Task, units: tuple[str, ...], today: date, outcome: str, note: str
) -> str:
    """Tick units of a task, by id or label, or all that are to do. `kind` is what the template's units are."""
    chosen = _units(task, units) if units else _to_do(task)
    word = _outcome(task, outcome)
    names = _names([unit.label for unit in chosen])
    with store.act(f"{task.title}, {names}: {word}") as act:
        records = store.read()
        for unit in chosen:
            records = _follow(act, records, kind, unit, Tick(unit.task or task.key, unit.id, today, word, note))
    return f"{task.title}, {names}: {word}."


def untick(store: RecordStore, task: Task, units: tuple[str, ...], today: date) -> str:
    """Take back the ticks of units of a task, or all that stand, with what each of them changed."""
    chosen = _units(task, units) if units else tuple(unit for unit in task.units if unit.outcome)
    if not chosen:
        raise PersonError(f"Nothing is ticked in {task.key}.")
    names = _names([unit.label for unit in chosen])
    with store.act(f"{task.title}, {names}: taken back") as act:
        for unit in chosen:
            act.untick(unit.task or task.key, unit.ticked_as or unit.id, today)
    return f"{task.title}, {names}: taken back."


def put_off(store: RecordStore, task: Task, day: date, today: date, fixed: bool) -> str:
    """Plan a whole job for a day, or put it off until then. Raises PersonError for a day that cannot be."""
    if day < today:
        raise PersonError(f"{full_day(day)} is over. Choose today or a later day.")
    if day > task.window.worth_until:
        last = full_day(task.window.lapses)
        raise PersonError(f"{task.key} is worth doing until {last} only. Choose a day until then, or skip it.")
    word = PLANNED_FOR if fixed else PUT_OFF
    said = f"{task.title}, {task.place or 'the orchard'}: {word} {full_day(day)}"
    with store.act(said) as act:
        for key in dict.fromkeys((task.key, *(unit.task for unit in task.units if unit.task))):
            act.add(Tick(key, WHOLE_JOB, today, word, day.isoformat()))
    return f"{said}."


def saw(store: RecordStore, species: str, stage: str, today: date, tree: str, note: str) -> str:
    """Record a bud stage seen today, on the species or on one tree."""
    known = species_named(species)
    if known is None:
        raise PersonError(f'"{species}" is not a species of this program. It knows {", ".join(SPECIES)}.')
    named = stage_named(known, stage)
    if named is None:
        names = [row[0] for row in STAGES[known]]
        near = get_close_matches(stage.lower(), names, n=1)
        hint = f' Did you mean "{near[0]}"?' if near else ""
        raise PersonError(f'"{stage}" is not a bud stage of {known}.{hint} Its stages are {", ".join(names)}.')
    grown = {item.id: item for item in store.read().trees}
    if tree:
        if tree not in grown:
            raise PersonError(f'There is no tree "{tree}". `tendwork trees` lists them.')
        if grown[tree].species != known:
            raise PersonError(f'Tree "{tree}" is {grown[tree].species}, not {known}.')
    where = f" on {grown[tree].name}" if tree else ""
    with store.act(f"{known} seen at {named}{where}") as act:
        act.add(Sighting(today, known, named, tree, note))
    return f"{known} seen at {named}{where} on {today.isoformat()}."


def _to_do(task: Task) -> tuple[Unit, ...]:
    for wanted in (ACTIONABLE, ("coming",), ("missed",)):
        chosen = tuple(unit for unit in task.units if unit.state in wanted)
        if chosen:
            return chosen
    raise PersonError(f"Everything in {task.key} is ticked already.")


def _units(task: Task, words: tuple[str, ...]) -> tuple[Unit, ...]:
    by_word = {unit.id: unit for unit in task.units}
    for unit in task.units:
        by_word.setdefault(unit.label.casefold(), unit)
    short = [(unit.id.rpartition(".")[0] if unit.id != task.subject else "", unit) for unit in task.units]
    for name, unit in short:
        if name and [other for other, _ in short].count(name) == 1:
            by_word.setdefault(name, unit)
    chosen = []
    for word in dict.fromkeys(words):
        found = by_word.get(word) or by_word.get(word.casefold())
        if found is None:
            listed = ", ".join(other.id for other in task.units[:12])
            raise PersonError(f'{task.key} has no unit "{word}". It has {listed}.')
        chosen.append(found)
    return tuple(dict.fromkeys(chosen))


def _outcome(task: Task, outcome: str) -> str:
    if not outcome:
        return task.outcomes[0]
    word = outcome.strip().lower()
    allowed = (*task.outcomes, SKIPPED)
    if word not in allowed:
        raise PersonError(f'"{outcome}" is no outcome of {task.template}. It has {", ".join(dict.fromkeys(allowed))}.')
    return word


def _follow(act: Act, records: Records, kind: str, unit: Unit, tick: Tick) -> Records:
    """Tick one unit with what follows from it for graft and wood, and give the records as they then are."""
    graft = next((held for held in records.grafts if held.id == unit.id), None) if kind == "graft" else None
    bundle = next((held for held in records.wood if held.id == unit.id), None) if kind == "wood" else None
    if graft is not None and (why := refusal(graft, tick.outcome, tick.day)):
        raise PersonError(why)
    act.add(tick)
    if graft is not None and tick.outcome == "set" and graft.state == "planned":
        made, left = set_graft(records, graft, tick.day)
        return _replaced(act, records, made, *(() if left is None else (left,)))
    if graft is not None:
        return _replaced(act, records, graft_after(graft, tick.outcome, tick.day))
    if bundle is not None:
        return _replaced(act, records, wood_after(bundle, tick.outcome))
    if kind == "variety" and tick.outcome == "cut":
        return _cut(act, records, unit, tick.day)
    return records


def _replaced(act: Act, records: Records, *changed: Graft | Wood) -> Records:
    for record in changed:
        act.replace(record)
    return applied(records, Edit("", replace=changed))


def _cut(act: Act, records: Records, unit: Unit, today: date) -> Records:
    """Cut wood for a variety: the bundle that waits to be cut is cut now, else a new one is made."""
    for bundle in records.wood:
        if bundle.cut_on is None and (bundle.variety, bundle.species) == (unit.variety, unit.species):
            cut = msgspec.structs.replace(bundle, cut_on=today)
            act.replace(cut)
            rest = tuple(cut if held.id == cut.id else held for held in records.wood)
            return msgspec.structs.replace(records, wood=rest)
    made = _new_bundle(records, unit, today)
    act.add(made)
    return msgspec.structs.replace(records, wood=(*records.wood, made))


def _new_bundle(records: Records, unit: Unit, today: date) -> Wood:
    """A bundle with sticks for the grafts that wait for it."""
    taken = {bundle.id for bundle in records.wood}
    number = len(taken) + 1
    while f"w{number:02d}" in taken:
        number += 1
    species_of = {tree.id: tree.species for tree in records.trees}
    waiting = sum(
        graft.state == "planned" and graft.variety == unit.variety and species_of.get(graft.tree) == unit.species
        for graft in records.grafts
    )
    sticks = -(-max(waiting, 1) // GRAFTS_A_STICK) + STICKS_SPARE
    return Wood(f"w{number:02d}", unit.variety, unit.species, sticks, cut_on=today)


def _names(labels: Sequence[str]) -> str:
    shown = ", ".join(labels[:3])
    return shown if len(labels) <= 3 else f"{shown} and {len(labels) - 3} more"
