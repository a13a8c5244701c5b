"""Ticking many units at once: gathered by what can be said of them, so that one answer serves all of a batch."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec import Struct

from tendwork.dashboard.screens.outcome import Outcome, OutcomeScreen
from tendwork.errors import PersonError
from tendwork.planning.results import Task
from tendwork.view.text import plain
from tendwork.view.words import counted
from tendwork.workbench import Act, Workbench

Marks = frozenset[tuple[str, str]]  # task key, unit id


class Batch(Struct, frozen=True):
    """Units of one or several jobs whose templates have the same `outcomes`."""

    jobs: tuple[tuple[Task, tuple[str, ...]], ...]
    outcomes: tuple[str, ...]

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
    gathered: dict[tuple[str, ...], list[tuple[Task, tuple[str, ...]]]] = {}
    for task, units in jobs:
        gathered.setdefault(task.outcomes, []).append((task, units))
    return [Batch(tuple(held), outcomes) for outcomes, held in gathered.items()]


def tick_batch(bench: Workbench, today: date, batch: Batch, outcome: Outcome) -> Act:
    """Tick all of a batch, job by job. Raises PersonError where not even the first job can be ticked."""
    done: list[str] = []
    for task, units in batch.jobs:
        try:
            done.append(bench.tick(task.key, units, today, outcome.word, outcome.note).sentence)
        except PersonError as error:
            if not done:
                raise
            return Act(f"{_done_words(done)} Then it stopped: {error}")
    return Act(_done_words(done))


def put_off_batch(bench: Workbench, today: date, tasks: Sequence[Task], day: date, fixed: bool) -> Act:
    """Leave jobs for another day, one after the other. Raises PersonError where not even the first can be."""
    done: list[str] = []
    for task in tasks:
        try:
            done.append(bench.put_off(task.key, day, today, fixed).sentence)
        except PersonError as error:
            if not done:
                raise
            return Act(f"{counted(len(done), 'job')} put off. Then it stopped: {error}")
    return Act(done[0] if len(done) == 1 else f"{counted(len(done), 'job')} put off; take back takes the last one.")


def _done_words(sentences: list[str]) -> str:
    return (
        sentences[0]
        if len(sentences) == 1
        else f"{counted(len(sentences), 'job')} ticked; take back takes the last one."
    )
