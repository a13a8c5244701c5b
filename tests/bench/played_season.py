"""A person with one hour on Saturdays, who does what stands on top of `tendwork week` and nothing else.

The orchard is invented (`played_orchard`), and so is what the season does to it (`made_world`). From 1 May to 31
October the week is read each Saturday; what stands in it is done from the top as far as the hour goes, unit by unit,
and ticked by the command with what was found. Until then the person had time for everything: they came to graft.

    python tests/bench/played_season.py [HOURS]     # the season week by week, and what it cost; an hour if not given
"""

from __future__ import annotations

import json
import re
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import date, timedelta
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1]))

import pytest
from made_world import FIRST_DAY, LAST_DAY, LOOK_MINUTES, ONLY_LOOKED, Losses, MadeWorld
from msgspec import Struct
from msgspec.structs import replace
from played_orchard import BROUGHT_ON, begin_played_orchard, bring_grafts, command_on, new_grafts, older_grafts

from tendwork.folder.templates import load_templates
from tendwork.planning.vocabulary import Template
from tendwork.workbench.bench import Workbench

Shape = Mapping[str, Any]
DUE = ("late", "closing", "open")
"""States of a line that somebody can work on today; what waits for weather, is held or is only coming is left alone."""
LITTLE_MATTERS = "little"


class Asked(Struct, frozen=True):
    """One unit of one job as the list asks for it: the key to tick it under, the line that it stands in, and its
    minutes; a line is set up once."""

    key: str
    template: str
    unit: str
    line: str
    minutes: float
    setup_minutes: float


class WeekPlayed(Struct, frozen=True):
    """One Saturday: how long the list was, how much of it must not wait, what was on top, and what was done."""

    day: date
    lines: int
    above_can_wait: int
    """Lines that the week does not put under what can wait; all of them where it has no such place."""
    pressing: int
    top: str
    minutes: float
    asked_minutes: float
    order: tuple[str, ...]
    """Keys of the lines as they stand."""
    done: tuple[str, ...]
    """Keys of the jobs that were worked on."""


class SeasonPlayed(Struct, frozen=True):
    """A played season: its weeks, what it cost, and the minutes by template."""

    weeks: tuple[WeekPlayed, ...]
    losses: Losses
    minutes_by_template: dict[str, float]
    units_by_template: dict[str, int]
    undone: dict[str, int]
    """Units of a template that lapsed, or were still to do at the end."""
    refused: int
    """Ticks that were refused, since an earlier tick of the same morning had taken the unit out of its job."""

    @property
    def hours(self) -> float:
        return sum(week.minutes for week in self.weeks) / 60


def play(folder: Path, saturday_hours: float = 1.0) -> SeasonPlayed:
    """Play the season in a folder that is empty yet."""
    with shared_workbench():
        return _Player(folder, saturday_hours).season()


@contextmanager
def shared_workbench() -> Iterator[None]:
    """The commands share one open workbench, as the dashboard does: each act still reads what the one before wrote."""
    usual = Workbench.open
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Workbench, "open", staticmethod(lru_cache(maxsize=1)(usual)))
        yield


