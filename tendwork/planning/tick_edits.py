"""Ticks as edits of the records: what is ticked, what follows from it, and how it is taken back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Sequence
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.errors import PersonError, nearest
from tendwork.orchard.edits import Add, Edit, EditUnderWay, Replace, checked, refusal
from tendwork.orchard.lives import present
from tendwork.orchard.outcomes import SKIPPED, STILL_OPEN, outcome_named
from tendwork.orchard.outcomes import refusal as refusal_of
from tendwork.orchard.records import GNAWED, Records, Tick
from tendwork.orchard.standing_ticks import Standing, TickKey, key_of
from tendwork.orchard.taking_back import TakingBack, TickedActs
from tendwork.orchard.tree_names import tree_names
from tendwork.orchard.wording import listed
from tendwork.orchard.wrap_choices import known_wrap
from tendwork.orchard.wraps import WRAPS
from tendwork.planning.follow_ups import follow, graft_of
from tendwork.planning.held_back import speaks_against, still_barred
from tendwork.planning.minutes_given import minutes_words, share_of_minutes
from tendwork.planning.named_task import units_named
from tendwork.planning.results import Task, Unit
from tendwork.planning.states import units_to_tick
from tendwork.planning.tick_words import Ticked, act_words, names_words, tick_words, ticks_words

_UNDO_FIRST = "Undo first what was ticked since. Nothing was changed."


class TaskTick(Struct, frozen=True):
    """Units of a task, by id or label, or all that are to do where none is named, and what is said of them.

    An empty outcome stands for the default of the task. `minutes` are how long all of these units took together, with
    setting up; None where the person does not say.
    """

    task: Task
    units: tuple[str, ...] = ()
    outcome: str = ""
    note: str = ""
    minutes: float | None = None


class UnitTick(Struct, frozen=True):
    """One unit that is to be ticked, and its tick."""

    task: Task
    unit: Unit
    tick: Tick


def unit_ticks(asked: Sequence[TaskTick], today: date) -> tuple[UnitTick, ...]:
    """Every tick that is asked for.

    Raises PersonError for a unit or an outcome that there is not, or is missing, and for minutes that cannot be.
    """
    return tuple(
        UnitTick(one.task, unit, Tick(*unit_key(one.task, unit), today, word, one.note, minutes=minutes))
        for one in asked
        for units, word in ((_units(one), _outcome(one)),)
        for minutes in (share_of_minutes(one.minutes, len(units), word),)
        for unit in units
    )


def unit_key(task: Task, unit: Unit) -> TickKey:
    """On what a unit is ticked: its own round, where the task is the line of several, and the id that its tick has."""
    return unit.task or task.key, unit.ticked_as or unit.id


def keys_that_stand(records: Records, keys: Iterable[TickKey]) -> tuple[TickKey, ...]:
    """Those of these on which something is ticked: what the acts tell of them may have to be taken back."""
    standing = Standing(records.ticks)
    return tuple(dict.fromkeys(key for key in keys if standing.tick(*key) is not None))


def tick_edit(
    records: Records,
    acts: TickedActs,
    asked: Sequence[TaskTick],
    today: date,
    wrap: str | None = None,
    known_wraps: Sequence[str] = WRAPS,
    sure: bool = False,
    barred: Container[str] = (),
    south: bool = False,
) -> Edit:
    """Tick units of tasks: all of them or none. What is ticked so already is said, and stays.

    `acts` tell what followed from the ticks that stand on these units. `wrap` is what the grafts that are set with this
    were wrapped in, "" where that is not known; without it each keeps what was planned. `known_wraps` are the words
    that a rule may ask for. A unit that is held back is ticked only where the person is `sure`. Of the bundles
    `barred`, by id, none is chosen for a graft that names no wood. Raises PersonError as `unit_ticks` does.
    """
    chosen = unit_ticks(asked, today)
    if not sure and (against := _against(chosen)):
        return refusal(f"Held back: {against} If it is done all the same, add --sure. Nothing was ticked.")
    if wrap and all(one.tick.outcome != "set" for one in chosen):
        return refusal('A wrap is noted with the outcome "set". Leave it away, or tick what was grafted.')
    wrapped_in = None if wrap is None else known_wrap(wrap, known_wraps)
    edit = EditUnderWay(records)
    taking_back = TakingBack(edit, acts)
    now = present(records).ticks
    standing, layers = Standing(now), Counter(map(key_of, now))
    made: list[Ticked] = []
    for one in chosen:
        new, stands = one.tick, _stands(standing, one)
        ticked = Ticked(one.task.key, one.task.title, one.unit.label, new.outcome)
        if stands is not None and _says_the_same(stands, new):
            made.append(replace(ticked, since=stands.day, added=_complete(edit, one, stands, wrapped_in)))
            continue
        edit.make(Add(new))
        if stands is not None:
            taking_back.follow_ups(new.task, new.unit, layers[key_of(new)])
        graft = graft_of(edit.records, one.task.each, one.unit)
        if graft is not None and (why := refusal_of(graft, new.outcome, new.day)):
            return refusal(why)
        lacks_wrap = follow(edit, one.task.each, one.unit, new, wrapped_in, barred, south)
        made.append(replace(ticked, lacks_wrap=lacks_wrap, before="" if stands is None else stands.outcome))
    timed = minutes_words(one.minutes for one in asked) if any(ticked.since is None for ticked in made) else ""
    hints = (timed, _signs_words(records, edit.records), _wrap_words(wrapped_in, known_wraps), *_barred_words(asked))
    told = " ".join(filter(None, (tick_words(made, today), *hints)))
    whole = Edit(act_words(made), tuple(edit.changes), told=told)
    return _sound(records, whole, today) if any(ticked.before for ticked in made) else whole


def untick_edit(records: Records, acts: TickedActs, task: Task, units: Sequence[str], today: date) -> Edit:
    """Undo the ticks of units of a task, or all that stand, with what each of them changed.

    `acts` tell what followed from these ticks. Raises PersonError for a unit that there is not.
    """
    chosen = units_to_untick(task, units)
    if not chosen:
        return refusal(f"Nothing is ticked in {task.key}.")
    edit = EditUnderWay(records)
    taking_back = TakingBack(edit, acts)
    standing = Standing(present(records).ticks)
    for unit in chosen:
        key = unit_key(task, unit)
        if standing.tick(*key) is None or not taking_back.tick(*key, today):
            return refusal(f'Nothing is ticked for "{unit.id}" of {key[0]}.')
    words = f"{task.title}, {names_words([unit.label for unit in chosen])}: {ticks_words(len(chosen))} undone"
    return _sound(records, Edit(words, tuple(edit.changes)), today)


def units_to_untick(task: Task, units: Sequence[str]) -> tuple[Unit, ...]:
    """The units that are named, or all that are ticked. Raises PersonError for one that there is not."""
    return units_named(task, units) if units else tuple(unit for unit in task.units if unit.outcome)


def _sound(records: Records, edit: Edit, today: date) -> Edit:
    """The edit, refused where a record that was changed since could not be as it is without what is taken back."""
    edit = checked(records, edit, today)
    return replace(edit, refused=(*edit.refused, _UNDO_FIRST)) if edit.refused else edit


def _units(one: TaskTick) -> tuple[Unit, ...]:
    chosen = units_named(one.task, one.units) if one.units else units_to_tick(one.task)
    if not chosen and one.minutes is not None:
        chosen = _last_ticked(one.task, _outcome(one))
    if not chosen:
        raise PersonError(f"Everything in {one.task.key} is ticked already. Name the units that went otherwise.")
    return chosen


def _last_ticked(task: Task, outcome: str) -> tuple[Unit, ...]:
    """The units that were ticked so on the last day on which any was: whoever notes minutes afterwards means those."""
    last = max((unit.done_on for unit in task.units if unit.done_on and unit.outcome == outcome), default=None)
    return tuple(unit for unit in task.units if last and unit.done_on == last and unit.outcome == outcome)


def _outcome(one: TaskTick) -> str:
    task = one.task
    allowed = dict.fromkeys((*task.outcomes, SKIPPED))
    if one.outcome.strip():
        word = outcome_named(one.outcome, allowed)
        if not word:
            raise PersonError(f'"{one.outcome}" is no outcome of {task.template}. It has {", ".join(allowed)}.')
        return word
    if not task.default_outcome:
        raise PersonError(
            f"How {task.key} went is for you to say: add --outcome with one of {_quoted(allowed)}. Nothing was ticked."
        )
    return task.default_outcome


def _quoted(words: Iterable[str]) -> str:
    return ", ".join(f'"{word}"' for word in words)


def _stands(standing: Standing, one: UnitTick) -> Tick | None:
    """The tick that stands on a unit; else what its record says by itself, such as that another job took its wrap off.

    None where neither says anything: a tick from before the storm that the job is about is of an earlier one.
    """
    own, unit = standing.tick(one.tick.task, one.tick.unit), one.unit
    if own is not None and unit.since is not None and own.day < unit.since:
        return None
    if own is not None or not unit.outcome or unit.done_on is None:
        return own
    return Tick("", unit.id, unit.done_on, unit.outcome)


def _says_the_same(stands: Tick, new: Tick) -> bool:
    """Whether a tick adds nothing to the one that stands; that it is not yet time is news on another day."""
    return stands.outcome == new.outcome and (new.outcome != STILL_OPEN or stands.day == new.day)


def _complete(edit: EditUnderWay, one: UnitTick, stands: Tick, wrap: str | None) -> tuple[str, ...]:
    """Add a note, minutes or a wrap that the tick that stands lacks, and say what was added."""
    new, graft = one.tick, graft_of(edit.records, one.task.each, one.unit)
    rewrapped = bool(wrap) and new.outcome == "set" and graft is not None and graft.wrap != wrap
    noted = bool(new.note) and new.note != stands.note
    timed = new.minutes is not None and new.minutes != stands.minutes
    if rewrapped or noted or timed:
        minutes = stands.minutes if new.minutes is None else new.minutes
        edit.make(Add(replace(new, day=stands.day, note=new.note or stands.note, minutes=minutes)))
    if rewrapped and graft is not None:
        edit.make(Replace(replace(graft, wrap=wrap)))
    said = ((rewrapped, "wrap noted"), (noted, "note added"), (timed, "minutes noted"))
    return tuple(words for is_new, words in said if is_new)


def _against(chosen: Sequence[UnitTick]) -> str:
    """Why some of it should not have been done yet; empty where nothing says so."""
    return " ".join(
        dict.fromkeys(words for one in chosen for words in speaks_against(one.task, (one.unit.id,), one.tick.outcome))
    )


def _barred_words(asked: Sequence[TaskTick]) -> Iterable[str]:
    """What of these jobs was not to be worked on, said where the person did not say which units were done.

    The orchard as a whole says nothing of its trees.
    """
    loose = (one for one in asked if not one.units or one.task.each == "site")
    return dict.fromkeys(words for one in loose for words in still_barred(one.task, _outcome(one)))


def _wrap_words(wrap: str | None, known_wraps: Sequence[str]) -> str:
    if not wrap or wrap in known_wraps:
        return ""
    return f'No rule speaks of the wrap "{wrap}". {nearest(wrap, known_wraps)}'


def _signs_words(before: Records, after: Records) -> str:
    """That a sign of disease was noted with what was ticked, and what follows from that."""
    names = tree_names(after.trees)
    new = [sign for sign in after.troubles if sign not in before.troubles]
    trees = listed(dict.fromkeys(names.get(sign.tree, sign.tree) for sign in new)) if new else ""
    if not new:
        return ""
    follows = "" if new[0].what == GNAWED else "; no wood or buds from there until a winter has passed"
    return f"Noted on {trees}: {new[0].what}{follows}."
