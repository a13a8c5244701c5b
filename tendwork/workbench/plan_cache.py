"""The last plan on disk: what the first paint shows, and what spares a second command the planning.

The week and what belongs to it stand in front and are read without the rest, in a fraction of the time. All is packed
by zlib, as most of a plan is words that stand in it again and again. Beside it stands the newest one of an earlier day,
so that what has changed since then can be told however often, and by whatever process, the plan of today is made.
"""

from __future__ import annotations

import os
import sys
from datetime import date
from functools import cache
from pathlib import Path
from typing import TypeVar
from zlib import compress, crc32, decompress
from zlib import error as zlib_error

import msgspec
from msgspec import Struct
from msgspec.structs import replace

from tendwork import __version__
from tendwork.almanac.results import FrostNight, SpeciesStages
from tendwork.folder.data_files import TASK_TEMPLATES, data_folder
from tendwork.folder.drafts import sweep
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.planning.coming_back import ComingBack
from tendwork.planning.plan_diff import PlanDiff
from tendwork.planning.results import FittedWeek, Gap, Plan, Task, WrapOn, in_plan_order
from tendwork.planning.vocabulary import Card

CACHE_FILE = "plan.msgpack"
EARLIER_FILE = "earlier.msgpack"
LOOKED_FILE = "looked.json"
_DAYS_LOOKED = 8  # days are a list, as clocks are set back and other days are looked at
_PACKED_QUICKLY = 1  # the level of zlib at which packing takes a few milliseconds, and the file a tenth of the place
_DAMAGED = (msgspec.MsgspecError, ValueError, zlib_error)  # the second where text in it is no UTF-8
_TASKS = msgspec.msgpack.Decoder(list[Task])


class WeekSummary(Struct, frozen=True):
    """What the plan of one day gave, without the plan. `token` names the content it was made from, program included.

    `changed` is since the newest day before that has a plan, and `back` what was left while the person was away;
    `cards` are the caution cards by id; `wraps` and `gaps` are the plan's. Of nights after `forecast_to`, and of all
    where it is None, nobody knows whether they hurt the buds; `frost_unknown` where one of this week may.
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
    back: ComingBack | None = None
    forecast_to: date | None = None
    frost_unknown: bool = False

    @property
    def day(self) -> date:
        """The day that it was made for."""
        return self.week.days[0].day


class PlannedDay(WeekSummary, frozen=True, kw_only=True):
    """Everything that the plan of one day gave."""

    plan: Plan


def days_looked(folder: OrchardFolder) -> tuple[date, ...]:
    """The last days on which the person looked at the week, as far as the folder knows."""
    try:
        return tuple(msgspec.json.decode(folder.read_cache(LOOKED_FILE) or b"[]", type=list[date]))
    except _DAMAGED:
        return ()


def note_looked(folder: OrchardFolder, today: date) -> None:
    """Note that the person looked at the week today, if the folder takes it."""
    days = days_looked(folder)
    if today not in days:
        folder.write_cache(LOOKED_FILE, msgspec.json.encode(sorted({*days, today})[-_DAYS_LOOKED:]))


def token_of(folder: OrchardFolder, today: date) -> str:
    """A word for the day and all that a plan depends on: the folder's content, the shipped rules, the program."""
    content = folder.content_token().encode("utf-8", "backslashreplace").decode()  # a path may hold bytes of no text
    return f"{program()}|{today}|{content}"


@cache
def program() -> str:
    """A word for the program that runs, with its rules."""
    times = _times(Path(__file__).parents[1]), _times(data_folder(TASK_TEMPLATES))
    return f"{__version__}|{sys.version_info[:2]}|{times}"


def _times(root: str | Path) -> int:
    """The times of the program's rules, lists and code, in one number. The least that it takes: all commands wait."""
    times = 0
    with os.scandir(root) as entries:
        for entry in entries:
            if entry.name.endswith((".py", ".toml", ".csv")):
                times += 1 + entry.stat().st_mtime_ns
            elif entry.name != "__pycache__" and entry.is_dir():
                times += _times(entry.path)
    return times


class EarlierPlan(Struct, frozen=True):
    """The plan of an earlier day; None where another version of the program kept it, so that only its day is known."""

    day: date
    planned: PlannedDay | None


class _Head(Struct, frozen=True, array_like=True):
    """The beginning of a kept file, which is read without the rest of it; `week` is a packed `WeekSummary`.

    `mark` is a sum over the others, so that a damaged day or token is no other one.
    """

    token: str
    today: date
    week: bytes
    mark: int


_Kept = TypeVar("_Kept", bound="_Head")


class _Whole(_Head, frozen=True, array_like=True):
    """A kept file: its `plan` without tasks, and these by their subjects, each packed."""

    plan: bytes
    tasks: tuple[bytes, ...]


