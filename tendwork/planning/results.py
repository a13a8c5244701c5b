"""A plan: plain frozen results that view, JSON, sheet and calendar share."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

TASK_STATES = ("coming", "open", "closing", "late", "missed", "done", "skipped", "waiting")


class Window(Struct, frozen=True):
    """When a job is to be done. `lapses` is the last day on which a late one is still worth doing.

    `opens_low` and `opens_high` bound the 80 % range of the opening where buds or heat move it.
    """

    opens: date
    best: date
    closes: date
    lapses: date
    opens_low: date | None = None
    opens_high: date | None = None


class Unit(Struct, frozen=True):
    """One thing to tick. `state` is a task state; `done_on` and `outcome` come from its tick."""

    id: str
    label: str
    state: str
    window: Window
    outcome: str = ""
    done_on: date | None = None
    place: str = ""
    species: str = ""
    variety: str = ""
    above_reach: bool = False
    because: tuple[str, ...] = ()


class Task(Struct, frozen=True):
    """One job on one subject (a tree, or the whole site) in one season.

    `key` is template id / subject id / season; a repeating job adds its round after a dot ("…/2026.2").
    `minutes` counts the units that are still to do. `because` are sentences, most telling first.
    """

    key: str
    template: str
    title: str
    part: str
    subject: str
    place: str
    window: Window
    state: str
    minutes: float
    units: tuple[Unit, ...]
    cautions: tuple[str, ...]
    tools: tuple[str, ...]
    steps: tuple[str, ...]
    outcomes: tuple[str, ...]
    because: tuple[str, ...]
    source: str
    days: tuple[tuple[date, float], ...] = ()
    weather_words: str = ""


class Plan(Struct, frozen=True):
    """All tasks of a season as of one day, in a stable order."""

    today: date
    season: int
    tasks: tuple[Task, ...]
