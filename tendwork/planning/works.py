"""What the work of a job is, for the rules of its cautions: what is taken, how high, among leaves, in which weather."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from tendwork.almanac.seasons import Season
from tendwork.planning.anchors import SeasonAlmanac
from tendwork.planning.cautions import Height, Work, aloft_too, height_of, on_the_ground, tools_of
from tendwork.planning.results import Caution, Unit, Window, each_once
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import Template, Tool
from tendwork.planning.work_weather import WorkWeather
from tendwork.species import stage_named


class Works:
    """The works of one plan; the weather of the same days and the leaves of a species are looked up once."""

    def __init__(self, almanac: SeasonAlmanac, tools: Mapping[str, Tool], south: bool, reach_m: float) -> None:
        self._almanac = almanac
        self._tools = tools
        self._reach_m = reach_m
        self._weather = WorkWeather(almanac, south)
        self._taken: dict[tuple[str, bool, bool], tuple[Tool, ...]] = {}
        self._low: dict[tuple[object, ...], tuple[Caution, ...]] = {}
        self._in_leaf: dict[tuple[str, Season], tuple[date, date]] = {}

    def height(self, template: Template, subject: Subject) -> Height:
        """How high the work goes; what nobody noted is unknown, not low."""
        if template.work_at in ("ground", "indoors") or template.each == "wood":
            return "low"
        if subject.height_m is not None and subject.height_m > self._reach_m:
            return "above"
        is_beyond = template.work_at == "limb" and template.each == "graft"
        highest_m = subject.crown_m if is_beyond else subject.highest_m
        return "unknown" if highest_m is None or highest_m > self._reach_m else "low"

    def of(
        self,
        template: Template,
        subject: Subject,
        units: tuple[Unit, ...],
        season: Season,
        window: Window,
        first_day: date,
        blighted: bool,
    ) -> Work:
        """The work on these units, which begins on `first_day` at the earliest; `blighted` as in `tools_of`."""
        return Work(
            template,
            self._tools_of(template, units, blighted),
            units,
            self._reach_m,
            self._weather.asks(first_day, window.closes),
            self._is_in_leaf(subject, season, window),
        )

    def cautions(self, work: Work, first_day: date, last_day: date) -> tuple[Caution, ...]:
        """The cautions of a work on these days; but for what is above reach, like works have the same."""
        key = (work.template.id, tuple([tool.id for tool in work.tools]), first_day, last_day, work.in_leaf)
        if key not in self._low:
            self._low[key] = each_once(on_the_ground(work))
        aloft = tuple(aloft_too(work))
        return each_once((*aloft, *self._low[key])) if aloft else self._low[key]

    def _tools_of(self, template: Template, units: tuple[Unit, ...], blighted: bool) -> tuple[Tool, ...]:
        """What to take, looked up once for all works that go as high and find as much fire blight."""
        aloft = height_of(units) != "low"
        key = (template.id, aloft, blighted)
        if key not in self._taken:
            self._taken[key] = tools_of(template, self._tools, aloft, blighted)
        return self._taken[key]

    def _is_in_leaf(self, subject: Subject, season: Season, window: Window) -> bool:
        """Whether the job's days touch the time from green tip to leaf fall of its trees, as far as that is known."""
        leaves = (self._leaves(species, season) for species in subject.buds)
        return any(opens <= window.closes and window.opens <= closes for opens, closes in leaves)

    def _leaves(self, species: str, season: Season) -> tuple[date, date]:
        """From green tip to leaf fall; an end that nobody knows is as far off as can be."""
        if (species, season) not in self._in_leaf:
            opens, closes = (self._stage_day(species, stage, season) for stage in ("green tip", "leaf fall"))
            self._in_leaf[(species, season)] = (opens or date.min, closes or date.max)
        return self._in_leaf[(species, season)]

    def _stage_day(self, species: str, stage: str, season: Season) -> date | None:
        name = stage_named(species, stage)
        return None if name is None else self._almanac.stage(species, name, season).date
