"""plan(): every task of the season, computed from the records, the almanac and the templates. Nothing is stored.

What a tree has to have done hangs on its own records, the rules, the almanac and the day, so whoever plans again on the
same day can take over the tasks of all trees that nothing has happened to: a `Planner` does.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.graft_species import GROWS
from tendwork.orchard.outcomes import ARBORIST
from tendwork.orchard.records import Records, Tree
from tendwork.orchard.rough_dates import first_day
from tendwork.orchard.standing_ticks import season_of_tick, template_of
from tendwork.planning.anchors import SeasonAlmanac
from tendwork.planning.fit_days import USUAL_MINUTES, WEEK_DAYS, week_days
from tendwork.planning.former_ids import ids_of
from tendwork.planning.gaps import gaps
from tendwork.planning.held_back import HeldBack
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.job_minutes import Minutes
from tendwork.planning.results import Plan, Task, in_plan_order
from tendwork.planning.ripe_events import NOTHING_KNOWN, RipeOfGrafts
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.states import ACTIONABLE, HELD
from tendwork.planning.subjects import Subjects
from tendwork.planning.task_writer import TaskWriter, horizon
from tendwork.planning.vocabulary import Template, Tool, Weather
from tendwork.planning.weather import suits
from tendwork.planning.windows import Openings, own_opens
from tendwork.planning.works import Works
from tendwork.planning.wraps_on import wraps_on

_ANY_WEATHER = Weather()
_OF_A_TREE = ("tree", "graft")
_FAR_DAYS = 180  # a job moved by more may leave the season beside its own behind


class SiteLimits(Struct, frozen=True):
    """What the planner must know of the site: hemisphere, the person's reach from the ground in metres, and the hours.

    `minutes_by_weekday` is Monday first; `latitude_deg` gives the daylight, without it every minute counts as light.
    """

    south: bool = False
    reach_m: float = 2.0
    minutes_by_weekday: tuple[float, ...] = USUAL_MINUTES
    latitude_deg: float | None = None


def plan(
    limits: SiteLimits,
    records: Records,
    almanac: SeasonAlmanac,
    templates: Iterable[Template],
    today: date,
    openings: Openings | None = None,
    tools: Mapping[str, Tool] | None = None,
    ripe: RipeOfGrafts = NOTHING_KNOWN,
) -> Plan:
    """The tasks of today's season, with what is still alive of the last and what opens soon in the next.

    Sorted by opening, part and key, so that the same input gives the same list. `openings`, kept from an earlier plan
    by the same almanac, spare time and change nothing. `tools` is the table of what the templates' tools bring, `ripe`
    when the fruit of the grafts ripens in this season and the one before.
    """
    if openings is None or openings.almanac is not almanac:
        openings = Openings(almanac)
    return Planner(almanac, openings).plan(limits, records, templates, today, tools, ripe)


class Planner:
    """Plans by one almanac. The tasks of trees that stand as they stood in the plan before are taken over from it."""

    def __init__(self, almanac: SeasonAlmanac, openings: Openings) -> None:
        self.almanac = almanac
        self._openings = openings
        self._last: _Planned | None = None
        self._works: tuple[object, Works] | None = None

    def plan(
        self,
        limits: SiteLimits,
        records: Records,
        templates: Iterable[Template],
        today: date,
        tools: Mapping[str, Tool] | None = None,
        ripe: RipeOfGrafts = NOTHING_KNOWN,
    ) -> Plan:
        """As the function of that name gives it."""
        season = season_of(today, limits.south)
        rules = tuple(templates)
        orchard = Orchard(records, rules, limits.south, today)
        subjects = Subjects(orchard, ripe)
        old = _seasons_of_old_wraps(orchard, season, today)
        given_away = _seasons_given_away(orchard, season)
        minutes = Minutes(orchard, rules, records.ticks)  # one tree's notes move the minutes of all
        shared = (today, limits, rules, tools, old, given_away, minutes.notes, _shared_records(orchard.records))
        trees = {tree.id: (*orchard.all_of(tree), _ripe_on(orchard, tree, ripe)) for tree in orchard.records.trees}
        settled = frozenset[str]()
        tasks: list[Task] = []
        if self._last is not None and self._last.shared == shared:
            before = self._last.trees
            settled = frozenset(tree for tree, held in trees.items() if tree in before and before[tree] == held)
            tasks += [task for task in self._last.tasks if task.each in _OF_A_TREE and task.subject in settled]
        held_back = HeldBack(orchard.records, limits.south, today)
        works = self._works_of(limits, rules, tools or {})
        writers: dict[Season, TaskWriter] = {}
        for template in rules:
            unsuited = () if template.weather == _ANY_WEATHER else _unsuited(template, self.almanac, today)
            near = _seasons_of(template, season)
            older = {one for name in ids_of(template) for one in given_away.get(name, ())}
            older.update(old if template.takes_wraps_off else ())
            for which in sorted({*older, *near}, key=lambda one: one.name):
                if which not in writers:
                    writers[which] = TaskWriter(
                        subjects, self._openings, which, season, today, works, held_back, minutes, settled
                    )
                written = writers[which].tasks(template, unsuited)
                tasks += [task for task in written if _shown(task, which, season, today)]
        sorted_tasks = in_plan_order(tasks)
        self._last = _Planned(shared, trees, sorted_tasks)
        wraps = wraps_on(orchard, sorted_tasks, today, self.almanac.heat_between)
        return Plan(
            today,
            season.name,
            sorted_tasks,
            week_days(today, limits.minutes_by_weekday, limits.latitude_deg),
            wraps,
            gaps(orchard, rules, self._openings, wraps, today),
        )

    def _works_of(self, limits: SiteLimits, rules: tuple[Template, ...], tools: Mapping[str, Tool]) -> Works:
        """What was looked up for the same rules before serves on."""
        key = limits, rules, tools
        if self._works is None or self._works[0] != key:
            self._works = key, Works(self.almanac, tools, limits.south, limits.reach_m)
        return self._works[1]


class _Planned(Struct, frozen=True):
    """A plan's tasks, all that those of each tree hang on of its own, and what they share."""

    shared: tuple[object, ...]
    trees: dict[str, tuple[object, ...]]
    tasks: tuple[Task, ...]