class _Player:
    def __init__(self, folder: Path, saturday_hours: float) -> None:
        self._path = folder / "orchard"
        self._hours = saturday_hours
        self._command = command_on(self._path)
        self._templates: dict[str, Template] = {one.id: one for one in load_templates(None).templates}
        self._world = MadeWorld((*older_grafts(), *new_grafts()))
        self._minutes: defaultdict[str, float] = defaultdict(float)
        self._units: Counter[str] = Counter()
        self._refused = 0
        self._undone: dict[str, set[tuple[str, str]]] = {}

    def season(self) -> SeasonPlayed:
        begin_played_orchard(self._path, self._command, self._hours)
        self._spring()
        weeks = [self._saturday(day) for day in saturdays(FIRST_DAY, LAST_DAY)]
        return SeasonPlayed(
            tuple(weeks),
            self._world.losses(),
            dict(self._minutes),
            dict(self._units),
            {template: len(units) for template, units in sorted(self._undone.items())},
            self._refused,
        )

    def _spring(self) -> None:
        """March and April: everything that the week asks is done, and the grafts are set on their days."""
        for day in saturdays(BROUGHT_ON, FIRST_DAY):
            grafted = [graft for graft in new_grafts() if graft.set_on == day]
            if grafted:
                bring_grafts(self._path, self._command, grafted, day)
            week = self._week(day)
            for line in in_list_order(week, ""):
                asked = self._asked(line, week)
                self._tick([one for one in asked if self._templates[one.template].part != "grafting"], day)

    def _saturday(self, day: date) -> WeekPlayed:
        week = self._week(day)
        order = lines_of(week, self._command("week", "--on", day.isoformat()))
        asked = self._in_order([one for line in order for one in self._asked(line, week)], week)
        self._note_undone(week, day)
        done, spent = in_the_hour([self._as_found(one, day) for one in asked], self._hours * 60)
        self._tick(done, day)
        for one in done:
            self._minutes[one.template] += one.minutes
            self._units[one.template] += 1
        return WeekPlayed(
            day,
            len(order),
            sum(not line.get("can_wait", False) for line in order),
            sum(is_pressing(line) for line in order),
            order[0]["title"] if order else "",
            spent,
            _minutes_of(asked),
            tuple(line["key"] for line in order),
            tuple(dict.fromkeys(one.key for one in done)),
        )

    def _in_order(self, asked: list[Asked], _: Shape) -> list[Asked]:
        """The units as the list has them."""
        return asked

    def _as_found(self, one: Asked, day: date) -> Asked:
        """With the minutes of a look alone, where no more is to be done at it yet."""
        if self._found(one, day) in ONLY_LOOKED:
            return replace(one, minutes=min(one.minutes, LOOK_MINUTES))
        return one

    def _found(self, one: Asked, day: date) -> str:
        return self._world.found(one.template, one.unit, day, tuple(self._templates[one.template].outcomes))

    def _week(self, day: date) -> Shape:
        week: Shape = json.loads(self._command("week", "--json", "--on", day.isoformat()))
        return week

    def _asked(self, line: Shape, week: Shape) -> list[Asked]:
        """The units of a line, a job or a visit, that are done now, with the minutes of each."""
        if "tasks" not in line:
            return self._units_of(line, line["key"], self._setup(line))
        tasks = [task for key in line["tasks"] for task in week["tasks"] if task["key"] == key]
        setup = max(map(self._setup, tasks), default=0.0)
        return [one for task in tasks for one in self._units_of(task, line["key"], setup)]

    def _setup(self, task: Shape) -> float:
        """The minutes for which a job is set up: those of its rule, unless it asks for less in all."""
        asked: float = task["minutes"]
        return min(self._templates[task["template"]].effort.setup_minutes, asked)

    def _units_of(self, task: Shape, line: str, setup_minutes: float) -> list[Asked]:
        """The units that are due; of a round that comes this week, and stands in a visit that is made now, all."""
        is_round = task["state"] == "coming" and self._templates[task["template"]].repeats is not None
        due = [unit for unit in task["units"] if unit["state"] in DUE or (is_round and unit["state"] == "coming")]
        if not due:
            return []
        each = (task["minutes"] - self._setup(task)) / len(due)
        return [Asked(task["key"], task["template"], unit["id"], line, each, setup_minutes) for unit in due]

    def _tick(self, asked: Sequence[Asked], day: date) -> None:
        found: dict[tuple[str, str, str], list[str]] = {}
        for one in asked:
            found.setdefault((one.key, one.template, self._found(one, day)), []).append(one.unit)
        for (key, template, outcome), units in found.items():
            units = [unit for unit in units if not self._world.is_removed(unit)]
            if not units:
                continue
            self._tick_or_note_refusal(key, units, outcome, day)
            for unit in units:
                self._world.done(template, unit, day, outcome)

    def _tick_or_note_refusal(self, key: str, units: Sequence[str], outcome: str, day: date) -> None:
        """The paper of the morning is worked down, so a line may ask for units that an act further up took from it."""
        words = ("--outcome", outcome) if outcome else ()
        try:
            self._command("tick", key, *units, *words, "--on", day.isoformat())
        except AssertionError:
            if len(units) == 1:
                self._refused += 1
                return
            for unit in units:
                self._tick_or_note_refusal(key, (unit,), outcome, day)

    def _note_undone(self, week: Shape, day: date) -> None:
        last = day + timedelta(days=7) > LAST_DAY
        for task in week["tasks"]:
            for unit in task["units"]:
                if unit["state"] == "missed" or (last and unit["state"] == "late"):
                    self._undone.setdefault(task["template"], set()).add((unit.get("task", task["key"]), unit["id"]))


