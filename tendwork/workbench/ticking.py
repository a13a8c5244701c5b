"""What a person does from a front: ticks, undoing, sightings. Each is one act of the records, or none at all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Sequence
from datetime import date
from difflib import get_close_matches

from msgspec import Struct
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.folder.records_db import RecordStore
from tendwork.folder.toml_text import nearest
from tendwork.folder.transactions import Transaction
from tendwork.orchard.edits import Edit, applied
from tendwork.orchard.faults import faults
from tendwork.orchard.lives import present
from tendwork.orchard.outcomes import SKIPPED, STILL_OPEN, graft_after, refusal, trouble_after, wood_after
from tendwork.orchard.records import Graft, Records, Sighting, Tick, Wood
from tendwork.orchard.series import set_graft
from tendwork.orchard.standing_ticks import Standing, template_of
from tendwork.orchard.tree_names import tree_names
from tendwork.orchard.wood_balance import GRAFTS_A_STICK
from tendwork.orchard.wording import counted, listed
from tendwork.orchard.wrap_choices import known_wrap
from tendwork.orchard.wraps import WRAPS
from tendwork.planning.day_format import full_day
from tendwork.planning.held_back import speaks_against, still_barred
from tendwork.planning.named_task import units_named
from tendwork.planning.results import Task, Unit
from tendwork.planning.states import units_to_tick
from tendwork.planning.tick_words import Ticked, act_words, names_words, tick_words, ticks_words
from tendwork.planning.wishes import PLANNED_FOR, PUT_OFF, WHOLE_JOB
from tendwork.species import SPECIES, STAGES, species_named, stage_named

STICKS_SPARE = 1  # from memory: a spare stick is cut with those that the grafts need


class TaskTick(Struct, frozen=True):
    """Units of a task, by id or label, or all that are to do where none is named, and what is said of them.

    `kind` is what the template's units are. An empty outcome stands for the default of the task.
    """

    task: Task
    kind: str
    units: tuple[str, ...] = ()
    outcome: str = ""
    note: str = ""


def tick(
    store: RecordStore,
    asked: Sequence[TaskTick],
    today: date,
    wrap: str | None = None,
    known_wraps: Sequence[str] = WRAPS,
    sure: bool = False,
    barred: Container[str] = (),
) -> str:
    """Tick units of tasks in one act: all of them or none. What is ticked so already is said, and stays.

    `wrap` is what the grafts that are set with this were wrapped in, "" where that is not known; without it each keeps
    what was planned. `known_wraps` are the words that a rule may ask for. A unit that is held back is ticked only where
    the person is `sure`. Of the bundles `barred`, by id, none is chosen for a graft that names no wood.
    """
    chosen = [(one, unit, _outcome(one)) for one in asked for unit in _chosen(one)]
    if not sure:
        _refuse_held(chosen)
    if wrap and all(word != "set" for _, _, word in chosen):
        raise PersonError('A wrap is noted with the outcome "set". Leave it away, or tick what was grafted.')
    wrapped_in = None if wrap is None else known_wrap(wrap, known_wraps)
    made: list[Ticked] = []
    with store.act("") as act:
        records = before = store.read()
        now = present(records).ticks
        standing, layers = Standing(now), Counter((tick.task, tick.unit) for tick in now)
        for one, unit, word in chosen:
            stands = _stands(standing, one.task, unit)
            ticked = Ticked(one.task.key, one.task.title, unit.label, word)
            new = Tick(_key(one.task, unit), unit.ticked_as or unit.id, today, word, one.note)
            if stands is None:
                act.add(new)
                records, unnoted = _follow(act, records, one.kind, unit, new, wrapped_in, barred)
                made.append(replace(ticked, lacks_wrap=unnoted))
            elif _says_the_same(stands, new):
                records, added = _completed(act, records, one.kind, stands, new, wrapped_in)
                made.append(replace(ticked, since=stands.day, added=added))
            else:
                made_before = len(act.changes)
                act.replace_tick(new, layers[new.task, new.unit])
                records = replace(_as_changed(act, records, made_before), troubles=store.read().troubles)
                records, unnoted = _follow(act, records, one.kind, unit, new, wrapped_in, barred)
                made.append(replace(ticked, lacks_wrap=unnoted, before=stands.outcome))
        if any(ticked.before for ticked in made):
            _refuse_new_faults(before, store.read(), today)
        act.description = act_words(made)
    hint = (
        f' No rule speaks of the wrap "{wrapped_in}". {nearest(wrapped_in, known_wraps)}'
        if (wrapped_in and wrapped_in not in known_wraps)
        else ""
    )
    barred = dict.fromkeys(
        words for one in asked if not _names_trees(one) for words in still_barred(one.task, _outcome(one))
    )
    return " ".join((f"{tick_words(made, today)}{_signs_words(before, records)}{hint}", *barred))


def untick(store: RecordStore, task: Task, units: tuple[str, ...], today: date) -> str:
    """Undo the ticks of units of a task, or all that stand, with what each of them changed."""
    chosen = units_named(task, units) if units else tuple(unit for unit in task.units if unit.outcome)
    if not chosen:
        raise PersonError(f"Nothing is ticked in {task.key}.")
    said = f"{task.title}, {names_words([unit.label for unit in chosen])}: {ticks_words(len(chosen))} undone"
    with store.act(said) as act:
        before = store.read()
        standing = Standing(present(before).ticks)
        for unit in chosen:
            if standing.tick(_key(task, unit), unit.ticked_as or unit.id) is None:
                raise PersonError(f'Nothing is ticked for "{unit.id}" of {_key(task, unit)}.')
            act.untick(_key(task, unit), unit.ticked_as or unit.id, today)
        _refuse_new_faults(before, store.read(), today)
    return f"{said}."


def put_off(store: RecordStore, tasks: Sequence[Task], day: date, today: date, fixed: bool) -> str:
    """Plan whole jobs for a day, or put them off until then: all or none. Raises PersonError for a day that cannot be.

    A job that is left for that day already stays as it is.
    """
    if day < today:
        raise PersonError(f"{full_day(day)} is over. Choose today or a later day.")
    for task in tasks:
        if day > task.window.worth_until:
            last, rest = full_day(task.window.lapses), " Nothing was put off." if len(tasks) > 1 else ""
            raise PersonError(
                f"{task.key} is worth doing until {last} only. Choose a day until then, or skip it.{rest}"
            )
    word = PLANNED_FOR if fixed else PUT_OFF
    with store.act("") as act:
        standing = Standing(store.read().ticks)
        wanted = {
            task.key: [Tick(key, WHOLE_JOB, today, word, day.isoformat()) for key in _keys(task)] for task in tasks
        }
        new = [task for task in tasks if not all(_is_left_so(standing, tick) for tick in wanted[task.key])]
        for tick in (tick for task in new for tick in wanted[task.key]):
            act.add(tick)
        act.description = f"{_jobs_words(new or tasks)}: {word} {full_day(day)}"
    return act.description + ("." if new else " already.")


def _key(task: Task, unit: Unit) -> str:
    """The key under which a unit is ticked: that of its own round, where the task is the line of several."""
    return unit.task or task.key


def _keys(task: Task) -> tuple[str, ...]:
    return tuple(dict.fromkeys((task.key, *(_key(task, unit) for unit in task.units))))


def sighting_of(records: Records, species: str, stage: str, today: date, tree: str, note: str) -> Sighting:
    """A bud stage seen today, on the species or on one tree. Raises PersonError for what is not known."""
    known = species_named(species)
    if known is None:
        raise PersonError(f'"{species}" is not a species of this program. It knows {", ".join(SPECIES)}.')
    named = stage_named(known, stage)
    if named is None:
        names = [row[0] for row in STAGES[known]]
        near = get_close_matches(stage.lower(), names, n=1)
        hint = f' Did you mean "{near[0]}"?' if near else ""
        raise PersonError(f'"{stage}" is not a bud stage of {known}.{hint} Its stages are {", ".join(names)}.')
    if tree:
        grown = {item.id: item for item in records.trees}
        if tree not in grown:
            raise PersonError(f'There is no tree "{tree}". `tendwork trees` lists them.')
        if grown[tree].species != known:
            raise PersonError(f'Tree "{tree}" is {grown[tree].species}, not {known}.')
    return Sighting(today, known, named, tree, note)


def saw(store: RecordStore, sighting: Sighting) -> str:
    """Record a bud stage that was seen."""
    named = next((tree.name for tree in store.read().trees if tree.id == sighting.tree), "")
    where = f" on {named}" if sighting.tree else ""
    with store.act(f"{sighting.species} seen at {sighting.stage}{where}") as act:
        act.add(sighting)
    return f"{sighting.species} seen at {sighting.stage}{where} on {sighting.day.isoformat()}."


def _chosen(one: TaskTick) -> tuple[Unit, ...]:
    chosen = units_named(one.task, one.units) if one.units else units_to_tick(one.task)
    if not chosen:
        raise PersonError(f"Everything in {one.task.key} is ticked already. Name the units that went otherwise.")
    return chosen


def _names_trees(one: TaskTick) -> bool:
    """Whether the person said which units were done; the orchard as a whole says nothing of its trees."""
    return bool(one.units) and one.kind != "site"


def _outcome(one: TaskTick) -> str:
    task = one.task
    allowed = dict.fromkeys((*task.outcomes, SKIPPED))
    word = one.outcome.strip().lower()
    if not word and not task.default_outcome:
        raise PersonError(
            f"How {task.key} went is for you to say: add --outcome with one of {_quoted(allowed)}. Nothing was ticked."
        )
    if word and word not in allowed:
        raise PersonError(f'"{one.outcome}" is no outcome of {task.template}. It has {", ".join(allowed)}.')
    return word or task.default_outcome


def _quoted(words: Iterable[str]) -> str:
    return ", ".join(f'"{word}"' for word in words)


def _stands(standing: Standing, task: Task, unit: Unit) -> Tick | None:
    """The tick that stands on a unit; else what its record says by itself, such as that another job took its wrap off.

    None where neither says anything.
    """
    own = standing.tick(_key(task, unit), unit.ticked_as or unit.id)
    if own is not None or not unit.outcome or unit.done_on is None:
        return own
    return Tick("", unit.id, unit.done_on, unit.outcome)


def _as_changed(act: Transaction, records: Records, since: int) -> Records:
    """The records after the changes that the act has made since, which are few."""
    for kind, before, after in act.changes[since:]:
        identity = (after or before or {}).get("id")
        if identity is not None:
            held = act.record(kind, identity)
            others = tuple(one for one in getattr(records, kind) if one.id != identity)
            records = replace(records, **{kind: others if held is None else (*others, held)})
    return records


def _says_the_same(stands: Tick, new: Tick) -> bool:
    """Whether a tick adds nothing to the one that stands; that it is not yet time is news on another day."""
    return stands.outcome == new.outcome and (new.outcome != STILL_OPEN or stands.day == new.day)


def _is_left_so(standing: Standing, wanted: Tick) -> bool:
    stands = standing.tick(wanted.task, WHOLE_JOB)
    return stands is not None and (stands.outcome, stands.note) == (wanted.outcome, wanted.note)


def _completed(
    act: Transaction, records: Records, kind: str, stands: Tick, new: Tick, wrap: str | None
) -> tuple[Records, tuple[str, ...]]:
    """Add a note or a wrap that the tick that stands lacks: the records after it, and what was added."""
    graft = _graft(records, kind, new.unit)
    rewrapped = bool(wrap) and new.outcome == "set" and graft is not None and graft.wrap != wrap
    noted = bool(new.note) and new.note != stands.note
    if not rewrapped and not noted:
        return records, ()
    act.add(replace(new, day=stands.day, note=new.note or stands.note))
    if rewrapped and graft is not None:
        records = _replaced(act, records, replace(graft, wrap=wrap))
    return records, (*(("wrap noted",) if rewrapped else ()), *(("note added",) if noted else ()))


def _refuse_new_faults(before: Records, after: Records, today: date) -> None:
    known = set(faults(before, today))
    found = [fault for fault in faults(after, today) if fault not in known]
    if found:
        raise PersonError(f"{' '.join(dict.fromkeys(found))} Undo first what was ticked since. Nothing was changed.")


def _graft(records: Records, kind: str, identity: str) -> Graft | None:
    return next((held for held in records.grafts if held.id == identity), None) if kind == "graft" else None


def _refuse_held(chosen: Sequence[tuple[TaskTick, Unit, str]]) -> None:
    against = dict.fromkeys(words for one, unit, word in chosen for words in speaks_against(one.task, (unit.id,), word))
    if against:
        raise PersonError(f"Held back: {' '.join(against)} If it is done all the same, add --sure. Nothing was ticked.")


def _signs_words(before: Records, after: Records) -> str:
    """That a sign of disease was noted with what was ticked, and what follows from that."""
    names = tree_names(after.trees)
    new = [sign for sign in after.troubles if sign not in before.troubles]
    trees = listed(dict.fromkeys(names.get(sign.tree, sign.tree) for sign in new)) if new else ""
    return f" Noted on {trees}: {new[0].what}; no wood or buds from there until a winter has passed." if new else ""


def _follow(
    act: Transaction, records: Records, kind: str, unit: Unit, tick: Tick, wrap: str | None, barred: Container[str]
) -> tuple[Records, bool]:
    """What follows from a tick for graft and wood: the records as they then are, and whether a wrap is not noted."""
    graft = _graft(records, kind, unit.id)
    bundle = next((held for held in records.wood if held.id == unit.id), None) if kind == "wood" else None
    if graft is not None and (why := refusal(graft, tick.outcome, tick.day)):
        raise PersonError(why)
    if graft is not None and tick.outcome == "set" and graft.state != "set":
        graft = graft if wrap is None else replace(graft, wrap=wrap)
        if graft.state == "planned":
            made, left = set_graft(records, graft, tick.day, barred=barred)
            return _replaced(act, records, made, *(() if left is None else (left,))), not graft.wrap
        return _replaced(act, records, graft_after(graft, tick.outcome, tick.day)), not graft.wrap
    if graft is not None:
        return _replaced(act, records, graft_after(graft, tick.outcome, tick.day)), False
    if bundle is not None:
        return _replaced(act, records, wood_after(bundle, tick.outcome)), False
    if kind == "variety" and tick.outcome == "cut":
        return _cut(act, records, unit, tick.day), False
    sign = trouble_after(template_of(tick), unit.id, tick.outcome, tick.day)
    if sign is not None and sign not in records.troubles:
        act.add(sign)
        return replace(records, troubles=(*records.troubles, sign)), False
    return records, False


def _replaced(act: Transaction, records: Records, *changed: Graft | Wood) -> Records:
    for record in changed:
        act.replace(record)
    return applied(records, Edit("", replace=changed))


def _cut(act: Transaction, records: Records, unit: Unit, today: date) -> Records:
    """Cut wood for a variety: the bundle that waits to be cut is cut now, else a new one is made."""
    for bundle in records.wood:
        if bundle.cut_on is None and (bundle.variety.casefold(), bundle.species) == (
            unit.variety.casefold(),
            unit.species,
        ):
            cut = replace(bundle, cut_on=today)
            act.replace(cut)
            rest = tuple(cut if held.id == cut.id else held for held in records.wood)
            return replace(records, wood=rest)
    made = _new_bundle(records, unit, today)
    act.add(made)
    return replace(records, wood=(*records.wood, made))


def _new_bundle(records: Records, unit: Unit, today: date) -> Wood:
    """A bundle with sticks for the grafts that wait for it."""
    taken = {bundle.id for bundle in records.wood}
    number = len(taken) + 1
    while f"w{number:02d}" in taken:
        number += 1
    species_of = {tree.id: tree.species for tree in records.trees}
    waiting = sum(
        graft.state == "planned"
        and graft.variety.casefold() == unit.variety.casefold()
        and species_of.get(graft.tree) == unit.species
        for graft in records.grafts
    )
    sticks = -(-max(waiting, 1) // GRAFTS_A_STICK) + STICKS_SPARE
    return Wood(f"w{number:02d}", unit.variety, unit.species, sticks, cut_on=today)


def _jobs_words(tasks: Sequence[Task]) -> str:
    if len(tasks) == 1:
        return f"{tasks[0].title}, {tasks[0].place or 'the orchard'}"
    return counted(len(tasks), "job")
