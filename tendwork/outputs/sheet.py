"""The week on paper: day by day, a box to tick for each job and each unit, what to carry, where, and the cautions.

Paper does not change with the days, so it never says "2 days left": every date on it is absolute.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta

from msgspec import Struct

from tendwork.outputs.caution import GENERAL_CAUTION
from tendwork.planning.results import NOT_FROM_A_LADDER, Task, Unit, WrapOn
from tendwork.planning.states import ACTIONABLE, HELD, TO_DO, units_to_tick
from tendwork.planning.vocabulary import Card
from tendwork.planning.week import WEEK_DAYS
from tendwork.view.job import cards_of, caution_lines, height_words
from tendwork.view.text import plain
from tendwork.view.week import beside_sentences, held_words, urgency, where_words
from tendwork.view.words import counted, format_day, full_day, in_units, minutes_words
from tendwork.view.wraps import wraps_of_trees, wraps_sentence

_DONE_ONLY = ("done",)
_HOW = "Tick what is done; of words beside a box, circle the one that fits."
_DISTANCE_OUT = re.compile(r"(?<= up), [\d.]+ (?:m|ft) out")


class UnitBox(Struct, frozen=True):
    """One unit with a box of its own: its label with its id, how high and which way it hangs, outcomes to circle."""

    label: str
    place: str
    outcomes: str

    @property
    def words(self) -> str:
        """What stands behind the box, without the outcomes."""
        return f"{self.label}, {self.place}" if self.place else self.label


class Job(Struct, frozen=True):
    """One job on one day, with the units that are planned on it; every text in it is safe to show.

    `notes` are (word, text); `caution` is empty where the job has none. A job that is held back has no `box` to tick.
    """

    key: str
    title: str
    where: str
    by: str
    amount: str
    units: tuple[UnitBox, ...]
    notes: tuple[tuple[str, str], ...]
    caution: str
    box: bool = True


class Day(Struct, frozen=True):
    """One day's jobs in the order of the walk, all tools that they need, and what its weather asks for all of them."""

    name: str
    amount: str
    carry: tuple[str, ...]
    jobs: tuple[Job, ...]
    mind: tuple[str, ...] = ()


class Sheet(Struct, frozen=True):
    """The whole page. The last of `days` may be the jobs that no day has room for, and then those held back.

    `cautions` are (title, line); `how` says what to do with a pen where that is more than to tick; `wraps` are (tree,
    its wraps that are still on).
    """

    site_name: str
    span: str
    amount: str
    days: tuple[Day, ...]
    cautions: tuple[tuple[str, str], ...]
    how: str = ""
    wraps_said: str = ""
    wraps: tuple[tuple[str, str], ...] = ()
    general: str = GENERAL_CAUTION


def sheet_of(
    week: Iterable[Task],
    today: date,
    cards: Mapping[str, Card],
    site_name: str,
    units: str = "metric",
    wraps: Sequence[WrapOn] = (),
) -> Sheet:
    """The sheet of the week's jobs that are still to do, each on every day that it is placed on."""
    last = today + timedelta(days=WEEK_DAYS - 1)
    due = [task for task in week if task.state in TO_DO and (task.put_off is None or task.put_off <= last)]
    tasks = [task for task in due if task.state != HELD]
    held = tuple(_held_job(task, today) for task in due if task.state == HELD)
    placed = sorted({day for task in tasks for day, _ in task.days})
    groups: list[tuple[str, date | None, list[Task]]] = [
        *((format_day(day, today), day, [task for task in tasks if day in _days(task)]) for day in placed),
        ("No day has room for these", None, [task for task in tasks if not task.days]),
    ]
    can_circle = any(task.outcomes != _DONE_ONLY for task in tasks)
    return Sheet(
        site_name=plain(site_name),
        span=f"{full_day(today)} to {full_day(last)}",
        amount=_amount(tasks, None) if tasks else "Nothing to do this week.",
        days=tuple(
            Day(
                name,
                _amount(here, day),
                _carry(here, day),
                _Walk(day, today, cards, units).jobs(here),
                tuple(cards_of(here, cards, of_the_day=True)),
            )
            for name, day, here in groups
            if here
        )
        + ((Day("Held back, not to be done yet", counted(len(held), "job"), (), held),) if held else ()),
        cautions=tuple(cards_of(tasks, cards).items()),
        how=_HOW if can_circle else "",
        wraps_said=wraps_sentence(wraps, today) if wraps else "",
        wraps=wraps_of_trees(wraps, today),
    )


