"""Which ticks stand, for what follows from the records: a tick that was taken back says nothing."""

from __future__ import annotations

from collections.abc import Iterable

from tendwork.orchard.records import Tick


def standing_ticks(ticks: Iterable[Tick]) -> tuple[Tick, ...]:
    """The newest tick that stands on each unit of each task, in the order in which their tasks were first ticked."""
    stacks: dict[tuple[str, str], list[Tick]] = {}
    for tick in ticks:
        stack = stacks.setdefault((tick.task, tick.unit), [])
        if not tick.undone:
            stack.append(tick)
        elif stack:
            stack.pop()
    return tuple(stack[-1] for stack in stacks.values() if stack)


def template_of(tick: Tick) -> str:
    """The id of the template whose job was ticked: the first part of the task's key."""
    return tick.task.split("/", 1)[0]


def season_of_tick(tick: Tick) -> int | None:
    """The season in the task's key, without its round; None for a key that names none."""
    name = tick.task.rsplit("/", 1)[-1].split(".", 1)[0]
    return int(name) if name.isdecimal() else None
