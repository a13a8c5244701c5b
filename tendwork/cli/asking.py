"""What a command asks at a terminal: one of a few numbered answers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click
from msgspec.structs import replace

from tendwork.cli.session import Answer, say
from tendwork.orchard.outcomes import SKIPPED
from tendwork.orchard.records import Records
from tendwork.orchard.wrap_choices import to_be_set, wrap_choices
from tendwork.planning.named_task import units_named
from tendwork.planning.results import Task
from tendwork.planning.states import units_to_tick
from tendwork.planning.visit_ticks import shared_minutes
from tendwork.planning.visits import Visit, parts_named
from tendwork.view.text import plain
from tendwork.view.week import where_words
from tendwork.workbench.records_room import JobTick


class OneOf(Answer):
    """One of several answers, by its number or its words; gives its place in the list."""

    name = "answer"

    def __init__(self, answers: Sequence[str]) -> None:
        self._answers = answers

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> int:
        if isinstance(value, int):
            return value
        answers = [(str(number), answer.casefold()) for number, answer in enumerate(self._answers, 1)]
        place = next((at for at, names in enumerate(answers) if value.strip().casefold() in names), None)
        if place is None:
            self.fail(f"{value!r} is none of them: write a number from 1 to {len(answers)}.", param, ctx)
        return place


def asked_ticks(meant: Task | Visit, tick: JobTick) -> tuple[tuple[JobTick, ...], tuple[Task, ...]]:
    """The ticks of a job, or of the jobs of a visit, and these jobs; asks how each went that only the person can say.

    Raises PersonError for a unit or a part that there is not.
    """
    if isinstance(meant, Task):
        outcome = tick.outcome or _asked_outcome(meant, tick.units, "How did it go?")
        return (replace(tick, outcome=outcome),), (meant,)
    if tick.outcome:
        return (tick,), ()
    jobs = tuple(part for part in (parts_named(meant, tick.units) if tick.units else meant.now) if units_to_tick(part))
    asked = []
    for job, minutes in zip(jobs, shared_minutes(tick.minutes, jobs), strict=True):
        outcome = _asked_outcome(job, (), f"{plain(job.title)}, {where_words(job)}: how did it go?")
        asked.append(JobTick(job.key, (), outcome, tick.note, minutes))
    return tuple(asked) or (tick,), jobs


def _asked_outcome(job: Task, units: tuple[str, ...], question: str) -> str:
    """How the job went, where only the person can say it; else nothing, which stands for the work done."""
    if job.default_outcome or not _units(job, units):
        return ""
    words = list(dict.fromkeys((*job.outcomes, SKIPPED)))
    return words[_asked(question, words)]


def asked_wrap(records: Records, jobs: Sequence[Task], ticks: Sequence[JobTick]) -> str | None:
    """What the grafts were wrapped in that are set with this and have no wrap yet; None where there is none of them."""
    grafts = [
        graft
        for job, tick in zip(jobs, ticks, strict=False)
        for graft in to_be_set(records, _units(job, tick.units), tick.outcome or job.default_outcome)
    ]
    if all(graft.wrap for graft in grafts):
        return None
    choices = wrap_choices(records, grafts)
    return choices[_asked("What are the grafts wrapped in?", [choice.said for choice in choices], default=1)].wrap


def asked_place(question: str, answers: Sequence[str]) -> int:
    """The place of the answer that the person gives; the last one, that nobody knows, where nothing is typed."""
    return _asked(question, answers, default=len(answers))


def _units(job: Task, words: tuple[str, ...]) -> tuple[str, ...]:
    """The ids of the units that the tick is about."""
    return tuple(unit.id for unit in (units_named(job, words) if words else units_to_tick(job)))


def _asked(question: str, answers: Sequence[str], default: int | None = None) -> int:
    """The place of the answer that the person gives."""
    say(question)
    for number, answer in enumerate(answers, 1):
        say(f"  {number:>2}  {answer}")
    place: int = click.prompt("Number", type=OneOf(answers), default=None if default is None else str(default))
    return place
