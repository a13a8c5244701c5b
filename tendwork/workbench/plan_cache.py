"""The last plan on disk: what the first paint shows, and what spares a second command the planning.

Most of the file is the whole plan, and msgspec passes over what the wanted type does not name, so that the week and
what belongs to it are read in a fraction of the time. Beside it stands the newest one of an earlier day, so that what
has changed since then can be told however often, and by whatever process, the plan of today is made.
"""

from __future__ import annotations

import os
import sys
from datetime import date
from functools import cache
from pathlib import Path
from typing import TypeVar

import msgspec
from msgspec import Struct

from tendwork import __version__
from tendwork.almanac.results import FrostNight, SpeciesStages
from tendwork.folder.data_files import TASK_TEMPLATES, data_folder
from tendwork.folder.drafts import sweep
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.planning.plan_diff import PlanDiff
from tendwork.planning.results import FittedWeek, Gap, Plan, WrapOn
from tendwork.planning.vocabulary import Card

CACHE_FILE = "plan.msgpack"
EARLIER_FILE = "earlier.msgpack"


class WeekSummary(Struct, frozen=True):
    """What the plan of one day gave, without the plan. `token` names the content it was made from, program included.

    `changed` is since the newest day before that has a plan; `cards` are the caution cards by id; `wraps` and `gaps`
    are the plan's. Of nights after `forecast_to`, and of all where it is None, nobody knows whether they hurt the buds;
    `frost_unknown` where one of this week may.
    """

    token: str
    week: FittedWeek
    stages: tuple[SpeciesStages, ...]
    frost: tuple[FrostNight, ...]
    words: tuple[str, ...]
    cards: dict[str, Card] = {}
    check_wood_every_days: int | None = None
    changed: PlanDiff | None = None
    wraps: tuple[WrapOn, ...] = ()
    gaps: tuple[Gap, ...] = ()
    forecast_to: date | None = None
    frost_unknown: bool = False

    @property
    def day(self) -> date:
        """The day that it was made for."""
        return self.week.days[0].day


class PlannedDay(WeekSummary, frozen=True, kw_only=True):
    """Everything that the plan of one day gave."""

    plan: Plan


_Kept = TypeVar("_Kept")


class _Day(Struct, frozen=True):
    today: date


class _DayOf(Struct, frozen=True):
    """The day of a plan, read without the rest of it."""

    plan: _Day


def token_of(folder: OrchardFolder, today: date) -> str:
    """A word for the day and all that a plan depends on: the folder's content, the shipped rules, the program."""
    content = folder.content_token().encode("utf-8", "backslashreplace").decode()  # a path may hold bytes of no text
    return f"{_program()}|{today}|{content}"


@cache
def _program() -> str:
    """A word for the program that runs, with its rules."""
    times = _times(Path(__file__).parents[1]), _times(data_folder(TASK_TEMPLATES))
    return f"{__version__}|{sys.version_info[:2]}|{times}"


def _times(root: str | Path) -> int:
    """The times of all rules and files of the program, in one number. The least that it takes: every command waits."""
    times = 0
    with os.scandir(root) as entries:
        for entry in entries:
            if entry.name.endswith((".py", ".toml")):
                times += 1 + entry.stat().st_mtime_ns
            elif entry.name != "__pycache__" and entry.is_dir():
                times += _times(entry.path)
    return times


def read_kept(folder: OrchardFolder, wanted: type[_Kept]) -> _Kept | None:
    """The newest plan kept, of whatever day and content; None if there is none that can be read."""
    return _decoded(folder.read_cache(CACHE_FILE), wanted)


class EarlierPlan(Struct, frozen=True):
    """The plan of an earlier day; None where another version of the program kept it, so that only its day is known."""

    day: date
    planned: PlannedDay | None


def read_earlier(folder: OrchardFolder, today: date, kept: PlannedDay | None) -> EarlierPlan | None:
    """The newest plan of a day before `today` that is kept; None if there is none of which the day can be read.

    `kept` is the newest plan of all as `read_kept` has read it, so that it is not read twice.
    """
    last = _day_of(folder.read_cache(CACHE_FILE)) if kept is None else kept.plan.today
    earlier = folder.read_cache(EARLIER_FILE)
    days = {CACHE_FILE: last, EARLIER_FILE: _day_of(earlier)}
    before = {name: day for name, day in days.items() if day is not None and day < today}
    if not before:
        return None
    newest = max(before, key=before.__getitem__)
    return EarlierPlan(before[newest], kept if newest == CACHE_FILE else _decoded(earlier, PlannedDay))


def keep(folder: OrchardFolder, planned_day: PlannedDay) -> None:
    """Keep a plan, and a front page for the next paint, if the folder takes them.

    The plan that stood there goes on as the earlier one, unless it is of no earlier day or of one before that.
    """
    from tendwork.view.text import plain
    from tendwork.view.week import next_sentence
    from tendwork.workbench.front_page import FRONT_PAGE_FILE, FrontPage

    sweep(folder.path / "cache")
    was = folder.read_cache(CACHE_FILE)
    day, earlier = _day_of(was), _day_of(folder.read_cache(EARLIER_FILE))
    today = planned_day.plan.today
    if was is not None and day is not None and day < today and (earlier is None or not day < earlier < today):
        folder.write_cache(EARLIER_FILE, was)
    folder.write_cache(CACHE_FILE, msgspec.msgpack.encode(planned_day))
    next_job = next_sentence(planned_day.week.tasks, today, planned_day.week.following)
    page = FrontPage(today, folder.site.timezone, plain(folder.site.name), next_job)
    folder.write_cache(FRONT_PAGE_FILE, page.encoded())


def _day_of(content: bytes | None) -> date | None:
    held = _decoded(content, _DayOf)
    return None if held is None else held.plan.today


def _decoded(content: bytes | None, wanted: type[_Kept]) -> _Kept | None:
    try:
        return None if content is None else msgspec.msgpack.decode(content, type=wanted)
    except (msgspec.MsgspecError, ValueError):  # the second where text in it is no UTF-8
        return None
