"""The week as rows in groups of urgency, and the next job in one sentence: what Morning and `tendwork week` show.

A row is a visit: the jobs that one walk with one kit does. The order is that of planning/urgency.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.wording import listed
from tendwork.planning.results import Task, TaskState
from tendwork.planning.states import ACTIONABLE, FINISHED, HELD, TO_DO, units_to_tick
from tendwork.planning.urgency import CAN_WAIT, NO_TIME, PLACES, Place, place_of
from tendwork.planning.visits import Visit, visits_of
from tendwork.planning.vocabulary import STAKES
from tendwork.view.stake_words import STAKE_WORDS, loss_words, lost_sentences
from tendwork.view.text import plain
from tendwork.view.words import counted, format_day, minutes_words, until_short, until_words

PUT_OFF, HELD_BACK = "Put off", "Held back"
GROUPS: dict[Place, str] = {
    **{stake: f"Pressing: {STAKE_WORDS[stake]}" for stake in STAKES},
    "open": "Open now",
    NO_TIME: "No time for it this week",
    "waiting": "Waiting for weather",
    HELD: HELD_BACK,
    "coming": "Coming this week",
    CAN_WAIT: "Can wait",
    "put off": PUT_OFF,
    "finished": "Done this week",
    "missed": "Missed",
}
_IDLE = {"waiting": "waits for weather", HELD: "is held back"}


class WeekRow(Struct, frozen=True):
    """One visit as a line: every text in it is safe to show. `done` of `total` units are ticked, `due` are to do now.

    `parts` are the jobs that it joins, one line each, those of one rule together; empty for a job that stands alone.
    A part that comes `later` is not done with the visit today.

    `put_off` says that the person left it for a later day, `held_by` why it must not be done yet, `beside` what is
    barred though the job is not, and which trees come last. `tasks` are the keys of its jobs.
    """

    key: str
    state: TaskState
    title: str
    where: str
    until: str
    done: int
    total: int
    minutes: float
    put_off: bool = False
    due: int = 0
    held_by: str = ""
    beside: tuple[str, ...] = ()
    later: bool = False
    parts: tuple[WeekRow, ...] = ()
    tasks: tuple[str, ...] = ()

    @property
    def more(self) -> str:
        """What follows the title, and is never clipped: ", 2 more" where other jobs are done with it."""
        return f", {len(self.parts) - 1} more" if len(self.parts) > 1 else ""

    @property
    def amount(self) -> str:
        """How many of several units are left: "3 left", or "1 due" where the others come later; else "3 done"."""
        left = self.total - self.done
        if self.total < 2:
            return ""
        if not left:
            return f"{self.done} done"
        return f"{self.due} due" if self.state in ACTIONABLE and self.due < left else f"{left} left"


class Group(Struct, frozen=True):
    """The visits of one urgency, the most pressing first."""

    name: str
    rows: tuple[WeekRow, ...]
    place: Place


def matching(tasks: Iterable[Task], words: str) -> tuple[Task, ...]:
    """The jobs that have all of these words in title, place, part, units or key; all jobs where there is no word."""
    wanted = words.casefold().split()
    return tuple(task for task in tasks if all(word in _haystack(task) for word in wanted))


def _haystack(task: Task) -> str:
    labels = " ".join(unit.label for unit in task.units)
    return f"{task.title} {task.place} {task.part} {task.key} {labels}".casefold()


def week_groups(tasks: Iterable[Task], today: date) -> tuple[Group, ...]:
    """The visits, the most pressing first; a group without one is left out."""
    rows: dict[Place, list[WeekRow]] = {place: [] for place in PLACES}
    for visit in visits_of(tasks, today):
        rows[place_of(visit.first)].append(visit_row(visit, today))
    return tuple(Group(GROUPS[place], tuple(held), place) for place, held in rows.items() if held)


def visit_row(visit: Visit, today: date) -> WeekRow:
    """One visit as a line. It has the title of its most pressing part, and says how many others there are."""
    if len(visit.parts) == 1:
        return row_of(visit.first, today)
    by_rule: dict[str, list[Task]] = {}
    for part in visit.parts:
        by_rule.setdefault(part.template, []).append(part)
    now = {part.key for part in visit.now}
    parts = tuple(
        replace(_part_row(tasks, today), later=not any(task.key in now for task in tasks)) for tasks in by_rule.values()
    )  # setting up is said once, of the whole
    first, more = parts[0], len(parts) - 1
    return replace(
        first,
        key=visit.key,
        where=short_where(visit.first) if visit.subject == visit.first.subject else "the orchard",
        done=sum(part.done for part in parts) if not more else 0,
        total=sum(part.total for part in parts) if not more else 0,
        due=sum(part.due for part in parts) if not more else 0,
        minutes=visit.minutes,
        held_by=" ".join(dict.fromkeys(part.held_by for part in parts if part.held_by)),
        beside=tuple(dict.fromkeys(words for part in parts for words in part.beside)),
        parts=parts,
        tasks=tuple(part.key for part in visit.parts),
    )


def _part_row(tasks: list[Task], today: date) -> WeekRow:
    """The jobs of one rule in a visit as a line, without setting up: one tree's, or those of several trees."""
    rows = [replace(row_of(task, today), minutes=max(0.0, task.minutes - task.setup_minutes)) for task in tasks]
    if len(rows) == 1:
        return rows[0]
    now = [row for row in rows if row.state != "coming"] or rows
    return replace(
        rows[0],
        key=tasks[0].template,
        where=listed(list(dict.fromkeys(row.where for row in rows))),
        done=sum(row.done for row in rows),
        total=sum(row.total for row in rows),
        due=sum(row.due for row in now),
        minutes=sum(row.minutes for row in rows),
        held_by=" ".join(dict.fromkeys(row.held_by for row in rows if row.held_by)),
        beside=tuple(dict.fromkeys(words for row in rows for words in row.beside)),
        tasks=tuple(task.key for task in tasks),
    )


