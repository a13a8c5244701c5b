"""What Morning says above its list: the next job, and what changed or how much there is to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tendwork.view.news import changes_line
from tendwork.view.week import next_sentence, to_do_words
from tendwork.view.words import format_day

if TYPE_CHECKING:
    from tendwork.dashboard.actions import Keys
    from tendwork.dashboard.state import State


def next_words(state: State, keys: Keys) -> str:
    """The next job in a sentence; without a plan or a tree, what comes before there can be one."""
    if state.plan_day is None and state.last_day is not None:
        last_day = format_day(state.last_day, state.today)
        return f"Updating the plan for today; the last one is of {last_day}."
    if state.plan_day is None:
        return "Working out the plan: the first one takes a moment."
    if not state.records.trees:
        trees, add = keys.word("everywhere.trees"), keys.word("trees.add_tree")
        return f"Next: record your first tree. {trees} goes to Trees, {add} adds one there."
    following = None if state.week is None else state.week.following
    next_job = next_sentence(state.jobs, state.plan_day, following)
    if state.plan_day != state.today:
        of_day = format_day(state.plan_day, state.today)
        return f"Plan of {of_day}; today's could not be made. Next there: {next_job}"
    return f"Next: {next_job}"


def since_words(state: State) -> str:
    """What changed since the newest day before, else how much there is to do."""
    if state.plan_day not in (None, state.today):
        return f"On {format_day(state.plan_day, state.today)}, to do: {to_do_words(state.jobs, state.plan_day)}."
    if state.changed is not None and state.back is None:
        return changes_line(state.changed, state.today)
    return f"To do now: {to_do_words(state.jobs, state.plan_day)}." if state.plan_day else ""
