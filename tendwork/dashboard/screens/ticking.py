"""Ticking many units at once: gathered by what can be said of them, so that one answer serves all of a batch.

However many batches there are, they are one act once all is answered.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from tendwork.dashboard.screens.menu import Item, MenuScreen
from tendwork.dashboard.screens.outcome import Outcome, OutcomeScreen
from tendwork.orchard.records import Graft, Records
from tendwork.orchard.wrap_choices import WrapChoice, to_be_set
from tendwork.orchard.wraps import NO_WRAP
from tendwork.planning.results import Task
from tendwork.view.text import plain
from tendwork.view.words import counted
from tendwork.workbench import JobTick

Marks = frozenset[tuple[str, str]]  # task key, unit id


class Batch(Struct, frozen=True):
    """Units of one or several jobs whose templates have the same `outcomes`.

    `work` is the word of a tick that needs no question, because the job has no other and it is no finding; else empty.
    """

    jobs: tuple[tuple[Task, tuple[str, ...]], ...]
    outcomes: tuple[str, ...]
    work: str = ""

    @property
    def title(self) -> str:
        """The job, or how many there are."""
        titles = dict.fromkeys(plain(task.title) for task, _ in self.jobs)
        return next(iter(titles)) if len(titles) == 1 else counted(len(self.jobs), "job")

    @property
    def labels(self) -> list[str]:
        """The names of the units."""
        return [
            f"{plain(unit.label)} ({plain(unit.id)})"
            for task, units in self.jobs
            for unit in task.units
            if unit.id in units
        ]

    def ticks(self, outcome: Outcome) -> tuple[JobTick, ...]:
        """What is to be ticked of each job."""
        return tuple(JobTick(task.key, units, outcome.word, outcome.note) for task, units in self.jobs)


class SkipScreen(OutcomeScreen):
    """Skips; the cursor begins in the note, where the reason goes."""

    def __init__(self, title: str, labels: list[str]) -> None:
        super().__init__(f"Skip: {title}", labels, ())

    def on_mount(self) -> None:
        self.call_next(self.query_one("#note").focus)  # after the screen that it is made of has gone to the outcomes


def marked_jobs(tasks: Iterable[Task], marks: Marks) -> tuple[tuple[Task, tuple[str, ...]], ...]:
    """The jobs with marked units, and those units."""
    found = ((task, tuple(unit.id for unit in task.units if (task.key, unit.id) in marks)) for task in tasks)
    return tuple((task, units) for task, units in found if units)


def batches(jobs: Iterable[tuple[Task, tuple[str, ...]]]) -> list[Batch]:
    """The jobs gathered by the outcomes that they allow."""
    gathered: dict[tuple[tuple[str, ...], str], list[tuple[Task, tuple[str, ...]]]] = {}
    for task, units in jobs:
        work = task.default_outcome if len(task.outcomes) == 1 else ""
        gathered.setdefault((task.outcomes, work), []).append((task, units))
    return [Batch(tuple(held), outcomes, work) for (outcomes, work), held in gathered.items()]


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
