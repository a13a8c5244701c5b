"""A plan: plain frozen results that view, JSON, sheet and calendar share.

What there is by the thousand is encoded as a list, without the names of its fields, since every plan is kept, and the
collector passes it over, since nothing in it leads back to it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Final, Literal, get_args

from msgspec import Struct

from tendwork.orchard.rough_dates import Noted
from tendwork.planning.vocabulary import PARTS, Each, Part, Stake

TaskState = Literal["coming", "open", "closing", "late", "missed", "done", "skipped", "waiting", "held"]
TASK_STATES: tuple[TaskState, ...] = get_args(TaskState)
WrapState = TaskState | Literal["no job", "not known"]
GapKind = Literal[
    "wrap",
    "method",
    "take",
    "wrap word",
    "method word",
    "no method",
    "wrap given up",
    "height",
    "spray days",
    "still on",
    "took",
]


class Window(Struct, frozen=True, array_like=True, gc=False):
    """When a job is to be done. `lapses` is the last day on which a late one is still worth doing.

    `opens_low` and `opens_high` bound the 80 % range of the opening where buds or heat move it. A job that `stays` is
    never given up: after `lapses` it is overdue, until it is ticked.
    """

    opens: date
    best: date
    closes: date
    lapses: date
    opens_low: date | None = None
    opens_high: date | None = None
    stays: bool = False

    @property
    def worth_until(self) -> date:
        """The last day on which it is worth doing; the last day of all for a job that stays."""
        return date.max if self.stays else self.lapses

    def is_overdue(self, today: date) -> bool:
        """Whether a job that stays is past the day by which it had to be done."""
        return self.stays and today > self.lapses


OF_THE_DAY = ("heat", "lightning", "cold", "stings", "ticks")
"""The cards of cautions that the weather and the season ask, whatever job is done that day."""


NOT_FROM_A_LADDER = ("saw-aloft", "both-hands")
"""The cards of work that is never done from a ladder, though it is above reach."""

ALOFT = (*NOT_FROM_A_LADDER, "ladder", "power-lines", "eyes")
"""The cards of work above reach, in the order in which they stand, before all others."""


class Caution(Struct, frozen=True, array_like=True, gc=False):
    """A caution card that stands beside a job: the id of the `card`, and `because`, a sentence that says why it does.

    `only` says for which part of the work it counts, in words that follow its title: "if you leave the ground".
    `by_season` is of a caution that the usual days alone ask, of every job of those weeks: no measured or forecast day
    does, and none is in danger.
    """

    card: str
    because: str
    only: str = ""
    by_season: bool = False


def each_once(cautions: Iterable[Caution]) -> tuple[Caution, ...]:
    """Each card once, at its first place; one that stands for the whole work takes the place of one for a part, and
    one that known days ask that of one that usual days do."""
    found: dict[str, Caution] = {}
    for caution in cautions:
        held = found.get(caution.card)
        if held is None or (bool(held.only), held.by_season) > (bool(caution.only), caution.by_season):
            found[caution.card] = caution
    return tuple(found.values())


class Unit(Struct, frozen=True, array_like=True, gc=False):
    """One thing to tick. `state` is a task state, `done_on` and `outcome` come from its tick, `planned` from a fit.

    `above_reach` and `height_unknown` are of work in the crown: it is done from a ladder, or nobody knows whether.
    `held_by` is a sentence that says why the unit must not be done now, and `held_until` the day from which it may be,
    where that is known: a spray's label, a sick tree, somebody else's work. `barred_today` is the same of today, which
    counts for what is ticked today though the job opens later.

    `task` is the key under which it is ticked, where that is another round than the one it stands in or the key of
    before its template was renamed, and `ticked_as` the id that its tick has, where that is an earlier one.
    `minutes_noted` is how long it took by the person's note.
    `since` is the day on which what raised the job was seen: a tick before it speaks of an earlier time.
    """

    id: str
    label: str
    state: TaskState
    window: Window
    outcome: str = ""
    done_on: date | None = None
    place: str = ""
    species: str = ""
    variety: str = ""
    above_reach: bool = False
    height_unknown: bool = False
    held_by: str = ""
    held_until: date | None = None
    barred_today: str = ""
    because: tuple[str, ...] = ()
    planned: date | None = None
    task: str = ""
    ticked_as: str = ""
    minutes_noted: float | None = None
    since: date | None = None


class Task(Struct, frozen=True, array_like=True, gc=False):
    """One job on one subject (a tree, or the whole site) in one season.

    `key` is template id / subject id / season; a repeating job adds its round after a dot ("…/2026.2").
    `each` is what the units are. `minutes` counts those that are still to do: `setup_minutes` once and `minutes_each`
    for each of them.
    `unsuited` are the days of the coming week whose known weather is against the job. `because` are sentences, most
    telling first. `again` is when the next round opens, as long as this one is not ticked; `behind` says of a coming
    round that the one before it is still to do. `put_off` is the day after today for which the person left it.
    `shown_from` is the day from which even a coming one stands in the week.
    `season` is the job's own and `round` its number of `rounds`; `why_opens` and `why_closes` are the reasons of
    the ends of the window, and `adjusted` says what a person changed in the template.
    `not_now` are sentences that name what is barred though the job is not: some of its trees, a bundle. `mind` are
    sentences on how to go about its trees: the sick ones last.
    `default_outcome` is what a tick means that says no outcome; empty where the person must be asked.
    One that is `pressed` is open, and yet pressing: a tree or a graft is lost by it this week, or the weeks to come are
    too full for it. One that `can_wait` has no day in the fitted week, and no harm is in it;
    one that has `no_time` is pressing and has none, since the hours do not reach.
    A round that is `kept_up` may be missed once: the one before was done, and another follows.
    `visit` is the name of the visit that its rule says it is done with (visits.py), "" for a job that stands alone.
    `stake` is what is lost if it is missed, None where its rule does not say, and `loss` the same in a few words. One
    that is `kept_if_missed` has a tree or a graft at stake, once, in its own season.
    """

    key: str
    template: str
    title: str
    part: Part
    each: Each
    subject: str
    place: str
    window: Window
    state: TaskState
    minutes: float
    units: tuple[Unit, ...]
    cautions: tuple[Caution, ...]
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
    shown_from: date | None = None
    season: int = 0
    round: int = 1
    rounds: int = 1
    why_opens: str = ""
    why_closes: str = ""
    adjusted: str = ""
    default_outcome: str = ""
    not_now: tuple[str, ...] = ()
    mind: tuple[str, ...] = ()
    stake: Stake | None = None
    loss: str = ""
    kept_if_missed: bool = False
    visit: str = ""
    kept_up: bool = False
    pressed: bool = False
    can_wait: bool = False
    no_time: bool = False

    @property
    def is_lost(self) -> bool:
        """Whether it stays in sight because a unit was missed: until that is ticked or skipped, or gone."""
        return self.kept_if_missed and any(unit.state == "missed" for unit in self.units)


class DayHours(Struct, frozen=True):
    """The minutes that the person has for the orchard on a day; `ladder_minutes` of them are light and still enough."""

    day: date
    minutes: float
    ladder_minutes: float


NO_JOB: Final = "no job"
"""The state of a wrap that no rule asks for."""
ASKED: Final = "not known"
"""The state of a wrap whose time was over when its graft came into the records: nobody said whether it is still on."""
STILL_ON: Final = "still on"
"""The kind of gap that is such a wrap."""
TOOK: Final = "took"
"""The kind of gap that is a graft which came in as set, when its take could be seen."""
SPRAY_DAYS: Final = "spray days"
"""The kind of gap that is a spray of which the label's days to wait are not noted."""
WRAP_GIVEN_UP: Final = "wrap given up"
"""The kind of gap that is a wrap which left the list because it was set so long ago, not because it is off."""
NO_METHOD: Final = "no method"
"""The kind of gap that keeps a planned graft from ever getting a grafting job."""
HEIGHT: Final = "height"
"""The kind of gap that leaves open how high the work is."""


