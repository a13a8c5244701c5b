"""The almanac of one place: bud stages, heat, frost and callus weather, each with its range and its reasons."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import TYPE_CHECKING

from tendwork.almanac import frost
from tendwork.almanac.bloom_order import bloom_order, name_of_order
from tendwork.almanac.buds import Buds
from tendwork.almanac.callus import callus_range, callus_share
from tendwork.almanac.days import Days
from tendwork.almanac.development import first_day
from tendwork.almanac.heat_calendar import HeatCalendar
from tendwork.almanac.kept_progress import KeptProgress
from tendwork.almanac.late_stages import TAUGHT_BY_DAYS, LateStages
from tendwork.almanac.place import Place, UsualDate
from tendwork.almanac.results import CallusWeather, FrostNight, Reached, SeenStage, StageDate
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.sightings import Sightings
from tendwork.almanac.temperature import FORECAST, DailySeries
from tendwork.species import STAGES

if TYPE_CHECKING:
    from tendwork.almanac.ripe_evidence import PickDate, RipeEvidence

__all__ = ["Almanac", "Place", "UsualDate"]

_DAY = timedelta(days=1)
_CALLUS_DAYS = 14
_FORECAST_DAYS = 16
_FROST_AHEAD_DAYS = 7
_FROST_MARGIN_C = 2.0  # our own choice: a hollow in the ground is colder than the thermometer


class Almanac:
    """Cheap to make; every species and season is computed when asked for, and kept."""

    def __init__(
        self,
        place: Place,
        series: DailySeries | None,
        seen: Iterable[SeenStage],
        today: date,
        kept: KeptProgress | None = None,
    ) -> None:
        """`kept` is what was worked out of these seasons before; it spares time and changes nothing."""
        self._today = today
        self._place = place
        self._south = place.south
        self._days = Days(place, series, today)
        self._sightings = Sightings(seen, today, place.south)
        self._heat = HeatCalendar(self._days, round(place.colder_days))
        self._buds = Buds(place, self._days, self._sightings, kept or KeptProgress())
        self._stages: dict[tuple[str, Season, str], tuple[StageDate, ...]] = {}
        self._rows: dict[tuple[str, Season, str], list[StageDate]] = {}
        self._late = LateStages(place, self._days, self._sightings, self._heat, self._bud_rows)

    def stages(self, species: str, season: Season, variety: str = "") -> tuple[StageDate, ...]:
        """All stages of a species in one season, in the order of the buds, from dormant wood to leaf fall."""
        variety = self.standing_for(species, variety)
        key = (species, season, variety)
        if key not in self._stages:
            self._stages[key] = self._all_stages(species, season, variety)
        return self._stages[key]

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate:
        """One stage, by the species' own name for it. Raises KeyError for a stage that it does not have."""
        for found in self.stages(species, season, variety):
            if found.stage == stage:
                return found
        raise KeyError(stage)

    def not_before(self, species: str, stage: str, season: Season) -> date:
        """A day before which a stage comes in no variety, told without foreseeing it; the first of all where none is.

        It is the day from which the buds of a season that has not begun are followed, or the leaf fall before it.
        """
        if season.start <= self._today:
            return date.min
        if stage != "dormant":
            return first_day(season) + timedelta(days=min(0, round(self._place.colder_days)))
        return self._late.dormant_not_before(species, season)

    def unseen(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate | None:
        """A stage as it is foreseen without its own sightings of that season; None for dormant wood."""
        variety = self.standing_for(species, variety)
        if stage in TAUGHT_BY_DAYS:
            return self._late.unseen(species, stage, season, variety)
        return self._buds.unseen(species, stage, season, variety)

    def standing_for(self, species: str, variety: str) -> str:
        """A name under which every stage is the same as under this variety, with the same reasons.

        Those that no sighting names are alike where the same is published of them, and where nothing is.
        """
        order = None if self._sightings.names(species, variety) else bloom_order(species, variety)
        return self._sightings.standing_for(species, variety) if order is None else name_of_order(order)

    def day(self, day: date) -> tuple[float, float, str] | None:
        """(tmin_c, tmax_c, mark) of a day measured, forecast or filled in; None for a day outside what is known."""
        return self._days.day(day)

    def usual_day(self, day: date) -> tuple[float, float] | None:
        """(tmin_c, tmax_c) that is usual for the place on that day of the year."""
        return self._days.usual_day(day)

    def heat_after(self, start: date, degree_days_c: float) -> Reached:
        """When this many degree-days above 5 °C (single sine, no ceiling) have passed since the end of `start`."""
        return self._heat.after(start, degree_days_c)

    def heat_between(self, start: date, end: date) -> float | None:
        """Degree-days above 5 °C, as in `heat_after`, of the days after `start` through `end`; None where unknown."""
        return self._heat.between(start, end)

    def frost_nights(self, species: Iterable[str]) -> tuple[FrostNight, ...]:
        """Tonight's and the forecast nights that can hurt the buds at the stage they will have reached."""
        nights = []
        for step in range(_FORECAST_DAYS + 1):
            night = self._today + step * _DAY
            held = self._days.day(night)
            if held is not None and (held[2] == FORECAST or step == 0):
                nights.append((night, held[0]))
        found: list[FrostNight] = []
        for name in species:
            staged = [(night, tmin_c, self._stage_on(name, night)) for night, tmin_c in nights]
            found += frost.frost_nights(name, staged)
        return tuple(found)

    @property
    def first_held(self) -> date | None:
        """The first day of which temperatures are on file."""
        return self._days.first_held

    @property
    def forecast_to(self) -> date | None:
        """The last day to come that is forecast; None where no coming night is known."""
        return self._days.last_known if self._days.last_known > self._today else None

    def frost_is_unknown(self, species: Iterable[str]) -> bool:
        """Whether a night of the coming week that nobody forecast may hurt the buds that stand now.

        It may where one of the ways that the weather may go comes within a margin of what kills one bud in ten.
        """
        if self.forecast_to is not None:
            return False
        kills = [frost.kill_temperatures(name, self._stage_on(name, self._today)) for name in species]
        most_c = max((kill.kill10_c for kill in kills if kill is not None), default=None)
        if most_c is None:
            return False
        ways = self._days.to_come(self._today + _DAY, self._today + _FROST_AHEAD_DAYS * _DAY)
        return any(min(way.tmin_c) <= most_c + _FROST_MARGIN_C for way in ways)

    def callus_weather(self, species: str) -> CallusWeather:
        """How many of the next fourteen days are inside the species' callus range."""
        last = self._today + _CALLUS_DAYS * _DAY
        known = self._days.known(self._today + _DAY, last)
        shares = [
            callus_share(species, list(zip(known.tmin_c + more.tmin_c, known.tmax_c + more.tmax_c, strict=True)))
            for more in self._days.to_come(self._today + _DAY, last)
        ]
        wanted = callus_range(species)
        warm_days = _CALLUS_DAYS * sum(shares) / len(shares)
        return CallusWeather(species, warm_days, _CALLUS_DAYS, wanted.lowest_c, wanted.highest_c, wanted.source)

    def pick_dates(self, evidence: Iterable[RipeEvidence], season: Season) -> tuple[PickDate, ...]:
        """When each variety is to be picked that season, of those of which enough is known."""
        from tendwork.almanac.ripening import Ripening

        def full_bloom(species: str, variety: str, of_season: Season) -> StageDate:
            return self.stage(species, "full bloom", of_season, variety)

        return Ripening(self._days, self._place.latitude, self._south, full_bloom).dates(evidence, season)

    def warnings(self) -> tuple[str, ...]:
        """Words about sightings and temperatures that look wrong."""
        words = list(self._sightings.words)
        if self._days.looks_like_fahrenheit():
            words.append("The temperatures look like °F taken for °C: no bud date can be trusted.")
        return tuple(words)

    def _all_stages(self, species: str, season: Season, variety: str) -> tuple[StageDate, ...]:
        rows = {row.stage: row for row in self._bud_rows(species, season, variety)}
        rows.update(self._late.rows(species, season, variety))
        return tuple(rows[stage] for stage, _, _ in STAGES[species])

    def _bud_rows(self, species: str, season: Season, variety: str) -> list[StageDate]:
        key = (species, season, variety)
        if key not in self._rows:
            self._rows[key] = self._buds.stage_dates(species, season, variety)
        return self._rows[key]

    def _stage_on(self, species: str, night: date) -> str:
        """The stage that the buds will have reached by that night."""
        reached = "dormant"
        for row in self.stages(species, season_of(night, self._south)):
            if row.date is not None and row.date <= night:
                reached = row.stage
        return reached
