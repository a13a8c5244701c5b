"""The jobs of a season: how many were done, late or missed, what was missed that mattered, and the hours they took."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.orchard.outcomes import NO_WORK
from tendwork.orchard.records import Records, Tick
from tendwork.orchard.standing_ticks import key_of, season_of_tick, standing_ticks
from tendwork.orchard.tree_names import tree_names
from tendwork.planning.results import Task
from tendwork.planning.states import FINISHED
from tendwork.planning.vocabulary import Stake
from tendwork.planning.wishes import WHOLE_JOB

_QUARTERS = 4
_GRAVE = ("tree", "graft")


class Jobs(Struct, frozen=True):
    """Jobs of the season: each is done, skipped, missed (a unit of it at least), or still to do.

    Those that are `late` are done; of those missed some are `grave`, with a tree or a graft at stake and no later
    round, and some done in part (`partly`).
    """

    done: int = 0
    late: int = 0
    skipped: int = 0
    missed: int = 0
    grave: int = 0
    partly: int = 0
    still_to_do: int = 0

    @property
    def total(self) -> int:
        return self.done + self.skipped + self.missed + self.still_to_do


class MissedJob(Struct, frozen=True):
    """Units of a rule's jobs that were missed, of all that it asked for, where a tree or a graft was at stake.

    Of a repeating job each unit counts by its last round alone, as the next round serves for any other.
    """

    template: str
    title: str
    stake: Stake
    loss: str
    missed: int
    units: int
    trees: tuple[str, ...]


class Hours(Struct, frozen=True):
    """Minutes of the days from `first` to `last`: noted by the person, and planned for what was ticked without a note.

    `unknown` counts what was ticked of jobs that no rule has now, of which neither is known.
    """

    first: date
    last: date
    noted: float = 0.0
    planned: float = 0.0
    unknown: int = 0


class SeasonWork(Struct, frozen=True):
    """The jobs, what was missed that mattered, the worst first, and the hours of each quarter of the season.

    Where nothing of the season was ticked (`ticks`), nobody said what was done, so nothing is known as missed either.
    """

    ticks: int
    jobs: Jobs
    missed: tuple[MissedJob, ...]
    hours: tuple[Hours, ...]


def season_work(records: Records, tasks: Iterable[Task], season: Season) -> SeasonWork:
    """Of the tasks of the season's plan, as of its last day or of today, and of what was ticked of it."""
    own = [task for task in tasks if task.season == season.name]
    ticks = [tick for tick in standing_ticks(records.ticks) if season_of_tick(tick) == season.name]
    return SeasonWork(len(ticks), _jobs(own), _missed(own, tree_names(records.trees)), _hours(ticks, own, season))


def _last_rounds(tasks: Sequence[Task]) -> dict[tuple[str, str], int]:
    """The last round of the season in which each unit of each rule stands."""
    found: dict[tuple[str, str], int] = {}
    for task in tasks:
        for unit in task.units:
            key = task.template, unit.id
            found[key] = max(task.round, found.get(key, 0))
    return found


def _gravely_missed(task: Task, last: Mapping[tuple[str, str], int]) -> list[str]:
    """The units whose last round was missed where a tree or a graft was at stake."""
    if task.stake not in _GRAVE:
        return []
    return [unit.id for unit in task.units if unit.state == "missed" and last[task.template, unit.id] == task.round]


def _jobs(tasks: Sequence[Task]) -> Jobs:
    counts, last = dict.fromkeys(Jobs.__struct_fields__, 0), _last_rounds(tasks)
    for task in tasks:
        states = {unit.state for unit in task.units}
        if "missed" in states:
            counts["missed"] += 1
            counts["grave"] += bool(_gravely_missed(task, last))
            counts["partly"] += "done" in states
        elif not states <= set(FINISHED):
            counts["still_to_do"] += 1
        elif "done" in states:
            counts["done"] += 1
            counts["late"] += any(
                unit.done_on is not None and unit.state == "done" and unit.done_on > unit.window.closes
                for unit in task.units
            )
        else:
            counts["skipped"] += 1
    return Jobs(**counts)


def _missed(tasks: Sequence[Task], names: Mapping[str, str]) -> tuple[MissedJob, ...]:
    last = _last_rounds(tasks)
    by_rule: dict[str, list[Task]] = {}
    for task in tasks:
        if task.stake in _GRAVE:
            by_rule.setdefault(task.template, []).append(task)
    found = []
    for template, held in by_rule.items():
        lost = [(task, unit) for task in held for unit in _gravely_missed(task, last)]
        first = held[0]
        if lost and first.stake is not None:
            trees = tuple(dict.fromkeys(names[task.subject] for task, _ in lost if task.subject in names))
            units = len({unit.id for task in held for unit in task.units})
            found.append(MissedJob(template, first.title, first.stake, first.loss, len(lost), units, trees))
    return tuple(sorted(found, key=lambda one: (_GRAVE.index(one.stake), -one.missed, one.title)))


def _hours(ticks: Iterable[Tick], tasks: Sequence[Task], season: Season) -> tuple[Hours, ...]:
    """Units of one job that were ticked on one day were one walk, set up once; a note holds its setting up too."""
    setup_and_each = {task.key: (task.setup_minutes, task.minutes_each) for task in tasks}
    for task in tasks:
        for unit in task.units:
            if unit.task:
                setup_and_each.setdefault(unit.task, (task.setup_minutes, task.minutes_each))
    walks: dict[tuple[str, date], list[Tick]] = {}
    for tick in ticks:
        if tick.unit != WHOLE_JOB and tick.outcome not in NO_WORK:
            walks.setdefault((key_of(tick)[0], tick.day), []).append(tick)
    quarters = [[0.0, 0.0, 0] for _ in range(_QUARTERS)]
    bounds = quarter_days(season)
    for (key, day), together in walks.items():
        quarter = quarters[_quarter(day, bounds)]
        bare = [tick for tick in together if tick.minutes is None]
        quarter[0] += sum(tick.minutes for tick in together if tick.minutes is not None)
        if bare and key in setup_and_each:
            setup, each = setup_and_each[key]
            quarter[1] += each * len(bare) + (setup if len(bare) == len(together) else 0.0)
        elif bare:
            quarter[2] += len(bare)
    return tuple(
        Hours(first, last, noted, planned, int(unknown))
        for (first, last), (noted, planned, unknown) in zip(bounds, quarters, strict=True)
    )


def quarter_days(season: Season) -> tuple[tuple[date, date], ...]:
    """First and last day of the four quarters of a season: November to January is the first in the north."""
    firsts = [season.on(month, 1) for month in (11, 2, 5, 8)]
    lasts = [date.fromordinal(first.toordinal() - 1) for first in firsts[1:]]
    return tuple(zip(firsts, (*lasts, season.end), strict=True))


def _quarter(day: date, bounds: Sequence[tuple[date, date]]) -> int:
    """The quarter of a day; one before the season counts to its first, one after it to its last."""
    return sum(day >= first for first, _ in bounds[1:])
