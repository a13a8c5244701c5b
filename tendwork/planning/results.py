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
    """One thing to tick. `state` is a task state, `done_on` and `outcome` come from its tick, `planned` from a fit."""

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
    planned: date | None = None


class Task(Struct, frozen=True):
    """One job on one subject (a tree, or the whole site) in one season.

    `key` is template id / subject id / season; a repeating job adds its round after a dot ("…/2026.2").
    `minutes` counts the units that are still to do: `setup_minutes` once and `minutes_each` for each of them.
    `unsuited` are the days of the coming week whose known weather is against the job. `because` are sentences, most
    telling first. `again` is when the next round opens, as long as this one is not ticked; `behind` says of a coming
    round that the one before it is still to do. `put_off` is the day after today for which the person left it.
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
    setup_minutes: float = 0
    minutes_each: float = 0
    unsuited: tuple[date, ...] = ()
    put_off: date | None = None
    again: date | None = None
    behind: bool = False


class DayHours(Struct, frozen=True):
    """The minutes that the person has for the orchard on a day; `ladder_minutes` of them are light and still enough."""

    day: date
    minutes: float
    ladder_minutes: float


class Plan(Struct, frozen=True):
    """All tasks of a season as of one day, in a stable order, and the person's `days` of the week from that day on."""

    today: date
    season: int
    tasks: tuple[Task, ...]
    days: tuple[DayHours, ...] = ()


class FittedDay(Struct, frozen=True):
    """A day of the week in minutes: what the person has, what is planned, and what was ticked on it already."""

    day: date
    minutes: float
    used: float
    spent: float = 0

    @property
    def free(self) -> float:
        return max(0.0, self.minutes - self.used - self.spent)


class Short(Struct, frozen=True):
    """A task that does not fit in time: the minutes that are lacking `by` a day, and in words what would do."""

    task: str
    minutes: float
    by: date
    words: str


class FittedWeek(Struct, frozen=True):
    """The tasks in sight with their `days` and their units' `planned` filled, in the plan's order, and the seven days.

    `proven`: no other fit has fewer tasks short; with none short it always is. `following` is the first task to open
    after these.
    """

    tasks: tuple[Task, ...]
    days: tuple[FittedDay, ...]
    short: tuple[Short, ...]
    proven: bool = True
    following: Task | None = None


class Change(Struct, frozen=True):
    """One thing that changed: `kind` is what it is about, `words` a sentence that is safe to show."""

    kind: str
    words: str


class Changes(Struct, frozen=True):
    """All that changed since the day `since`."""

    since: date
    found: tuple[Change, ...]
