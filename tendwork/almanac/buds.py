"""The bud stages of a place: each season's progress, what the place has learned, and the dates that follow."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import exp, hypot, sqrt
from statistics import fmean

from msgspec import Struct

from tendwork.almanac import bud_reasons
from tendwork.almanac.bloom_order import bloom_order
from tendwork.almanac.chill_doubt import models_part_days, season_days_of_doubt, site_days_of_doubt
from tendwork.almanac.days import Days
from tendwork.almanac.development import SEASON_DAYS, Progress, first_day, last_day
from tendwork.almanac.kept_progress import KeptProgress
from tendwork.almanac.lateness import Lateness
from tendwork.almanac.learning import Learned, learn, range_80
from tendwork.almanac.lessons import WELL_HELD, Lessons
from tendwork.almanac.place import Place
from tendwork.almanac.requirements import (
    SPREAD,
    heat_to_bloom,
    model_weights,
    share_log_sd,
    share_of_bloom,
    source_words,
)
from tendwork.almanac.results import StageDate, StageState
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.seen_here import SeenHere, seen_of_species, seen_of_variety
from tendwork.almanac.seen_rows import around_what_was_seen, before_seen_row
from tendwork.almanac.sightings import SeenSeason, Sightings
from tendwork.almanac.stage_days import day_after_seen, day_of_stage
from tendwork.almanac.stage_habits import StageHabits
from tendwork.species import STAGES, bbch

_FULL_BLOOM_INDEX = 225  # mid-April: where rates are taken before anything is known
_CONTRADICTION_DAYS = 6.0
_WORTH_SAYING_DAYS = 8.0
_MOST_SHARE_DAYS = 10.0
_AFTER_SIGHTING_DAYS = 1.2
_AFTER_SIGHTING_SHARE = 0.25
_CARRIED_ON = 0.15  # of the days by which a seen stage was early or late, what the later ones keep


class LastSeenStage(Struct, frozen=True):
    """The furthest stage seen in a season, from which later ones are counted on.

    `index` is the day for these buds, by `sd_days` unsure: of the variety, where `day` is that of its species, or of
    the species, where `day` is that of a variety. `whose` says of which, as " of Red Lamp".
    """

    share: float
    index: int
    day: date
    sd_days: float
    whose: str


class Kin(Struct, frozen=True):
    """What other species show of the climate: their names, by how many days it is late, and its sd in days."""

    species: tuple[str, ...] = ()
    late_days: float = 0.0
    sd_days: float = 0.0


class Buds:
    """Everything is computed when asked for, and kept."""

    def __init__(self, place: Place, days: Days, sightings: Sightings, kept: KeptProgress) -> None:
        self._kept = kept
        self._place = place
        self._days = days
        self._sightings = sightings
        self._shift = round(place.colder_days)
        self._progress: dict[Season, list[Progress]] = {}
        self._mean: dict[Season, Progress] = {}
        self._part: dict[tuple[str, Season], float] = {}
        self._learned: dict[tuple[str, Season], Learned] = {}
        self._stage_habits: dict[tuple[str, Season], StageHabits] = {}
        self._lessons = Lessons(place, days, sightings, self.progress)

    def stage_dates(self, species: str, season: Season, variety: str = "") -> list[StageDate]:
        """Every stage between dormant buds and the end of fruit set, in order; what was seen is a fact."""
        learned = self.learned(species, season)
        late = self._lateness(species, season, variety, learned, self._sightings.seasons(species))
        here = self._seen(species, season, variety, late, learned)
        anchor = self._anchor(species, season, here)
        progress = self._mean_progress(season)
        rows = []
        for stage, _, code in STAGES[species]:
            share = share_of_bloom(species, code)
            if share is None:
                continue
            if stage in here.seen.days:
                rows.append(here.row(stage, code, self._days.today))
            elif before := before_seen_row(
                species, stage, code, season, progress, learned.best, here, self._shift, self._days.today
            ):
                rows.append(before)
            else:
                later = anchor if anchor is not None and share > anchor.share else None
                rows.append(self._row(species, stage, code, share, season, learned, late, later, here.seen.broken))
        return around_what_was_seen(rows, here, self._days.today)

    def unseen(self, species: str, stage: str, season: Season, variety: str) -> StageDate | None:
        """The stage as it is foreseen from all but its own sightings; None for one that no heat sum gives."""
        code = bbch(species, stage)
        share = share_of_bloom(species, code)
        if share is None:
            return None
        learned = self.learned(species, season)
        others = tuple(other for other in self._sightings.seasons(species) if other != season)
        late = self._lateness(species, season, variety, learned, others)
        here = self._seen(species, season, variety, late, learned, stage)
        anchor = self._anchor(species, season, here)
        later = anchor if anchor is not None and share > anchor.share else None
        return self._row(species, stage, code, share, season, learned, late, later, here.seen.broken)

    def learned(self, species: str, season: Season) -> Learned:
        """What sightings of other seasons and usual dates teach about the species in `season`.

        Its own sightings anchor its later stages instead: were they to move belief between models as well, an early
        green tip could make bloom later.
        """
        key = (species, season)
        if key not in self._learned:
            self._learned[key] = self._learn(species, season, self._known_of_kin(species, season))
        return self._learned[key]

    def _learn(self, species: str, season: Season, kin: Kin) -> Learned:
        doubt_days = site_days_of_doubt(self._models_part_days(species, season))
        site_days = hypot(SPREAD.site_days, doubt_days, kin.sd_days)
        lessons = self._lessons.about(species, season)
        return learn(lessons, self._usual_rates(species), model_weights(species), site_days, kin.late_days)

    def _known_of_kin(self, species: str, season: Season) -> Kin:
        """How late the climate is, as other species show it that are known here.

        Nothing where the temperatures were measured: then what one species needs says next to nothing of another
        (Korean stations: correlations of 0.0 to 0.4).
        """
        climate = self._lessons.climate_days(season) ** 2
        if not climate:
            return Kin()
        whole = climate + SPREAD.site_days**2
        late, unsure = [], []
        kin = tuple(sorted(self._lessons.species_taught() - {species}))
        for other in kin:
            alone = self._learn(other, season, Kin((), 0.0, sqrt(climate)))
            days, sd = alone.late_days(self._usual_rates(other))
            late.append(climate / whole * days)
            unsure.append(climate - (climate / whole) ** 2 * max(whole - sd**2, 0.0))
        return Kin(kin, fmean(late), sqrt(min(unsure))) if late else Kin((), 0.0, sqrt(climate))

    def _usual_rates(self, species: str) -> list[float]:
        """How fast each model's heat goes, as a logarithm a day, when the species usually blooms."""
        progress = self._mean_progress(season_of(self._days.today, self._place.south))
        rates = []
        for model, heat in enumerate(heat_to_bloom(species)):
            reached = progress.day_reached(model, heat)
            rates.append(progress.log_rate(model, round(_FULL_BLOOM_INDEX if reached is None else reached)))
        return rates

    def progress(self, season: Season) -> list[Progress]:
        """One for each way the weather may go on; a single one where the season is over."""
        if season not in self._progress:
            first, last = first_day(season), last_day(season)
            self._progress[season] = self._kept.ways_forward(
                self._days.known(first, last), self._days.to_come(first, last), season, self._place.latitude
            )
        return self._progress[season]

    def _mean_progress(self, season: Season) -> Progress:
        """What tells how fast the buds usually go at a time of the year; a single way would change with its weather."""
        if season not in self._mean:
            self._mean[season] = Progress.mean_of(self.progress(season))
        return self._mean[season]

    def _row(
        self,
        species: str,
        stage: str,
        code: int,
        share: float,
        season: Season,
        learned: Learned,
        late: Lateness | None,
        anchor: LastSeenStage | None,
        broken: bool,
    ) -> StageDate:
        several = self.progress(season)
        usual_progress = self._mean_progress(season)
        extra = self._extra_days(species, season) + (_CONTRADICTION_DAYS if broken else 0.0)
        variety_days = 0.0 if late is None else late.at(share)
        habits = self._habits(species, season)
        late_days = variety_days + habits.days_at(share)
        late_before = 0.0 if anchor is None else habits.days_at(anchor.share) + (late.at(anchor.share) if late else 0.0)
        parts = []
        for model, (belief, bloom) in enumerate(zip(learned.beliefs, heat_to_bloom(species), strict=True)):
            heat = bloom * exp(belief.log_factor)
            expected = self._expected(several, species, model, heat, share)
            if expected is None:
                parts.append((belief.weight, float(SEASON_DAYS), learned.season_days))
                continue
            mean, spread = expected
            rate = usual_progress.log_rate(model, round(mean))
            unsure_share = min(share_log_sd(share) / rate, _MOST_SHARE_DAYS)
            sd = hypot(learned.season_days, belief.log_sd / rate, unsure_share)
            mean += late_days
            if anchor is not None:
                counted_on = _mean_and_sd_of_most(
                    [
                        day_after_seen(progress, species, model, heat, share, anchor.share, anchor.index)
                        for progress in several
                    ]
                )
                foreseen = self._expected(several, species, model, heat, anchor.share)
                if counted_on is not None and foreseen is not None:
                    counted_on = (counted_on[0] + late_days - late_before, counted_on[1])
                    mean, sd, spread = _joined(mean, sd, counted_on, anchor)
                    mean += _CARRIED_ON * (anchor.index - foreseen[0] - late_before)
            parts.append((belief.weight, mean, hypot(spread, sd, extra)))
        late_words = (*bud_reasons.of_habit(habits, share), *(late.words(variety_days) if late else ()))
        because = self._because(species, share, season, learned, late_words, anchor, broken)
        points = [round(min(max(point, 0), SEASON_DAYS - 1)) for point in range_80(parts)]
        if points[1] >= SEASON_DAYS - 1:
            cold = "the warmth of the season does not reach it by the end of summer"
            return StageDate(stage, code, "unreached", None, None, None, (cold, *because))
        low, middle, high = (first_day(season) + timedelta(days=point + self._shift) for point in points)
        if high > self._days.last_known and middle > self._days.today:
            because += bud_reasons.of_weather_to_come(self._days, len(several))
        state: StageState = "past" if middle <= self._days.today else "predicted"
        return StageDate(stage, code, state, middle, low, high, because)

    def _habits(self, species: str, season: Season) -> StageHabits:
        key = (species, season)
        if key not in self._stage_habits:
            self._stage_habits[key] = self._lessons.habits(species, season)
        return self._stage_habits[key]

    def _expected(
        self, several: list[Progress], species: str, model: int, need: float, share: float
    ) -> tuple[float, float] | None:
        """Mean and spread of the day over the ways the weather may go on; None where most of them do not reach it."""
        return _mean_and_sd_of_most([day_of_stage(progress, species, model, need, share) for progress in several])

    def _because(
        self,
        species: str,
        share: float,
        season: Season,
        learned: Learned,
        late_words: tuple[str, ...],
        anchor: LastSeenStage | None,
        broken: bool,
    ) -> tuple[str, ...]:
        words = [*bud_reasons.of_need(species, share, learned)]
        if anchor is not None:
            words.append(f"counted on from what was seen{anchor.whose} on {anchor.day.isoformat()}")
        kin = self._known_of_kin(species, season)
        told = [usual for usual in self._place.usual_dates if usual.species == species]
        taught = bud_reasons.of_learning(learned, told, kin.species, kin.late_days)
        if taught or anchor is None:
            words += taught or [bud_reasons.NOTHING_TAUGHT]
        words += late_words
        if broken:
            words.append("the sightings of this season contradict each other, so the range is wide")
        if self._models_part_days(species, season) >= _WORTH_SAYING_DAYS:
            words.append("in winters this mild nobody knows how much chill the buds still lack, so the range is wide")
        words += bud_reasons.of_days(self._days, season)
        if self._shift:
            words.append(f"moved by {self._shift} days, as the site asks")
        words.append(source_words(species))
        return tuple(words)

    def _extra_days(self, species: str, season: Season) -> float:
        """Further spread where days are missing or chill is short.

        Days after the last known one are drawn in many ways, which spread by themselves.
        """
        last = min(last_day(season), self._days.last_known)
        missing = 1 - self._days.measured_share(first_day(season), last)
        gaps = SPREAD.year_days * missing if missing > 1 - WELL_HELD and not self._days.climate_is_guessed else 0.0
        return hypot(gaps, season_days_of_doubt(self._models_part_days(species, season)))

    def _models_part_days(self, species: str, season: Season) -> float:
        key = (species, season)
        if key not in self._part:
            self._part[key] = models_part_days(self._mean_progress(season), species)
        return self._part[key]

    def _seen(
        self, species: str, season: Season, variety: str, late: Lateness | None, learned: Learned, leaving_out: str = ""
    ) -> SeenHere:
        """What was seen, on the days of these buds: what was seen of a variety alone says something of all others."""
        whole = SeenHere(self._sightings.of(species, season).without(leaving_out), {})
        entries = self._sightings.of_varieties_alone(species, season)
        if entries:
            others = tuple(other for other in self._sightings.seasons(species) if other != season)
            whole = seen_of_species(
                species,
                [entry for entry in entries if entry.variety != variety and entry.stage != leaving_out],
                lambda name: self._lateness(species, season, name, learned, others),
            )
        if not variety:
            return whole
        own = self._sightings.of_variety(species, season, variety).without(leaving_out)
        if entries and whole.seen.broken:
            whole = SeenHere(SeenSeason({}, False), {})
        return seen_of_variety(species, whole, own, late)

    def _anchor(self, species: str, season: Season, here: SeenHere) -> LastSeenStage | None:
        if here.seen.broken:
            return None
        furthest = None
        for stage in here.seen.days:
            share = share_of_bloom(species, bbch(species, stage))
            if share is not None and (furthest is None or share > furthest.share):
                day = here.seen.middle(stage)
                moved = here.moved.get(stage)
                seen_on, sd_days = (day, 0.0) if moved is None else (moved.seen_on, moved.sd_days)
                furthest = LastSeenStage(share, self._index(day, season), seen_on, sd_days, here.whose.get(stage, ""))
        return furthest

    def _index(self, day: date, season: Season) -> int:
        return (day - first_day(season)).days - self._shift

    def _lateness(
        self, species: str, season: Season, variety: str, learned: Learned, taught_by: Sequence[Season]
    ) -> Lateness | None:
        """None for the species as a whole, and for a variety of which nothing is published and nothing was seen."""
        if not variety:
            return None
        lessons = []
        if self._sightings.names(species, variety):
            lessons = [lesson for other in taught_by if (lesson := self._lessons.of_spring(species, other, variety))]
        order = bloom_order(species, variety)
        if not lessons and order is None:
            return None
        progress = self._mean_progress(season)
        bloom = progress.day_reached(0, heat_to_bloom(species)[0])
        rate = progress.log_rate(0, round(_FULL_BLOOM_INDEX if bloom is None else bloom))
        return Lateness(learned, tuple(lessons), order, rate)


def _joined(
    mean: float, sd: float, counted_on: tuple[float, float], anchor: LastSeenStage
) -> tuple[float, float, float]:
    """The expected day and the one counted on from a sighting, each weighed by how sure it is: mean, sd and spread."""
    later, spread = counted_on
    own = hypot(_AFTER_SIGHTING_DAYS, _AFTER_SIGHTING_SHARE * (later - anchor.index), anchor.sd_days)
    weight = sd**2 / (sd**2 + own**2)
    return mean + weight * (later - mean), own * sqrt(weight), spread


def _mean_and_sd_of_most(days: Sequence[float | None]) -> tuple[float, float] | None:
    """None where no more than half of the ways reach a day."""
    reached = [day for day in days if day is not None]
    return _mean_and_sd(reached) if len(reached) * 2 > len(days) else None


def _mean_and_sd(values: Sequence[float]) -> tuple[float, float]:
    mean = sum(values) / len(values)
    return mean, sqrt(sum((value - mean) ** 2 for value in values) / len(values))