class WrapOn(Struct, frozen=True):
    """A graft whose wrap is still on: how it stands and which `task` asks for it, "" where no rule does.

    `heat` are the degree-days above 5 °C since it was set, `by` the day on which the job closes, `outcomes` what can be
    said of it. `days` and `heat` are None where the day is not known.
    """

    graft: str
    tree: str
    tree_name: str
    variety: str
    wrap: str
    place: str
    set_on: Noted | None
    days: int | None
    heat: float | None
    state: WrapState
    by: date | None
    task: str
    outcomes: tuple[str, ...] = ()
    overdue: bool = False


class Gap(Struct, frozen=True):
    """What the records leave open of grafts so that rules must guess or cannot speak: `kind`, and the grafts' ids.

    "wrap" or "method" was not noted, "take" is of grafts set long ago of which nobody said whether they took, "wrap
    word" or "method word" is a `word` that no rule knows, "no method" is of planned grafts of a `species`, with the
    methods that are open for them this season and their days. "wrap given up" is of grafts that bear and were set so
    long ago that their wrap lately left the list, though nobody said that it is off. "still on" and "took" are of
    grafts that came in after the time for their wraps, or for looking whether they took, was over. "height" is of
    grafts, and of trees that `tree` names, of which nobody noted how high they are. "spray days" is of no graft: so
    many `trees`, in words `tree`, were sprayed on a `day` with what `word` names, and days to wait of its label
    (`lacks`) are not noted.
    """

    kind: GapKind
    grafts: tuple[str, ...]
    word: str = ""
    species: str = ""
    methods: tuple[tuple[str, date, date], ...] = ()
    tree: str = ""
    day: date | None = None
    lacks: str = ""
    trees: int = 1


_PLACES = {part: place for place, part in enumerate(PARTS)}


def in_plan_order(tasks: Iterable[Task]) -> tuple[Task, ...]:
    """Sorted by opening, part and key."""
    return tuple(sorted(tasks, key=lambda task: (task.window.opens, _PLACES[task.part], task.key)))


class Plan(Struct, frozen=True):
    """All tasks of a season as of one day, in a stable order, and the person's `days` of the week from that day on.

    `wraps` are the grafts whose wrap is still on, the oldest first, and `gaps` what the records leave open.
    """

    today: date
    season: int
    tasks: tuple[Task, ...]
    days: tuple[DayHours, ...] = ()
    wraps: tuple[WrapOn, ...] = ()
    gaps: tuple[Gap, ...] = ()


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

    `following` is the first task to open after these.
    """

    tasks: tuple[Task, ...]
    days: tuple[FittedDay, ...]
    short: tuple[Short, ...]
    following: Task | None = None