def saturdays(first: date, last: date) -> Iterator[date]:
    """Every Saturday from the first day on, before or on the last."""
    day = first + timedelta(days=(5 - first.weekday()) % 7)
    while day <= last:
        yield day
        day += timedelta(days=7)


def lines_of(week: Shape, text: str) -> list[Shape]:
    """The lines that somebody can work on, visits where the week has them and jobs where not, as they stand in the
    printed week."""
    return [line for line in in_list_order(week, text) if line["state"] in DUE]


def in_list_order(week: Shape, text: str) -> list[Shape]:
    """All lines of the week. Those whose key the printed week does not name keep the order of the JSON, at the end."""
    lines = week.get("visits") or week["tasks"]
    places = {word: place for place, word in reversed([*enumerate(re.findall(r"[\w-]+/\S+", text))])}
    due = [line for line in lines if line["state"] in DUE]
    return sorted(due, key=lambda line: places.get(line["key"], len(places)))


def is_pressing(line: Shape) -> bool:
    """Whether a line is late or closes, and more than little is lost by it: what must not wait for another week."""
    return line["state"] in ("late", "closing") and line["stake"] != LITTLE_MATTERS


def _minutes_of(asked: Sequence[Asked]) -> float:
    """Of all units together, where each line is set up once."""
    setups = {one.line: one.setup_minutes for one in asked}
    return sum(one.minutes for one in asked) + sum(setups.values())


def in_the_hour(asked: Sequence[Asked], minutes: float) -> tuple[list[Asked], float]:
    """The units from the top that fit, and the minutes that they took. What is longer than the hour takes all of it."""
    done: list[Asked] = []
    for one in asked:
        if done and _minutes_of([*done, one]) > minutes + 1e-6:
            break
        done.append(one)
    return done, min(minutes, _minutes_of(done))


def report(season: SeasonPlayed) -> str:
    """The played season as a table, week by week, and what it cost."""
    rows = ["  day         lines  no wait  pressing  asked min  done min  on top"]
    rows += [
        f"  {week.day}  {week.lines:5}  {week.above_can_wait:7}  {week.pressing:8}  {week.asked_minutes:9.0f}"
        f"  {week.minutes:8.0f}  {week.top}"
        for week in season.weeks
    ]
    count = len(season.weeks)
    lines = [week.lines for week in season.weeks]
    pressing = [week.pressing for week in season.weeks]
    rows += [
        "",
        f"lines a week: {max(lines)} at most, {sum(lines) / count:.1f} on the mean",
        f"of them above what can wait: {max(week.above_can_wait for week in season.weeks)} at most",
        f"of them pressing: {max(pressing)} at most, {sum(pressing) / count:.1f} on the mean",
        f"hours spent: {season.hours:.1f}",
        f"ticks refused since an earlier one of that morning took the unit out of its job: {season.refused}",
        f"lost, grafts and limbs: {len(season.losses.lost)}",
        *(f"  {name.replace('_', ' ')}: {len(ids)}  {' '.join(ids)}" for name, ids in season.losses._asdict().items()),
        "units that were left undone, by template:",
        *(f"  {number:4}  {template}" for template, number in _most_first(season.undone)),
        "minutes spent (without setting up), units, by template:",
        *(
            f"  {minutes:5.0f}  {season.units_by_template[template]:4}  {template}"
            for template, minutes in _most_first(season.minutes_by_template)
        ),
    ]
    return "\n".join(rows)


def _most_first(counts: Mapping[str, float]) -> list[tuple[str, Any]]:
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))


if __name__ == "__main__":
    with TemporaryDirectory() as empty:
        print(report(play(Path(empty), float(sys.argv[1]) if len(sys.argv) > 1 else 1.0)))
