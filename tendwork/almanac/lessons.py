"""The lessons that a place holds about a species: one of each season with sightings, and one of each usual date."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from math import hypot, sqrt
from statistics import fmean

from msgspec import Struct
from msgspec.structs import replace

from tendwork.almanac.chill_doubt import models_part_days, season_days_of_doubt
from tendwork.almanac.days import Days
from tendwork.almanac.development import Progress, first_day, last_day
from tendwork.almanac.lateness import as_of_species
from tendwork.almanac.learning import Lesson
from tendwork.almanac.place import Place, UsualDate
from tendwork.almanac.requirements import SPREAD, heat_to_bloom, model_weights, share_log_sd, share_of_bloom
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.sightings import Sightings
from tendwork.almanac.stage_days import log_need_ratio
from tendwork.almanac.stage_habits import StageHabits, habits_of, seen_distances
from tendwork.species import bbch

WELL_HELD = 0.8
"""Share of a season's days that must be held for its lesson to be worth having."""
_USUAL_SEASONS = 10
_OVER = timedelta(days=7)


class _UsualLesson(Struct, frozen=True):
    """What a usual date says, and the spread in days of the climate that it was read in, where no season was held."""

    lesson: Lesson
    climate_days: float


class Lessons:
    """Made when asked for, and kept. `progress_of` gives a season's progress in each way that the weather may go on."""

    def __init__(
        self, place: Place, days: Days, sightings: Sightings, progress_of: Callable[[Season], Sequence[Progress]]
    ) -> None:
        self._place = place
        self._days = days
        self._sightings = sightings
        self._progress_of = progress_of
        self._shift = round(place.colder_days)
        self._springs: dict[tuple[str, Season, str], Lesson | None] = {}
        self._usuals: dict[str, list[_UsualLesson]] = {}

    def species_taught(self) -> set[str]:
        """Those that anything is held of."""
        return {*self._sightings.species(), *(usual.species for usual in self._place.usual_dates)}

    def about(self, species: str, season: Season) -> list[Lesson]:
        """All that bear on the species in `season`: springs of other seasons, the nearer the surer, and usual dates."""
        found = []
        for other in self._sightings.seasons(species):
            spring = self.of_spring(species, other) if other != season else None
            if spring is not None:
                drift = SPREAD.site_drift_days * sqrt(abs(season.name - other.name))
                found.append(replace(spring, sd_days=hypot(spring.sd_days, drift)))
        held = self._held(season)
        for usual in self._usual(species):
            # Normals err alike in the usual date's season and in one of which no more is known.
            found.append(replace(usual.lesson, sd_days=hypot(usual.lesson.sd_days, usual.climate_days * held)))
        return found

    def of_spring(self, species: str, season: Season, variety: str = "") -> Lesson | None:
        """The lesson of one season: of its sightings the one that says most about full bloom.

        With a variety, of its own sightings alone.
        """
        key = (species, season, variety)
        if key not in self._springs:
            self._springs[key] = self._spring(species, season, variety)
        return self._springs[key]

    def habits(self, species: str, season: Season) -> StageHabits:
        """How the stages lie before full bloom here, by the springs of other seasons."""
        weights = model_weights(species)
        model = weights.index(max(weights))
        distances = []
        for other in self._sightings.seasons(species):
            seen = self._sightings.teaching(species, other, as_of_species)
            if other == season or seen.broken:
                continue
            points = []
            for stage in seen.days:
                share = share_of_bloom(species, bbch(species, stage))
                if share is not None:
                    points.append((share, (seen.middle(stage) - first_day(other)).days - self._shift))
            if len(points) > 1:
                progress = Progress.mean_of(self._progress_of(other))
                distances.append(seen_distances(progress, species, model, points))
        return habits_of(distances)

    def climate_days(self, season: Season) -> float:
        """How unsure a season's date is, in days, where normals or a guess are all that is known of the climate."""
        return 0.0 if self._seasons_held() else self._unmeasured_days() * (1 - self._held(season))

    def _spring(self, species: str, season: Season, variety: str) -> Lesson | None:
        if variety:
            seen = self._sightings.of_variety(species, season, variety)
        else:
            seen = self._sightings.teaching(species, season, as_of_species)
        if seen.broken:
            return None
        best: Lesson | None = None
        held = self._days.measured_share(first_day(season), last_day(season))
        doubt_days = season_days_of_doubt(models_part_days(Progress.mean_of(self._progress_of(season)), species))
        for stage, days in seen.days.items():
            share = share_of_bloom(species, bbch(species, stage))
            if share is None:
                continue
            lessons = [self._read(species, share, season, day) for day in days]
            ratios, rates = _means([pair[0] for pair in lessons]), _means([pair[1] for pair in lessons])
            unsure = hypot(
                SPREAD.season_days,
                doubt_days,
                share_log_sd(share) / rates[0],
                SPREAD.year_days * (1 - held),
            )
            if best is None or unsure < best.sd_days:
                best = Lesson(ratios, rates, unsure, True)
        return best

    def _usual(self, species: str) -> list[_UsualLesson]:
        if species not in self._usuals:
            usuals = [usual for usual in self._place.usual_dates if usual.species == species]
            self._usuals[species] = [lesson for usual in usuals if (lesson := self._usual_lesson(usual)) is not None]
        return self._usuals[species]

    def _usual_lesson(self, usual: UsualDate) -> _UsualLesson | None:
        """A usual date is the middle of the last ten seasons; where none is held, of the normals' own season."""
        share = share_of_bloom(usual.species, bbch(usual.species, usual.stage))
        if share is None:
            return None
        seasons = [season for season in self._seasons_held() if self._is_over(season, usual)][:_USUAL_SEASONS]
        lacking = 1 / max(len(seasons), 1) - 1 / _USUAL_SEASONS
        climate_days = 0.0
        if not seasons:
            lacking, climate_days = 1 / _USUAL_SEASONS, self._unmeasured_days()
            seasons = [season_of(self._days.today, self._place.south).following]
        pairs = [self._read(usual.species, share, season, day_in(season, usual.month, usual.day)) for season in seasons]
        ratios, rates = _means([pair[0] for pair in pairs]), _means([pair[1] for pair in pairs])
        sd = hypot(SPREAD.usual_days, SPREAD.year_days * sqrt(lacking), share_log_sd(share) / rates[0])
        return _UsualLesson(Lesson(ratios, rates, sd, False), climate_days)

    def _held(self, season: Season) -> float:
        """Share of the season's days so far that are held; none of a season to come."""
        if first_day(season) > self._days.today:
            return 0.0
        return self._days.measured_share(first_day(season), last_day(season))

    def _unmeasured_days(self) -> float:
        return SPREAD.guess_days if self._days.climate_is_guessed else SPREAD.normals_days

    def _is_over(self, season: Season, usual: UsualDate) -> bool:
        return day_in(season, usual.month, usual.day) + _OVER <= self._days.today

    def _seasons_held(self) -> list[Season]:
        """The newest first."""
        first = self._days.first_held
        if first is None:
            return []
        season = season_of(self._days.today, self._place.south)
        held: list[Season] = []
        while first_day(season) >= first and len(held) <= _USUAL_SEASONS:
            if self._days.measured_share(first_day(season), last_day(season)) >= WELL_HELD:
                held.append(season)
            season = season.previous
        return held

    def _read(
        self, species: str, share: float, season: Season, day: date
    ) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Each model's log ratio and rate on a day."""
        several = self._progress_of(season)
        index = (day - first_day(season)).days - self._shift
        ratios = []
        rates = []
        for model in range(len(heat_to_bloom(species))):
            ratios.append(fmean(log_need_ratio(progress, species, model, share, index) for progress in several))
            rates.append(fmean(progress.log_rate(model, index) for progress in several))
        return tuple(ratios), tuple(rates)


def day_in(season: Season, month: int, day: int) -> date:
    """The day of the season with this month and day; 29 February is the 28th where there is none."""
    year = season.start.year if (month, day) >= (season.start.month, season.start.day) else season.start.year + 1
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month, 28)


def _means(rows: Sequence[tuple[float, ...]]) -> tuple[float, ...]:
    return tuple(sum(column) / len(rows) for column in zip(*rows, strict=True))
