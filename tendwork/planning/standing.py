"""Which ticks stand: every tick is kept for ever, and undoing one appends its opposite."""

from __future__ import annotations

from datetime import date

from tendwork.orchard.records import Tick
from tendwork.orchard.standing_ticks import standing_ticks

STILL_OPEN = "not yet"
SKIPPED = "skipped"


class Standing:
    """The ticks that stand, by task and unit, and what they say happened to each unit."""

    def __init__(self, ticks: tuple[Tick, ...]) -> None:
        self._last = {(tick.task, tick.unit): tick for tick in standing_ticks(ticks)}
        self._of: dict[str, list[Tick]] = {}
        self.events: dict[str, dict[str, date]] = {}
        for (_, unit), tick in self._last.items():
            self._of.setdefault(unit, []).append(tick)
            happened = self.events.setdefault(unit, {})
            happened[tick.outcome] = max(tick.day, happened.get(tick.outcome, tick.day))

    def tick(self, task: str, unit: str) -> Tick | None:
        """The tick that stands on this unit of this task."""
        return self._last.get((task, unit))

    def that_say(self, outcome: str) -> tuple[Tick, ...]:
        """The ticks that stand with this outcome, on whatever unit."""
        return tuple(tick for tick in self._last.values() if tick.outcome == outcome)

    def of(self, unit: str) -> tuple[Tick, ...]:
        """The ticks that stand on this unit, in whatever task."""
        return tuple(self._of.get(unit, ()))
