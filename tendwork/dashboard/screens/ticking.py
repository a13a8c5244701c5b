"""Ticking many units at once: gathered by what can be said of them, so that one answer serves all of a batch.

However many batches there are, they are one act once all is answered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.dashboard.screens.menu import Item, MenuScreen
from tendwork.dashboard.screens.outcome import Outcome, OutcomeScreen
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.wrap_choices import WrapChoice, to_be_set
from tendwork.orchard.wraps import NO_WRAP
from tendwork.planning.held_back import speaks_against
from tendwork.planning.results import Task, WrapOn
from tendwork.view.text import plain
from tendwork.view.words import counted
from tendwork.workbench.records_room import JobTick

if TYPE_CHECKING:
    from tendwork.dashboard.app import Dashboard

_SURE = "sure"
Marks = frozenset[tuple[str, str]]  # task key, unit id

_TITLES_NAMED = 3


class Batch(Struct, frozen=True):
    """Units of one or several jobs whose templates have the same `outcomes`, by the keys of the jobs.

    `work` is the word of a tick that needs no question, because the job has no other and it is no finding; else empty.
    """

    title: str
    labels: tuple[str, ...]
    units: tuple[tuple[str, tuple[str, ...]], ...]
    outcomes: tuple[str, ...]
    work: str = ""

    def ticks(self, outcome: Outcome) -> tuple[JobTick, ...]:
        """What is to be ticked of each job."""
        return tuple(JobTick(key, units, outcome.word, outcome.note, outcome.minutes) for key, units in self.units)


class SkipScreen(OutcomeScreen):
    """Skips; the cursor begins in the note, where the reason goes."""

    def __init__(self, title: str, labels: Sequence[str]) -> None:
        super().__init__(f"Skip: {title}", labels, ())

    def on_mount(self) -> None:
        self.call_next(self.query_one("#note").focus)  # after the screen that it is made of has gone to the outcomes


def marked_jobs(tasks: Iterable[Task], marks: Marks) -> tuple[tuple[Task, tuple[str, ...]], ...]:
    """The jobs with marked units, and those units."""
    found = ((task, tuple(unit.id for unit in task.units if (task.key, unit.id) in marks)) for task in tasks)
    return tuple((task, units) for task, units in found if units)


def batch_of(jobs: Sequence[tuple[Task, tuple[str, ...]]], outcomes: tuple[str, ...] = (), work: str = "") -> Batch:
    """Units of jobs as one batch; it has the title of the job, or says how many there are."""
    titles = dict.fromkeys(plain(task.title) for task, _ in jobs)
    return Batch(
        " and ".join(titles) if len(titles) <= _TITLES_NAMED else f"{next(iter(titles))} and {len(titles) - 1} more",
        tuple(
            f"{plain(unit.label)} ({plain(unit.id)})" for task, units in jobs for unit in task.units if unit.id in units
        ),
        tuple((task.key, units) for task, units in jobs),
        outcomes,
        work,
    )


def wrap_batches(wraps: Iterable[WrapOn]) -> list[Batch]:
    """Wraps that have a job, gathered by what can be said of them."""
    gathered: dict[tuple[str, ...], list[WrapOn]] = {}
    for wrap in wraps:
        gathered.setdefault(wrap.outcomes, []).append(wrap)
    return [
        Batch(
            counted(len(held), "wrap"),
            tuple(f"{plain(wrap.variety)} ({plain(wrap.graft)})" for wrap in held),
            tuple((wrap.task, (wrap.graft,)) for wrap in held),
            outcomes,
        )
        for outcomes, held in gathered.items()
    ]


def ask_outcomes(
    app: Dashboard,
    left: Sequence[Batch],
    then: Callable[[tuple[JobTick, ...]], None],
    ask: bool = True,
    ticks: tuple[JobTick, ...] = (),
) -> None:
    """Ask how it went, batch by batch, where that is for the person to say (or with `ask`); `then` take all ticks."""
    if not left:
        then(ticks)
        return
    batch, *rest = left
    if batch.work and not ask:
        ask_outcomes(app, rest, then, ask, (*ticks, *batch.ticks(Outcome(batch.work))))
        return

    def take(outcome: Outcome | None) -> None:
        if outcome is not None:
            ask_outcomes(app, rest, then, ask, (*ticks, *batch.ticks(outcome)))
        elif ticks:
            app.say("Nothing was ticked, as one of the questions was left.")

    app.push_screen(OutcomeScreen(batch.title, batch.labels, batch.outcomes, timed=len(batch.units) == 1), take)


def batches(jobs: Iterable[tuple[Task, tuple[str, ...]]]) -> list[Batch]:
    """The jobs gathered by the outcomes that they allow."""
    gathered: dict[tuple[tuple[str, ...], str], list[tuple[Task, tuple[str, ...]]]] = {}
    for task, units in jobs:
        work = task.default_outcome if len(task.outcomes) == 1 else ""
        gathered.setdefault((task.outcomes, work), []).append((task, units))
    return [batch_of(held, outcomes, work) for (outcomes, work), held in gathered.items()]


def once_sure(app: Dashboard, tasks: Iterable[Task], ticks: tuple[JobTick, ...], then: Callable[[bool], None]) -> None:
    """`then` tick; where something holds units back, only once the person has read it and is sure."""
    jobs = {task.key: task for task in tasks}
    against = dict.fromkeys(
        words
        for tick in ticks
        if tick.key in jobs
        for words in speaks_against(jobs[tick.key], tick.units, tick.outcome)
    )
    if not against:
        then(False)
        return

    def take(answer: str | None) -> None:
        if answer == _SURE:
            then(True)
        else:
            app.say("Nothing was ticked: it stays held back.")

    items = [Item("leave", "n", "n", "not yet: leave it held back"), Item(_SURE, "y", "y", "it is done: tick it")]
    app.push_screen(MenuScreen(f"Held back. {' '.join(against)} Tick it all the same?", items), take)


def grafts_set(records: Records, ticks: Iterable[JobTick]) -> tuple[Graft, ...]:
    """The grafts that these ticks set."""
    return tuple(graft for tick in ticks for graft in to_be_set(records, tick.units, tick.outcome))


def wrap_screen(grafts: Sequence[Graft], choices: Sequence[WrapChoice]) -> MenuScreen:
    """Asks what grafts were wrapped in that are set together; gives the place of the choice, as text."""
    keys = iter("123456789abcdefgh")
    items = []
    for place, choice in enumerate(choices):
        key = {NO_WRAP: "n", "": "0"}[choice.wrap] if choice.wrap in (NO_WRAP, "") else next(keys)
        items.append(Item(str(place), key, key, choice.said))
    about = f"{grafts[0].variety} ({grafts[0].id})" if len(grafts) == 1 else counted(len(grafts), "graft")
    return MenuScreen(f"Wrapped in what? {about}", items)
