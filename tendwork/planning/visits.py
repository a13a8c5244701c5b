"""Visits: the jobs that one walk with one kit does, which stand as one line.

A rule says with what it is done: jobs with the same `visit` on one tree are one visit, and one whose name ends in
"walk" takes in all trees. They stay jobs with keys of their own, whose units are ticked one by one. Only what can be
done on one day is joined: windows must meet, and what is held back, put off, done or missed stands with its like. A
round of a repeating job that comes this week is done with a visit that is made before: nothing speaks against it. And
a chore of a walk is done at all its trees at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from itertools import count

from msgspec import Struct

from tendwork.errors import PersonError
from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.results import ALOFT, Caution, Task, TaskState, each_once
from tendwork.planning.states import HELD, TO_DO
from tendwork.planning.urgency import CAN_WAIT, NO_TIME, PUT_OFF, Urgency, place_of, urgency
from tendwork.planning.vocabulary import GRAVE, Stake, stake_rank

WALK = "walk"
_SITE = "site"
_NOW = "now"
_COMING = "coming"


class Visit(Struct, frozen=True):
    """One line of work: its `parts`, the most pressing first. A job that is joined with no other has its own key."""

    key: str
    parts: tuple[Task, ...]

    @property
    def first(self) -> Task:
        """The most pressing of its jobs."""
        return self.parts[0]

    @property
    def state(self) -> TaskState:
        """That of its most pressing job."""
        return self.first.state

    @property
    def now(self) -> tuple[Task, ...]:
        """The jobs that it is about today: where something is to do, no other that comes but rounds of this week."""
        if self.state == _COMING:
            return self.parts
        return tuple(part for part in self.parts if part.state != _COMING or _is_round(part))

    @property
    def stake(self) -> Stake | None:
        """The worst that is at stake in what is to do now."""
        return min((part.stake for part in self.now), key=stake_rank)

    @property
    def subject(self) -> str:
        """The tree, or the site where it is about several."""
        return self.first.subject if len({part.subject for part in self.parts}) == 1 else _SITE

    @property
    def is_walk(self) -> bool:
        """Whether it joins the jobs of all trees."""
        return is_walk(self.first.visit)

    @property
    def minutes(self) -> float:
        """Setting up once, and the work of what is to do now."""
        at_work = [part for part in self.now if part.minutes]
        setup = max((part.setup_minutes for part in at_work), default=0.0)
        return setup + sum(part.minutes - part.setup_minutes for part in at_work)

    @property
    def opens(self) -> date:
        """When the first of what is to do now opened."""
        return min(part.window.opens for part in self.now)

    @property
    def closes(self) -> date:
        """When its most pressing job closes."""
        return self.first.window.closes

    @property
    def days(self) -> tuple[tuple[date, float], ...]:
        """The days on which its jobs are placed, with the minutes of each."""
        found: dict[date, float] = {}
        for part in self.parts:
            for day, minutes in part.days:
                found[day] = found.get(day, 0.0) + minutes
        return tuple(sorted(found.items()))

    @property
    def tools(self) -> tuple[str, ...]:
        """All that it takes, each once."""
        return tuple(dict.fromkeys(tool for part in self.parts for tool in part.tools))

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """All its cautions, each once: those of work above reach first, whichever job asks for them."""
        found = each_once(caution for part in self.parts for caution in part.cautions)
        return tuple(sorted(found, key=lambda one: ALOFT.index(one.card) if one.card in ALOFT else len(ALOFT)))

    @property
    def urgency(self) -> Urgency:
        """Where it stands among others."""
        return urgency(self.first)


def is_walk(name: str) -> bool:
    """Whether visits of this name join the jobs of all trees."""
    return name.endswith(WALK)


def visits_of(tasks: Iterable[Task], today: date) -> tuple[Visit, ...]:
    """All these tasks as visits, the most pressing first; each task is in one of them.

    A key is the visit's name and the tree's id, or "site": "aftercare/t1"; a second of the tree is "aftercare/t1.2".
    """
    found: list[list[Task]] = []
    at: dict[tuple[str, ...], list[list[Task]]] = {}
    chores: dict[str, list[Task]] = {}  # the walk in which a chore is done at the most pressing of its trees
    for task in sorted(tasks, key=urgency):
        if not task.visit or (task.state == "missed" and task.stake in GRAVE):  # what was lost is told of each job
            found.append([task])
            continue
        like = at.setdefault(_like(task), [])
        is_chore = is_walk(task.visit) and _kind(task) in (_NOW, NO_TIME, CAN_WAIT)
        joined = chores.get(task.template) if is_chore else None
        if joined is None:
            joined = next((parts for parts in like if _meet([*parts, task], today)), None)
        if joined is None:
            joined = []
            like.append(joined)
            found.append(joined)
        joined.append(task)
        if is_chore:
            chores.setdefault(task.template, joined)
    numbers: dict[str, count[int]] = {}
    return tuple(Visit(_key(parts, numbers), tuple(parts)) for parts in found)


def parts_named(visit: Visit, words: Sequence[str]) -> tuple[Task, ...]:
    """The parts of a visit that these words name: by key, by rule, or by tree. Raises PersonError for any other."""
    chosen: list[Task] = []
    for word in words:
        meant = [part for part in visit.parts if word in (part.key, part.template, part.subject)]
        if not meant:
            named = ", ".join(dict.fromkeys(part.template for part in visit.parts))
            raise PersonError(f'{visit.key} has no part "{word}". It has {named}.')
        chosen += meant
    return tuple(dict.fromkeys(chosen))


def _key(parts: Sequence[Task], numbers: dict[str, count[int]]) -> str:
    first = parts[0]
    if len(parts) == 1:
        return first.key
    name = f"{first.visit}/{_SITE if is_walk(first.visit) else first.subject}"
    number = next(numbers.setdefault(name, count(1)))
    return name if number == 1 else f"{name}.{number}"


def _like(task: Task) -> tuple[str, ...]:
    """What jobs of one visit have in common."""
    kind = _kind(task)
    day = "" if task.put_off is None or kind != PUT_OFF else task.put_off.isoformat()
    return kind, day, task.visit, "" if is_walk(task.visit) else task.subject


def _kind(task: Task) -> str:
    """What sort of line a job stands in."""
    place = place_of(task)
    if task.no_time:
        return NO_TIME
    return place if task.state not in TO_DO or place in (PUT_OFF, HELD, CAN_WAIT, "waiting") else _NOW


def _is_round(task: Task) -> bool:
    """Whether it is a round, not due yet, of a job that comes again and again."""
    return task.rounds > 1 and task.state == _COMING


def _meet(tasks: Sequence[Task], today: date) -> bool:
    """Whether there is a day on which all of them can be done; what is not to do this week needs none."""
    last = today + timedelta(days=WEEK_DAYS - 1)
    to_do = [task.window for task in tasks if task.state in TO_DO and not (_is_round(task) or task.window.opens > last)]
    if not to_do:
        return True
    opens = max(today, *(window.opens for window in to_do))
    return all(opens <= (window.closes if today <= window.closes else window.worth_until) for window in to_do)
