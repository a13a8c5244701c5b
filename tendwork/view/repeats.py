"""What is said of the rounds of a repeating job beside the one that stands in the week."""

from __future__ import annotations

from datetime import date

from tendwork.planning.results import Task
from tendwork.view.words import format_day


def rounds_words(task: Task, today: date) -> str:
    """When this job comes again; empty where it comes once."""
    return "" if task.again is None else f"Next round from {format_day(task.again, today)}."
