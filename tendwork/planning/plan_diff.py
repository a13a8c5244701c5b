"""What is not as it was on an earlier day, and why: the plan and the buds of then against those of now, as data."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from tendwork.almanac.results import SpeciesStages, StageDate
from tendwork.planning.results import Plan, Task, Unit, Window
from tendwork.planning.sight import in_sight
from tendwork.planning.states import FINISHED, TO_DO
from tendwork.planning.vocabulary import Stake

JobChangeKind = Literal["entered", "missed", "moved", "left", "later"]


class StageNews(Struct, frozen=True):
    """A bud stage that was seen since, or stages expected on other days.

    `days` is by how many the stage came later, and `others` how many later stages moved with it. `day` is its day now.
    `was_expected` where an earlier plan had a day for it. Why expected days moved: `seen` is a stage of the species
    (with `seen_on`) that was seen since, `withdrawn` one that is no longer noted as seen, `adjusted` what the person
    moved in words of the almanac; all empty where the temperatures alone did it.
    """

    species: str
    stage: str
    is_sighting: bool
    days: int
    day: date | None
    others: int = 0
    was_expected: bool = False
    seen: str = ""
    seen_on: date | None = None
    withdrawn: str = ""
    adjusted: str = ""


class JobNews(Struct, frozen=True):
    """A job that entered or left the week, moved, or was missed, with the window that it has now.

    `is_new` where no plan of then has it, `is_gone` where none of now has. Of the units still to do, `opens_days` and
    `closes_days` are by how many days the ends of their windows came later, the same number once; `reasons` are the
    words of the template and the almanac for what changed, `adjusted` those of an adjustment made since. `stake` and
    `loss` say what a missed one costs.
    """

    kind: JobChangeKind
    title: str
    place: str
    window: Window
    is_new: bool = False
    is_gone: bool = False
    opens_days: tuple[int, ...] = ()
    closes_days: tuple[int, ...] = ()
    reasons: tuple[str, ...] = ()
    adjusted: str = ""
    stake: Stake | None = None
    loss: str = ""


class PlanDiff(Struct, frozen=True):
    """All that changed since the day `since`."""

    since: date
    stages: tuple[StageNews, ...] = ()
    jobs: tuple[JobNews, ...] = ()


def plan_diff(
    before: Plan, buds_before: Iterable[SpeciesStages], after: Plan, buds_after: Iterable[SpeciesStages]
) -> PlanDiff | None:
    """What is new in `after`; None where `before` is not an earlier day of the same season.

    Ticks are left out, since the person made them, and so are dates that are over.
    """
    if before.today >= after.today or before.season != after.season:
        return None
    return PlanDiff(before.today, tuple(_stage_news(buds_before, buds_after)), tuple(_job_news(before, after)))


def _stage_news(before: Iterable[SpeciesStages], after: Iterable[SpeciesStages]) -> Iterator[StageNews]:
    earlier = {one.species: {stage.stage: stage for stage in one.stages} for one in before}
    for one in after:
        had = earlier.get(one.species, {})
        pairs = [(had[stage.stage], stage) for stage in one.stages if stage.stage in had]
        seen = [(old, new) for old, new in pairs if new.state == "seen" and not _same_sighting(old, new)]
        for old, new in seen:
            days = _days(old.date, new.date)
            yield StageNews(one.species, new.stage, True, days, new.date, was_expected=old.date is not None)
        moved = [(new, days) for old, new in pairs if new.state == "predicted" and (days := _days(old.date, new.date))]
        if moved:
            withdrawn = [new.stage for old, new in pairs if old.state == "seen" and new.state != "seen"]
            (first, days), *rest = moved
            news = StageNews(one.species, first.stage, False, days, first.date, len(rest))
            yield _with_reason(news, [new for _, new in seen], withdrawn, first, had[first.stage])


def _same_sighting(old: StageDate, new: StageDate) -> bool:
    return old.state == "seen" and old.date == new.date


def _with_reason(
    news: StageNews, seen: list[StageDate], withdrawn: list[str], new: StageDate, old: StageDate
) -> StageNews:
    if seen:
        return replace(news, seen=seen[-1].stage, seen_on=seen[-1].date)
    if withdrawn:
        return replace(news, withdrawn=withdrawn[-1])
    asked = [reason for reason in new.because if reason.startswith("moved by") and reason not in old.because]
    return replace(news, adjusted=asked[0]) if asked else news


def _job_news(before: Plan, after: Plan) -> Iterator[JobNews]:
    """One for each job; of a repeating one only the first repeat that changed in the same way."""
    told: set[tuple[str, str, str]] = set()
    had = {task.key: task for task in before.tasks}
    for task in after.tasks:
        news = _news_of_job(had.pop(task.key, None), task, before.today, after.today)
        if news is not None and (about := (news.kind, task.template, task.subject)) not in told:
            told.add(about)
            yield news
    for task in had.values():
        kind: JobChangeKind = "left" if in_sight(task, before.today) else "later"
        if task.state not in (*FINISHED, "missed") and (about := (kind, task.template, task.subject)) not in told:
            told.add(about)
            yield JobNews(kind, task.title, task.place, task.window, is_gone=True)


def _news_of_job(old: Task | None, task: Task, day_before: date, today: date) -> JobNews | None:
    if task.state in FINISHED:
        return None
    if task.state == "missed":
        missed = old is not None and old.state in TO_DO
        lost = JobNews("missed", task.title, task.place, task.window, stake=task.stake, loss=task.loss)
        return lost if missed else None
    here, was_here = in_sight(task, today), old is not None and in_sight(old, day_before)
    opens, closes = ((), ()) if old is None else _shifts(old, task, today)
    has_moved = any((*opens, *closes))
    kind: JobChangeKind
    if here != was_here:
        kind = "entered" if here else "left"
    elif has_moved:
        kind = "moved" if here else "later"
    elif old is None:
        kind = "later"
    else:
        return None
    if old is None:
        return JobNews(kind, task.title, task.place, task.window, True, reasons=_reasons(task, task.why_opens))
    if not has_moved:
        return JobNews(kind, task.title, task.place, task.window)
    reasons = _reasons(task, task.why_opens if any(opens) else task.why_closes)
    adjusted = task.adjusted if task.adjusted != old.adjusted else ""
    return JobNews(kind, task.title, task.place, task.window, False, False, opens, closes, reasons, adjusted)


def _shifts(old: Task, new: Task, today: date) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """By how many days the ends of the units still to do moved, each number once; what is over is left out."""
    if list(map(_stands, old.units)) == list(map(_stands, new.units)):  # as nearly all do on most days
        return (), ()
    units = {unit.id: unit.window for unit in old.units}
    still = [(units[unit.id], unit.window) for unit in new.units if unit.id in units and unit.state not in FINISHED]
    opens = (_days(was.opens, now.opens) for was, now in still if max(was.opens, now.opens) >= today)
    closes = (_days(was.closes, now.closes) for was, now in still if max(was.closes, now.closes) >= today)
    return tuple(dict.fromkeys(opens)), tuple(dict.fromkeys(closes))


def _stands(unit: Unit) -> tuple[str, Window]:
    return unit.id, unit.window


def _reasons(task: Task, own: str) -> tuple[str, ...]:
    """Where this end of the window comes from, else the most telling reason."""
    return (own,) if own else task.because[:1]


def _days(old: date | None, new: date | None) -> int:
    return 0 if old is None or new is None else (new - old).days