class _Walk:
    """Writes the jobs of one day, None where no day has room; each caution card's line is told once, then named."""

    def __init__(self, day: date | None, today: date, cards: Mapping[str, Card], units: str) -> None:
        self._day = day
        self._today = today
        self._cards = cards
        self._units = units
        self._told: set[tuple[str, str]] = set()

    def jobs(self, tasks: list[Task]) -> tuple[Job, ...]:
        """Work on one tree stands together, the tree with the most pressing job first, and sick trees last."""
        sick = {task.subject for task in tasks if task.mind and task.place}
        by_urgency = sorted(tasks, key=lambda task: (task.subject in sick, urgency(task)))
        place = {subject: number for number, subject in enumerate(dict.fromkeys(task.subject for task in by_urgency))}
        order = sorted(by_urgency, key=lambda task: place[task.subject])
        return tuple(self._job(task) for task in order)

    def _job(self, task: Task) -> Job:
        outcomes = "" if task.outcomes == _DONE_ONLY else " / ".join(map(plain, task.outcomes))
        units = tuple(self._box(unit, outcomes) for unit in _units(task, self._day) if unit.id != task.subject)
        notes: list[tuple[str, str]] = []
        if self._day is not None:
            notes += self._split_notes(task, self._day)
        if task.weather_words:
            wish = in_units(task.weather_words, self._units)
            notes.append(("Waits for" if task.state == "waiting" else "Wants", wish))
        if reason := held_words(task):
            notes.append(("Held back", reason))
        notes += [("Mind", words) for words in beside_sentences(task)]
        if outcomes and not units:
            notes.append(("Circle", outcomes))
        return Job(
            key=plain(task.key),
            title=plain(task.title),
            where=where_words(task),
            by=self._by(task),
            amount=minutes_words(_minutes(task, self._day)),
            units=units,
            notes=tuple(notes),
            caution=self._caution(task),
        )

    def _split_notes(self, task: Task, today: date) -> Iterator[tuple[str, str]]:
        """On which other days the job is done, and once, on its first day, what of it has no day though it is due."""
        days = _days(task)
        before, after = [day for day in days if day < today], [day for day in days if day > today]
        for word, others in (("Goes on from", before), ("Goes on", after)):
            if others:
                yield word, ", ".join(format_day(day, self._today) for day in others)
        left = [unit for unit in units_to_tick(task) if unit.planned is None and unit.state in ACTIONABLE]
        named = ", ".join(_label(unit) for unit in left if unit.id != task.subject)
        if named and not before:
            yield "No day has room for", named

    def _caution(self, task: Task) -> str:
        """The line of the first card that this day has not told yet; before and after it the names of the others.

        They stand in the order of harm, so that a job never begins with its least danger.
        """
        cautions = caution_lines(task, self._cards, own=True)
        if not cautions:
            return ""
        fresh = next((number for number, caution in enumerate(cautions) if caution not in self._told), None)
        if fresh is None:
            return f"{', '.join(title for title, _ in cautions)}, as above"
        self._told.add(cautions[fresh])
        before, after = ([title for title, _ in part] for part in (cautions[:fresh], cautions[fresh + 1 :]))
        words = [f"{', '.join(before)}, as above."] if before else []
        return " ".join([*words, cautions[fresh][1], *([f"Also: {', '.join(after)}."] if after else [])])

    def _box(self, unit: Unit, outcomes: str) -> UnitBox:
        place = _DISTANCE_OUT.sub("", in_units(plain(unit.place), self._units))
        parts = [part for part in (place, height_words(unit)) if part]
        return UnitBox(_label(unit), ", ".join(parts), outcomes)

    def _by(self, task: Task) -> str:
        if task.state == "late":
            if task.window.stays:
                return f"late since {format_day(task.window.closes, self._today)}"
            return f"late, by {format_day(task.window.lapses, self._today)}"
        return f"by {format_day(task.window.closes, self._today)}"


def _held_job(task: Task, today: date) -> Job:
    """A job that is held back, with the reason in the place of a box; on paper its day is that of the reason."""
    reason = [("Held back", held_words(task))]
    days = [unit.held_until for unit in task.units if unit.held_until is not None]
    by = f"not before {format_day(min(days), today)}" if days else ""
    return Job(plain(task.key), plain(task.title), where_words(task), by, "", (), tuple(reason), "", box=False)


def _label(unit: Unit) -> str:
    return f"{plain(unit.label)} ({plain(unit.id)})"


def _units(task: Task, day: date | None) -> tuple[Unit, ...]:
    """The units that are planned on `day`; all that are to do where `day` is None."""
    if day is None:
        return units_to_tick(task)
    return tuple(unit for unit in task.units if unit.planned == day and unit.state in TO_DO)


def _days(task: Task) -> list[date]:
    return sorted({day for day, _ in task.days})


def _minutes(task: Task, day: date | None) -> float:
    """Its minutes on `day`; all of them where `day` is None."""
    if not task.days:
        return task.minutes
    return sum(minutes for placed, minutes in task.days if day in (None, placed))


def _amount(tasks: list[Task], day: date | None) -> str:
    return f"{counted(len(tasks), 'job')}, {minutes_words(sum(_minutes(task, day) for task in tasks))}"


def _carry(tasks: list[Task], day: date | None) -> tuple[str, ...]:
    from_ladders = [task for task in tasks if not {one.card for one in task.cautions} & {*NOT_FROM_A_LADDER}]
    ladder = any(unit.above_reach for task in from_ladders for unit in _units(task, day))
    tools = dict.fromkeys(plain(tool) for task in tasks for tool in task.tools)
    return (*(("ladder",) if ladder else ()), *tools)