def _ripe_on(orchard: Orchard, tree: Tree, ripe: RipeOfGrafts) -> list[RipeDates | None]:
    """The dates of what ripens on a tree: a bite on another one may have moved them."""
    return [of_season.get(graft.id) for of_season in ripe.values() for graft in orchard.grafts_of[tree.id]]


def _shared_records(records: Records) -> tuple[object, ...]:
    """What the tasks of a tree hang on in the records of others: names, wood, what bars those that wood is cut from.

    And the records of varieties, whose vigour pruning goes by.
    """
    barred = records.troubles, records.sprays
    givers = ((graft.tree, graft.species, graft.variety) for graft in records.grafts if graft.state in GROWS)
    return records.trees, records.wood, barred, tuple(givers) if any(barred) else (), records.varieties


def _seasons_of(template: Template, season: Season) -> tuple[Season, ...]:
    """The seasons whose jobs may stand in `season`: its neighbours, and one beyond if the jobs are moved so far."""
    near = (season.previous, season, season.following)
    later_days = template.opens.days - own_opens(template).days
    if later_days > _FAR_DAYS:
        return (season.previous.previous, *near)
    return (*near, season.following.following) if later_days < -_FAR_DAYS else near


def _shown(task: Task, own: Season, season: Season, today: date) -> bool:
    if own == season:
        return True
    if own.name < season.name:
        return (
            task.window.opens >= season.start
            or (task.window.worth_until >= season.start and task.state in (*ACTIONABLE, HELD, "missed"))
            or (task.is_lost and _is_lately(task.window.lapses, today))
            or any(unit.outcome == ARBORIST for unit in task.units)
            or any(unit.done_on is not None and _is_lately(unit.done_on, today) for unit in task.units)
        )
    return task.window.stays or task.window.opens <= horizon(today)


def _is_lately(day: date, today: date) -> bool:
    """Whether what was done, or lost, on a day of the season before still stands in the week, so that it is seen."""
    return day > today - timedelta(days=WEEK_DAYS)


def _seasons_of_old_wraps(orchard: Orchard, season: Season, today: date) -> tuple[Season, ...]:
    """The seasons before the previous one from which a wrap is still on, or came off lately."""
    set_on = set()
    for graft in orchard.records.grafts:
        fate = orchard.wrap_fates[graft.id]
        if graft.set_on is not None and (fate.on or (fate.day is not None and _is_lately(fate.day, today))):
            set_on.add(first_day(graft.set_on))
    first = min((season_of(day, orchard.south).name for day in set_on), default=season.name)
    return tuple(Season(name, orchard.south) for name in range(first, season.previous.name))


def _seasons_given_away(orchard: Orchard, season: Season) -> dict[str, set[Season]]:
    """By the template, the seasons before `season` of jobs that wait for an arborist, however long ago."""
    found: dict[str, set[Season]] = {}
    for tick in orchard.standing.that_say(ARBORIST):
        name = season_of_tick(tick)
        if name is not None and name < season.name:
            found.setdefault(template_of(tick), set()).add(Season(name, orchard.south))
    return found


def _unsuited(template: Template, almanac: SeasonAlmanac, today: date) -> tuple[date, ...]:
    week = (today + timedelta(days=step) for step in range(WEEK_DAYS))
    return tuple(day for day in week if suits(template.weather, day, almanac) is False)
