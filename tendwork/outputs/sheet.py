"""The week on paper: day by day its visits, a box to tick for each job and each unit, what to carry, and the cautions.

A visit of several jobs has one heading, its minutes together and its cautions once; tools are said once for the day,
since they are fetched once. A walk has each chore once, with a box for each tree.

Paper does not change with the days, so it never says "2 days left": every date on it is absolute.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta

from msgspec import Struct
from msgspec.structs import replace

from tendwork.outputs.caution import GENERAL_CAUTION
from tendwork.planning.results import NOT_FROM_A_LADDER, Task, Unit, WrapOn
from tendwork.planning.states import ACTIONABLE, HELD, TO_DO, units_to_tick
from tendwork.planning.urgency import urgency
from tendwork.planning.visits import Visit, visits_of
from tendwork.planning.vocabulary import Card
from tendwork.planning.week import WEEK_DAYS
from tendwork.view.days import day_visits
from tendwork.view.job import cards_of, caution_lines, height_words
from tendwork.view.stake_words import loss_words
from tendwork.view.text import plain
from tendwork.view.week import beside_sentences, held_words, short_where, where_words
from tendwork.view.words import counted, format_day, full_day, in_units, minutes_words
from tendwork.view.wraps import wraps_of_trees, wraps_sentence

_DONE_ONLY = ("done",)
_HOW = "Tick what is done; of words beside a box, circle the one that fits."
Visits = Sequence[tuple[Visit, float]]
"""What of each visit is done on one day, with its minutes."""

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

    `loss` follows "or" where the job is late or closing. `notes` are (word, text); `caution` is empty where the job has
    none. A job that is held back has no `box` to tick. A visit of several jobs is a heading without a box over its
    `parts`, which have neither minutes nor cautions of their own: those are said once.
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
    loss: str = ""
    parts: tuple[Job, ...] = ()

    @property
    def heading(self) -> str:
        """What is done and where, in one line."""
        return ", ".join(filter(None, (self.title, self.where)))


class Day(Struct, frozen=True):
    """One day's visits in the order of the walk, all tools that they need, and what its weather asks for all of them.

    A job that is done alone is a visit too.
    """

    name: str
    amount: str
    carry: tuple[str, ...]
    jobs: tuple[Job, ...]
    mind: tuple[str, ...] = ()


class Sheet(Struct, frozen=True):
    """The whole page. The last of `days` may be the jobs that no day has room for, and then those held back.

    `mind` is what the weather of all days asks; `cautions` are (title, line); `how` says what to do with a pen where
    that is more than to tick; `wraps` are (tree, its wraps that are still on).
    """

    site_name: str
    span: str
    amount: str
    days: tuple[Day, ...]
    cautions: tuple[tuple[str, str], ...]
    how: str = ""
    wraps_said: str = ""
    wraps: tuple[tuple[str, str], ...] = ()
    mind: tuple[str, ...] = ()
    general: str = GENERAL_CAUTION


def sheet_of(
    week: Iterable[Task],
    today: date,
    cards: Mapping[str, Card],
    site_name: str,
    units: str = "metric",
    wraps: Sequence[WrapOn] = (),
) -> Sheet:
    """The sheet of the week's jobs that are still to do, each on every day that it is placed on.

    What the week only foretells, since it opens later, is not on it: no day has too little room for it.
    """
    last = today + timedelta(days=WEEK_DAYS - 1)
    due = [task for task in week if task.state in TO_DO and max(task.window.opens, task.put_off or today) <= last]
    tasks = [task for task in due if task.state != HELD]
    held = visits_of((task for task in due if task.state == HELD), today)
    placed = sorted({day for task in tasks for day, _ in task.days})
    groups: list[tuple[str, date | None, Visits]] = [
        *((format_day(day, today), day, day_visits(tasks, today, day)) for day in placed),
        ("No day has room for these", None, _without_a_day(tasks, today)),
    ]
    minutes = sum(minutes for _, _, here in groups for _, minutes in here)
    days = [_day(name, here, _Walk(day, today, cards, units)) for name, day, here in groups if here]
    mind = days[0].mind if len(days) > 1 and len({frozenset(day.mind) for day in days}) == 1 else ()
    can_circle = any(task.outcomes != _DONE_ONLY for task in tasks)
    return Sheet(
        site_name=plain(site_name),
        span=f"{full_day(today)} to {full_day(last)}",
        amount=_amount(visits_of(tasks, today), minutes) if tasks else "Nothing to do this week.",
        days=(
            *(replace(day, mind=()) if mind else day for day in days),
            *((_held_day(held, today),) if held else ()),
        ),
        cautions=tuple(cards_of(tasks, cards).items()),
        how=_HOW if can_circle else "",
        wraps_said=wraps_sentence(wraps, today) if wraps else "",
        wraps=wraps_of_trees(wraps, today),
        mind=mind,
    )


def _without_a_day(tasks: Iterable[Task], today: date) -> Visits:
    """What of each visit no day has room for, with the minutes that it would take."""
    found = []
    for visit in visits_of(tasks, today):
        left = tuple(part for part in visit.parts if not part.days)
        if left:
            work = sum(max(0.0, part.minutes - part.setup_minutes) for part in left)
            setup = max(min(part.minutes, part.setup_minutes) for part in left)
            found.append((replace(visit, parts=left), setup + work))
    return tuple(found)


def _day(name: str, visits: Visits, walk: _Walk) -> Day:
    tasks = [part for visit, _ in visits for part in visit.parts]
    amount = _amount([visit for visit, _ in visits], sum(minutes for _, minutes in visits))
    in_the_weather = tuple(cards_of(tasks, walk.cards, of_the_day=True))
    return Day(name, amount, _carry(tasks, walk.day), walk.jobs(visits), in_the_weather)


def _held_day(visits: Sequence[Visit], today: date) -> Day:
    jobs = tuple(_together(visit, [_held_job(task, today) for task in visit.parts]) for visit in visits)
    return Day("Held back, not to be done yet", _amount(visits), (), jobs)


class _Walk:
    """Writes the visits of one day, None where no day has room; each caution's line is told once, then named."""

    def __init__(self, day: date | None, today: date, cards: Mapping[str, Card], units: str) -> None:
        self.day = day
        self.cards = cards
        self._today = today
        self._units = units
        self._told: set[tuple[str, str]] = set()

    def jobs(self, visits: Visits) -> tuple[Job, ...]:
        """Visits to one tree stand together, the tree with the most pressing job first, and sick trees last."""
        sick = {part.subject for visit, _ in visits for part in visit.parts if part.mind and part.place}
        by_urgency = sorted(visits, key=lambda found: (found[0].subject in sick, found[0].urgency))
        subjects = dict.fromkeys(visit.subject for visit, _ in by_urgency)
        place = {subject: number for number, subject in enumerate(subjects)}
        order = sorted(by_urgency, key=lambda found: place[found[0].subject])
        return tuple(self._visit(visit, minutes, sick) for visit, minutes in order)

    def _visit(self, visit: Visit, minutes: float, sick: Container[str]) -> Job:
        rows = [sorted(row, key=lambda task: task.subject in sick) for row in _rows(visit)]
        parts = [self._job(row, len({part.subject for part in visit.parts}) > 1) for row in rows]
        return replace(_together(visit, parts), amount=minutes_words(minutes), caution=self._caution(visit))

    def _job(self, tasks: Sequence[Task], of_trees: bool) -> Job:
        """One job, or the same one of several trees, each of which has a box."""
        first = min(tasks, key=urgency)
        outcomes = "" if first.outcomes == _DONE_ONLY else " / ".join(map(plain, first.outcomes))
        boxes = self._tree_boxes if of_trees else self._unit_boxes
        units = tuple(box for task in tasks for box in boxes(task, outcomes))
        notes = [note for task in tasks for note in self._notes(task)]
        if outcomes and not units:
            notes.append(("Circle", outcomes))
        return Job(
            key=", ".join(plain(task.key) for task in tasks),
            title=plain(first.title),
            where="" if of_trees else where_words(first),
            by=self._by(first),
            amount="",
            units=units,
            notes=tuple(dict.fromkeys(notes)),
            caution="",
            loss=loss_words(first.loss) if first.state in ("late", "closing") else "",
        )

    def _notes(self, task: Task) -> Iterator[tuple[str, str]]:
        if self.day is not None:
            yield from self._split_notes(task, self.day)
        if task.weather_words:
            wish = in_units(task.weather_words, self._units)
            yield ("Waits for" if task.state == "waiting" else "Wants"), wish
        if reason := held_words(task):
            yield "Held back", reason
        for words in beside_sentences(task):
            yield "Mind", words

    def _unit_boxes(self, task: Task, outcomes: str) -> Iterator[UnitBox]:
        """One for each unit, but for the tree itself: that is the job's own box."""
        return (self._box(unit, outcomes) for unit in _units(task, self.day) if unit.id != task.subject)

    def _tree_boxes(self, task: Task, outcomes: str) -> Iterator[UnitBox]:
        """One for the tree, which names its grafts with their places; one for each where a tick says too little."""
        units = _units(task, self.day)
        own = [unit for unit in units if unit.id != task.subject]
        if not own:
            yield UnitBox(_label(units[0]) if units else short_where(task), "", outcomes)
        elif not task.default_outcome:
            for box in self._unit_boxes(task, outcomes):
                yield replace(box, place=", ".join(filter(None, (short_where(task), box.place))))
        else:
            named = [", ".join(filter(None, (_label(unit), self._place(unit)))) for unit in own]
            joined = "; " if any(unit.place for unit in own) else ", "
            yield UnitBox(f"{short_where(task)}: {joined.join(named)}", "", outcomes)

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

    def _caution(self, visit: Visit) -> str:
        """The line of the first card that this day has not told yet; before and after it the names of the others.

        They stand in the order of harm, so that a visit never begins with its least danger.
        """
        cautions = caution_lines(visit, self.cards, own=True)
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
        parts = [part for part in (self._place(unit), height_words(unit)) if part]
        return UnitBox(_label(unit), ", ".join(parts), outcomes)

    def _place(self, unit: Unit) -> str:
        """Where to look for it in the crown: how high, and on which side."""
        return _DISTANCE_OUT.sub("", in_units(plain(unit.place), self._units))

    def _by(self, task: Task) -> str:
        if task.state == "late":
            if task.window.stays:
                return f"late since {format_day(task.window.closes, self._today)}"
            return f"late, by {format_day(task.window.lapses, self._today)}"
        return f"by {format_day(task.window.closes, self._today)}"