class KeptPlans:
    """The plans that a folder keeps: the newest of all, and the newest of an earlier day.

    What this process has read or kept it has at hand as long as the file is the same. The tasks of a subject are packed
    by themselves, so that those that stay as they were need not be packed again.
    """

    def __init__(self, folder: OrchardFolder) -> None:
        self._folder = folder
        self._packed: dict[str, tuple[list[Task], bytes]] = {}
        self._newest: tuple[object, PlannedDay] | None = None
        self._earlier: tuple[object, PlannedDay | None] | None = None

    def week(self, token: str | None = None) -> WeekSummary | None:
        """The newest plan kept, as far as it is wanted at once; None if there is none, or none with this `token`."""
        held: WeekSummary | None = self._at_hand()
        if held is None:
            return _week_of(self._folder, token)
        return held if token in (None, held.token) else None

    def newest(self) -> PlannedDay | None:
        """The whole of it; None if there is none that can be read."""
        held = self._at_hand()
        if held is None:
            stamp, held = self._folder.cache_stamp(CACHE_FILE), read_kept(self._folder)
            self._newest = None if held is None else (stamp, held)
        return held

    def _at_hand(self) -> PlannedDay | None:
        if self._newest is None or self._newest[0] != self._folder.cache_stamp(CACHE_FILE):
            return None
        return self._newest[1]

    def earlier(self, today: date) -> EarlierPlan | None:
        """The newest plan of a day before `today` that is kept; None if there is none of which the day can be read."""
        days = {name: _day_of(self._folder, name) for name in (CACHE_FILE, EARLIER_FILE)}
        before = {name: day for name, day in days.items() if day is not None and day < today}
        if not before:
            return None
        name = max(before, key=before.__getitem__)
        if name == CACHE_FILE:
            return EarlierPlan(before[name], self.newest())
        stamp = self._folder.cache_stamp(name)
        if self._earlier is None or self._earlier[0] != stamp:
            self._earlier = stamp, _whole_day(self._folder, name)
        return EarlierPlan(before[name], self._earlier[1])

    def keep(self, planned_day: PlannedDay) -> None:
        """Keep a plan, and a front page for the next paint, if the folder takes them.

        The plan that stood there goes on as the earlier one, unless it is of no earlier day or of one before that.
        """
        from tendwork.view.text import plain
        from tendwork.view.week import next_sentence
        from tendwork.workbench.front_page import FRONT_PAGE_FILE, FrontPage

        folder, today = self._folder, planned_day.plan.today
        sweep(folder.path / "cache")
        day, earlier = (_day_of(folder, name) for name in (CACHE_FILE, EARLIER_FILE))
        if day is not None and day < today and (earlier is None or not day < earlier < today):
            folder.rename_cache(CACHE_FILE, EARLIER_FILE)
            self._earlier = self._newest  # by its stamp, which goes with the file
        folder.write_cache(CACHE_FILE, msgspec.msgpack.encode(self._whole(planned_day)))
        self._newest = folder.cache_stamp(CACHE_FILE), planned_day
        next_job = next_sentence(planned_day.week.tasks, today, planned_day.week.following)
        page = FrontPage(today, folder.site.timezone, plain(folder.site.name), next_job)
        folder.write_cache(FRONT_PAGE_FILE, page.encoded())

    def _whole(self, planned_day: PlannedDay) -> _Whole:
        plan = planned_day.plan
        by_subject: dict[str, list[Task]] = {}
        for task in plan.tasks:
            by_subject.setdefault(task.subject, []).append(task)
        packed = {}
        for subject, tasks in by_subject.items():
            held = self._packed.get(subject)
            packed[subject] = held if held is not None and held[0] == tasks else (tasks, _packed(tasks))
        self._packed = packed
        summary = WeekSummary(*(getattr(planned_day, name) for name in WeekSummary.__struct_fields__))
        head = planned_day.token, plan.today, _packed(summary)
        rest = _packed(replace(plan, tasks=()))
        return _Whole(*head, _mark(*head), rest, tuple(part for _, part in packed.values()))


def read_kept(folder: OrchardFolder) -> PlannedDay | None:
    """The newest plan kept, of whatever day and content; None if there is none that can be read."""
    return _whole_day(folder, CACHE_FILE)


def _packed(part: object) -> bytes:
    return compress(msgspec.msgpack.encode(part), _PACKED_QUICKLY)


def _mark(token: str, today: date, week: bytes) -> int:
    return crc32(b"\0".join((token.encode(), str(today).encode(), week)))


def _read_head(folder: OrchardFolder, name: str, kind: type[_Kept]) -> _Kept | None:
    """A kept file, unless its head is damaged."""
    content = folder.read_cache(name)
    if content is None:
        return None
    head = msgspec.msgpack.decode(content, type=kind)
    return head if head.mark == _mark(head.token, head.today, head.week) else None


def _whole_day(folder: OrchardFolder, name: str) -> PlannedDay | None:
    """All of a kept file; None where any of it is damaged or of another program."""
    try:
        whole = _read_head(folder, name, _Whole)
        if whole is None:
            return None
        summary = msgspec.msgpack.decode(decompress(whole.week), type=WeekSummary)
        plan = msgspec.msgpack.decode(decompress(whole.plan), type=Plan)
        tasks = [task for part in whole.tasks for task in _TASKS.decode(decompress(part))]
    except _DAMAGED:
        return None
    fields = {name: getattr(summary, name) for name in WeekSummary.__struct_fields__}
    return PlannedDay(**fields, plan=replace(plan, tasks=in_plan_order(tasks)))


def _week_of(folder: OrchardFolder, token: str | None) -> WeekSummary | None:
    try:
        head = _read_head(folder, CACHE_FILE, _Head)
        if head is None or token not in (None, head.token):
            return None
        return msgspec.msgpack.decode(decompress(head.week), type=WeekSummary)
    except _DAMAGED:
        return None


def _day_of(folder: OrchardFolder, name: str) -> date | None:
    try:
        head = _read_head(folder, name, _Head)
    except _DAMAGED:
        return None
    return None if head is None else head.today