def row_of(task: Task, today: date) -> WeekRow:
    """One job as a line."""
    return WeekRow(
        key=task.key,
        state=task.state,
        title=plain(task.title),
        where=short_where(task),
        until=until_short(task, today) if task.put_off is None else f"to {format_day(task.put_off, today)}",
        done=sum(unit.state in FINISHED for unit in task.units),
        total=len(task.units),
        minutes=task.minutes,
        put_off=task.put_off is not None,
        due=len(units_to_tick(task)),
        held_by=held_words(task) if task.state == HELD else "",
        beside=beside_sentences(task),
        tasks=(task.key,),
    )


def held_words(task: Task) -> str:
    """Why units of a job are held back: each reason once, and of whom it is where it is not of all."""
    held = [unit for unit in task.units if unit.state == HELD]
    named: dict[str, list[str]] = {}
    for unit in held:
        named.setdefault(plain(unit.held_by), []).append(f"{plain(unit.label)} ({plain(unit.id)})")
    if len(named) < 2 and all(unit.state in (HELD, *FINISHED, "missed") for unit in task.units):
        return " ".join(named)
    return " ".join(f"{listed(labels)}: {reason}" for reason, labels in named.items())


def beside_sentences(task: Task) -> tuple[str, ...]:
    """What to know beside a job before any caution: what is barred, which trees come last, and what was lost."""
    return (*map(plain, (*task.not_now, *task.mind)), *lost_sentences(task))


def where_words(task: Task) -> str:
    """The tree's name and place, or "the orchard" for a job of the whole site."""
    return plain(task.place) or "the orchard"


def short_where(task: Task) -> str:
    """The tree's name alone, without its place."""
    only = task.units[0] if len(task.units) == 1 else None
    if only is None or only.id != task.subject:
        return where_words(task)
    with_id = f"{only.label} ({only.id})"  # so the place begins where another tree has the name too
    return plain(with_id if task.place.startswith(with_id) else only.label)


def next_sentence(tasks: tuple[Task, ...], today: date, following: Task | None = None) -> str:
    """The next job in one sentence; what is late or closing goes before what is open, and that before the weather.

    Where nothing of the week is to do, it names the job `following` it.
    """
    idle: list[str] = []
    firsts: dict[Place, Visit] = {}
    visits = visits_of(tasks, today)
    for visit in visits:
        firsts.setdefault(place_of(visit.first), visit)
    for place, visit in firsts.items():
        first = visit_row(visit, today)
        if place == "put off":
            return f"Nothing to do today; {first.title}, {first.where}, was put off {first.until}."
        if first.state in ("late", "closing", "open"):
            return visit_sentence(visit, today)
        idle += [_IDLE[first.state]] if first.state in _IDLE else []
        if first.state == "coming":
            later = sum(place_of(one.first) == CAN_WAIT for one in visits)
            return f"{_idle_words(idle, later)}; next comes {_coming_words(first)}."
    if idle:
        return f"{_idle_words(idle)}."
    done = any(task.state == "done" for task in tasks)
    begins = "All of this week's work is done" if done else "Nothing to do this week"
    return f"{begins}." if following is None else f"{begins}; next comes {_coming_words(row_of(following, today))}."


def _idle_words(but: list[str], later: int = 0) -> str:
    """That nothing is to do today but what is idle, and how many jobs can be done now but wait for a `later` week."""
    said = f"Nothing for today but what {' or '.join(but)}" if but else "Nothing to do today"
    if not later:
        return said
    return f"{said if but else 'Nothing must be done today'}, and {counted(later, 'job')} can wait"


def _coming_words(row: WeekRow) -> str:
    return f"{row.title}, {row.where}, {row.until}"


def visit_sentence(visit: Visit, today: date) -> str:
    """The visit's most pressing job in a sentence, and how much is done with it."""
    said = job_sentence(visit.first, today)
    trees = len({part.subject for part in visit.parts if part.template == visit.first.template}) - 1
    jobs = len({part.template for part in visit.parts}) - 1
    more = [counted(number, f"more {word}") for number, word in ((trees, "tree"), (jobs, "job")) if number]
    return f"{said} With it {listed(more)}, {minutes_words(visit.minutes)} in all." if more else said


def job_sentence(task: Task, today: date) -> str:
    """ "Take off tight budding rubber, Old Tom: 12 grafts, 21 min, until Thu 12 Mar, 2 days left."."""
    parts = []
    amount, units = row_of(task, today).amount, len(task.units)
    if amount:
        parts.append(f"all {units}" if amount == f"{units} left" else amount.replace(" ", f" of {units} ", 1))
    if task.minutes:
        parts.append(minutes_words(task.minutes))
    parts.append(until_short(task, today) if task.loss and task.state == "late" else until_words(task, today))
    if task.loss and task.state in TO_DO:
        parts.append(f"or {loss_words(task.loss)}")
    lost = f": {loss_words(task.loss)}" if task.loss and task.state == "missed" else ""
    return f"{plain(task.title)}, {where_words(task)}: {', '.join(parts)}{lost}."


def to_do_words(tasks: Iterable[Task], today: date) -> str:
    """How much there is to do now, beside what can wait: "5 jobs, 2 h 10", or "nothing"."""
    to_do = [one for one in visits_of(tasks, today) if one.state in ACTIONABLE and one.first.put_off is None]
    visits = [one for one in to_do if not one.first.can_wait]
    if not visits:
        return "nothing"
    return f"{counted(len(visits), 'job')}, {minutes_words(sum(visit.minutes for visit in visits))}"