def _together(visit: Visit, jobs: Sequence[Job]) -> Job:
    """The visit as one heading over its jobs, under which stands what all of them note; a job alone is its own."""
    if len(jobs) == 1:
        return jobs[0]
    shared = tuple(note for note in jobs[0].notes if all(note in job.notes for job in jobs))
    where = where_words(visit.first) if visit.subject == visit.first.subject else "The orchard"
    parts = tuple(replace(job, where="", notes=tuple(note for note in job.notes if note not in shared)) for job in jobs)
    return Job(
        key=plain(visit.key),
        title=f"{where}: {plain(visit.first.visit).replace('-', ' ')}",
        where="",
        by="",
        amount="",
        units=(),
        notes=shared,
        caution="",
        box=False,
        parts=parts,
    )


def _rows(visit: Visit) -> list[list[Task]]:
    """The lines of a visit: its jobs, and in a walk those of one rule together."""
    if not visit.is_walk:
        return [[part] for part in visit.parts]
    by_rule: dict[str, list[Task]] = {}
    for part in visit.parts:
        by_rule.setdefault(part.template, []).append(part)
    return list(by_rule.values())


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


def _amount(visits: Sequence[Visit], minutes: float | None = None) -> str:
    """ "7 jobs in 2 visits, 1 h 12"; the visits are left out where each is of one job."""
    jobs = sum(len(_rows(visit)) for visit in visits)
    trips = f" in {counted(len(visits), 'visit')}" if jobs > len(visits) else ""
    return f"{counted(jobs, 'job')}{trips}{'' if minutes is None else f', {minutes_words(minutes)}'}"


def _carry(tasks: Sequence[Task], day: date | None) -> tuple[str, ...]:
    from_ladders = [task for task in tasks if not {one.card for one in task.cautions} & {*NOT_FROM_A_LADDER}]
    ladder = any(unit.above_reach for task in from_ladders for unit in _units(task, day))
    tools = dict.fromkeys(plain(tool) for task in tasks for tool in task.tools)
    return (*(("ladder",) if ladder else ()), *tools)
