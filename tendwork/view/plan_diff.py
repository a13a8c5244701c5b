"""What is not as it was on an earlier day, and why: the plan and the buds of then against those of now."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from tendwork.almanac.results import StageDate
from tendwork.planning.results import Change, ChangeKind, Plan, PlanDiff, Task
from tendwork.planning.sight import in_sight
from tendwork.planning.states import FINISHED, TO_DO
from tendwork.view.given import StagesOfSpecies
from tendwork.view.job import reason_sentences, sentence
from tendwork.view.news import BUDS, ENTERED, HEADINGS, LATER, LEFT, MISSED, MOVED
from tendwork.view.text import plain
from tendwork.view.week import where_words
from tendwork.view.words import counted, length_words, short_day, span_words


def changes(
    before: Plan, buds_before: Iterable[StagesOfSpecies], after: Plan, buds_after: Iterable[StagesOfSpecies]
) -> PlanDiff | None:
    """What is new in `after`; None where `before` is not an earlier day of the same season.

    Ticks are left out, since the person made them, and so are dates that are over.
    """
    if before.today >= after.today or before.season != after.season:
        return None
    found = [*_bud_changes(buds_before, buds_after, after.today), *_job_changes(before, after)]
    return PlanDiff(before.today, tuple(sorted(found, key=lambda change: list(HEADINGS).index(change.kind))))


def _bud_changes(before: Iterable[StagesOfSpecies], after: Iterable[StagesOfSpecies], today: date) -> Iterator[Change]:
    earlier = {held.species: {stage.stage: stage for stage in held.stages} for held in before}
    for held in after:
        had = earlier.get(held.species, {})
        pairs = [(had[stage.stage], stage) for stage in held.stages if stage.stage in had]
        seen = [pair for pair in pairs if pair[1].state == "seen" and not _same_sighting(*pair)]
        name = held.species[:1].upper() + held.species[1:]
        for old, new in seen:
            yield Change(BUDS, _seen_words(name, old, new, today))
        moved = [(new, days) for old, new in pairs if new.state == "predicted" and (days := _days(old.date, new.date))]
        if moved:
            taken_back = [new.stage for old, new in pairs if old.state == "seen" and new.state != "seen"]
            (first, days), *rest = moved
            others = f", and {counted(len(rest), 'later stage')} with it" if rest else ""
            why = _why_moved([new for _, new in seen], taken_back, first, had[first.stage], today)
            to = "" if first.date is None else f", to {short_day(first.date, today)}"
            yield Change(BUDS, f"{name} {plain(first.stage)} moved {_shift(days)}{to}{others}: {why}.")


def _same_sighting(old: StageDate, new: StageDate) -> bool:
    return old.state == "seen" and old.date == new.date


def _seen_words(name: str, old: StageDate, new: StageDate, today: date) -> str:
    days, when = _days(old.date, new.date), "" if new.date is None else f" {short_day(new.date, today)}"
    if days:
        return f"{name} {plain(new.stage)} moved {_shift(days)}: seen{when}."
    return f"{name} {plain(new.stage)} seen{when}{', as reckoned' if old.date is not None else ''}."


def _why_moved(seen: list[StageDate], taken_back: list[str], new: StageDate, old: StageDate, today: date) -> str:
    if seen:
        last = seen[-1]
        return f"{plain(last.stage)} was seen" + ("" if last.date is None else f" {short_day(last.date, today)}")
    if taken_back:
        return f"{plain(taken_back[-1])} is no longer noted as seen"
    asked = [reason for reason in new.because if reason.startswith("moved by") and reason not in old.because]
    return plain(asked[0]) if asked else "worked out anew from the temperatures"


def _job_changes(before: Plan, after: Plan) -> Iterator[Change]:
    """One change for each job; of the rounds of a repeating one only the first that changed in the same way."""
    told: set[tuple[ChangeKind, str, str]] = set()
    had = {task.key: task for task in before.tasks}
    for task in after.tasks:
        change = _job_change(had.pop(task.key, None), task, before.today, after.today)
        if change is not None and (change.kind, task.template, task.subject) not in told:
            told.add((change.kind, task.template, task.subject))
            yield change
    for task in had.values():
        kind: ChangeKind = LEFT if in_sight(task, before.today) else LATER
        about = kind, task.template, task.subject
        if task.state not in (*FINISHED, "missed") and about not in told:
            told.add(about)
            yield Change(kind, f"{_name(task)}: no record or template asks for it any more.")


def _job_change(old: Task | None, task: Task, day_before: date, today: date) -> Change | None:
    if task.state in FINISHED:
        return None
    if task.state == "missed":
        if old is None or old.state not in TO_DO:
            return None
        return Change(MISSED, f"{_name(task)}: its time ended {short_day(task.window.lapses, today)}.")
    here, was_here = in_sight(task, today), old is not None and in_sight(old, day_before)
    moved = "" if old is None else _moved_words(old, task, today)
    if here and not was_here:
        return Change(ENTERED, f"{_name(task)}: {moved or _entered_words(old, task)}")
    if was_here and not here:
        return Change(LEFT, f"{_name(task)}: {moved or 'nothing is left to do this week.'}")
    if moved:
        return Change(MOVED if here else LATER, f"{_name(task)}: {moved}")
    return Change(LATER, f"{_name(task)}: {_entered_words(old, task)}") if old is None else None


def _name(task: Task) -> str:
    return f"{plain(task.title)}, {where_words(task)}"


def _entered_words(old: Task | None, task: Task) -> str:
    days = span_words(task.window.opens, task.window.closes)
    if old is not None:
        return f"its time has come, {days}."
    return " ".join([f"a new job, {days}.", *_reasons(task, task.why_opens)])


def _moved_words(old: Task, new: Task, today: date) -> str:
    """By how many days the units still to do moved, and why; empty where they did not, or where that is over."""
    units = {unit.id: unit.window for unit in old.units}
    still = [(units[unit.id], unit.window) for unit in new.units if unit.id in units and unit.state not in FINISHED]
    opens = [_days(was.opens, now.opens) for was, now in still if max(was.opens, now.opens) >= today]
    closes = [_days(was.closes, now.closes) for was, now in still if max(was.closes, now.closes) >= today]
    for shifts, verb, reason in ((opens, "moved", new.why_opens), (closes, "ends", new.why_closes)):
        if any(shifts):
            most = max(shifts, key=abs)
            up_to = "" if len(set(shifts)) == 1 else "up to "
            said = f"{verb} {up_to}{_shift(most)}, now {span_words(new.window.opens, new.window.closes)}."
            return " ".join([said, *_reasons(new, reason), *_adjusted_since(old, new)])
    return ""


def _reasons(task: Task, own: str) -> list[str]:
    """Where this end of the window comes from, else the most telling reason."""
    return [sentence(own)] if own else list(reason_sentences(task)[:1])


def _adjusted_since(old: Task, new: Task) -> list[str]:
    """What the person changed in the template of the job since."""
    return [sentence(new.adjusted)] if new.adjusted and new.adjusted != old.adjusted else []


def _days(old: date | None, new: date | None) -> int:
    return 0 if old is None or new is None else (new - old).days


def _shift(days: int) -> str:
    return f"{length_words(abs(days))} {'later' if days > 0 else 'earlier'}"
