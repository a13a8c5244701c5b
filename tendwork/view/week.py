"""The week as rows in groups of urgency, and the next job in one sentence: what Morning and `tendwork week` show.

The one place where jobs are put in order. What is late or closes is pressing: it stands by what is at stake, the worst
first, and with the same at stake by the days that are left for it. Everything else keeps the order of its window.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from operator import itemgetter

from msgspec import Struct

from tendwork.orchard.wording import listed
from tendwork.planning.results import Task, TaskState
from tendwork.planning.states import ACTIONABLE, FINISHED, HELD, TO_DO, units_to_tick
from tendwork.planning.vocabulary import STAKES, stake_rank
from tendwork.view.stake_words import STAKE_WORDS, loss_words, lost_sentences
from tendwork.view.text import plain
from tendwork.view.words import counted, format_day, minutes_words, until_short, until_words

PUT_OFF, HELD_BACK = "Put off", "Held back"
PRESSING = tuple(f"Pressing: {STAKE_WORDS[stake]}" for stake in STAKES)
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    *((name, ()) for name in PRESSING),
    ("Open now", ("open",)),
    ("Waiting for weather", ("waiting",)),
    (HELD_BACK, (HELD,)),
    ("Coming this week", ("coming",)),
    (PUT_OFF, ()),
    ("Done this week", ("done", "skipped")),
    ("Missed", ("missed",)),
)
_IDLE = {"waiting": "waits for weather", HELD: "is held back"}


class WeekRow(Struct, frozen=True):
    """One job as a line: every text in it is safe to show. `done` of `total` units are ticked, `due` are to do now.

    `put_off` says that the person left it for a later day, `held_by` why it must not be done yet, `beside` what is
    barred though the job is not, and which trees come last.
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
    """The jobs of one urgency, the most pressing first."""

    name: str
    rows: tuple[WeekRow, ...]


def matching(tasks: Iterable[Task], words: str) -> tuple[Task, ...]:
    """The jobs that have all of these words in title, place, part, units or key; all jobs where there is no word."""
    wanted = words.casefold().split()
    return tuple(task for task in tasks if all(word in _haystack(task) for word in wanted))


def _haystack(task: Task) -> str:
    labels = " ".join(unit.label for unit in task.units)
    return f"{task.title} {task.place} {task.part} {task.key} {labels}".casefold()


def week_groups(tasks: Iterable[Task], today: date) -> tuple[Group, ...]:
    """The jobs by urgency; a group without a job is left out."""
    return tuple(
        Group(name, tuple(row_of(task, today) for task in sorted(held, key=_soonest_first)))
        for name, held in _tasks_by_group(tasks).items()
        if held
    )


def _tasks_by_group(tasks: Iterable[Task]) -> dict[str, list[Task]]:
    found: dict[str, list[Task]] = {name: [] for name, _ in GROUPS}
    for task in tasks:
        found[group_of(task)].append(task)
    return found


def group_of(task: Task) -> str:
    """The group in which a job stands."""
    if task.put_off is not None and task.state in TO_DO:
        return PUT_OFF
    if task.state in ("late", "closing"):
        return PRESSING[stake_rank(task.stake)]
    return next(name for name, states in GROUPS if task.state in states)


def urgency(task: Task) -> tuple[int, int, date, date, str]:
    """A key that sorts jobs as they stand in the groups, the most pressing first."""
    return list(map(itemgetter(0), GROUPS)).index(group_of(task)), *_soonest_first(task)


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
    for name, held in _tasks_by_group(tasks).items():
        task = min(held, key=_soonest_first, default=None)
        if task is None:
            continue
        first = row_of(task, today)
        if name == PUT_OFF:
            return f"Nothing to do today; {first.title}, {first.where}, was put off {first.until}."
        if first.state in ("late", "closing", "open"):
            return job_sentence(task, today)
        idle += [_IDLE[first.state]] if first.state in _IDLE else []
        if first.state == "coming":
            return f"{_idle_words(idle)}; next comes {_coming_words(first)}."
    if idle:
        return f"{_idle_words(idle)}."
    done = any(task.state == "done" for task in tasks)
    begins = "All of this week's work is done" if done else "Nothing to do this week"
    return f"{begins}." if following is None else f"{begins}; next comes {_coming_words(row_of(following, today))}."


def _idle_words(but: list[str]) -> str:
    return f"Nothing for today but what {' or '.join(but)}" if but else "Nothing to do today"


def _coming_words(row: WeekRow) -> str:
    return f"{row.title}, {row.where}, {row.until}"


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


def to_do_words(tasks: Iterable[Task]) -> str:
    """How much there is to do now: "5 jobs, 2 h 10", or "nothing"."""
    actionable = [task for task in tasks if task.state in ACTIONABLE and task.put_off is None]
    if not actionable:
        return "nothing"
    return f"{counted(len(actionable), 'job')}, {minutes_words(sum(task.minutes for task in actionable))}"


def _soonest_first(task: Task) -> tuple[int, date, date, str]:
    """What was missed goes by what it cost, and a lost job before what was missed for less."""
    if task.state == "coming":
        return 0, task.window.opens, task.window.closes, task.key
    if task.state == "missed":
        return stake_rank(task.stake), task.window.lapses, task.window.closes, task.key
    if task.state == "late":
        return 0, task.window.lapses, task.window.closes, task.key
    return 0, task.window.closes, task.window.lapses, task.key
