"""Which ticks stand: every tick is kept for ever, and taking one back appends its opposite."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from tendwork.orchard.records import Record, Tick

TickKey = tuple[str, str]
"""The task and the unit of a tick."""


def key_of(tick: Tick) -> TickKey:
    """On what a tick stands."""
    return tick.task, tick.unit


def layers_standing(ticks: Sequence[Tick]) -> dict[TickKey, list[int]]:
    """By task and unit, the places in `ticks` of those that were not taken back, oldest first: each on top of another.

    In the order in which their tasks were first ticked; a unit of which none stands has no places.
    """
    layers: dict[TickKey, list[int]] = {}
    for place, tick in enumerate(ticks):
        layer = layers.setdefault((tick.task, tick.unit), [])
        if not tick.undone:
            layer.append(place)
        elif layer:
            layer.pop()
    return layers


def places_ticked_again(ticks: Iterable[Record]) -> set[int]:
    """The places of ticks that equal the one that stands on their unit by those before them: ticking is done once.

    One that was taken back in between is another tick, however equal. What is no tick is passed over.
    """
    standing: dict[TickKey, list[Tick]] = {}
    again: set[int] = set()
    for place, tick in enumerate(ticks):
        if not isinstance(tick, Tick):
            continue
        layer = standing.setdefault(key_of(tick), [])
        if tick.undone:
            del layer[-1:]
        elif layer and layer[-1] == tick:
            again.add(place)
        else:
            layer.append(tick)
    return again


def standing_ticks(ticks: Iterable[Tick]) -> tuple[Tick, ...]:
    """The newest tick that stands on each unit of each task, in the order in which their tasks were first ticked."""
    ticks = tuple(ticks)
    return tuple(ticks[layer[-1]] for layer in layers_standing(ticks).values() if layer)


def standing_tick(ticks: Iterable[Tick], task: str, unit: str) -> Tick | None:
    """The newest tick that stands on this unit of this task."""
    return next(iter(standing_ticks(tick for tick in ticks if key_of(tick) == (task, unit))), None)


class Standing:
    """The ticks that stand, by task and unit, and what they say happened to each unit."""

    def __init__(self, ticks: Iterable[Tick]) -> None:
        self._last = {key_of(tick): tick for tick in standing_ticks(ticks)}
        self._of: dict[str, list[Tick]] = {}
        self.events: dict[str, dict[str, date]] = {}
        for (_, unit), tick in self._last.items():
            self._of.setdefault(unit, []).append(tick)
            happened = self.events.setdefault(unit, {})
            happened[tick.outcome] = max(tick.day, happened.get(tick.outcome, tick.day))

    def tick(self, task: str, unit: str) -> Tick | None:
        """The tick that stands on this unit of this task."""
        return self._last.get((task, unit))

    def all(self) -> Iterable[Tick]:
        """Every tick that stands."""
        return self._last.values()

    def that_say(self, outcome: str) -> tuple[Tick, ...]:
        """The ticks that stand with this outcome, on whatever unit."""
        return tuple(tick for tick in self._last.values() if tick.outcome == outcome)

    def of(self, unit: str) -> tuple[Tick, ...]:
        """The ticks that stand on this unit, in whatever task."""
        return tuple(self._of.get(unit, ()))


def template_of(tick: Tick) -> str:
    """The id of the template whose job was ticked: the first part of the task's key."""
    return tick.task.split("/", 1)[0]


def season_of_tick(tick: Tick) -> int | None:
    """The season in the task's key, without its round; None for a key that names none."""
    name = tick.task.rsplit("/", 1)[-1].split(".", 1)[0]
    return int(name) if name.isdecimal() else None
