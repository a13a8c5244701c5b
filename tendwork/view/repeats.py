"""The rounds of a repeating job: one stands in the week, and a word is said about the others."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from tendwork.planning.results import Task
from tendwork.planning.states import TO_DO
from tendwork.view.words import counted, day_words


def without_later_rounds(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """The tasks without those coming rounds of a job of which another round is due, or comes sooner."""
    held = tuple(tasks)
    first: dict[tuple[str, str], Task] = {}
    for task in sorted((task for task in held if task.state in TO_DO), key=_soonest):
        first.setdefault((task.template, task.subject), task)
    return tuple(
        task for task in held if task.state != "coming" or first[(task.template, task.subject)].key == task.key
    )


def rounds_words(task: Task, tasks: Iterable[Task], today: date) -> str:
    """When this job comes again, and which other rounds of it come in the week; empty where it comes once."""
    same = [
        other
        for other in tasks
        if other.key != task.key
        and other.state == "coming"
        and (other.template, other.subject) == (task.template, task.subject)
    ]
    words = [f"Next round from {day_words(task.again, today)}."] if task.again is not None else []
    for other in same if task.state in TO_DO else ():
        units = counted(len(other.units), "unit")
        words.append(f"Another round, of {units}, from {day_words(other.window.opens, today)}.")
    return " ".join(words)


def _soonest(task: Task) -> tuple[bool, date, str]:
    return task.state == "coming", task.window.opens, task.key
