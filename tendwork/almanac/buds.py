"""The bud stages of a place: each season's progress, what the place has learned, and the dates that follow."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from math import exp, hypot, log, sqrt

from msgspec import Struct

from tendwork.almanac.days import Days
from tendwork.almanac.development import Progress, first_day, last_day
from tendwork.almanac.kept_progress import KeptProgress
from tendwork.almanac.learning import Learned, Lesson, learn, offset, range_80
from tendwork.almanac.place import Place
from tendwork.almanac.requirements import (
    MODEL_WORDS,
    SPREAD,
    heat_to_bloom,
    share_in_model,
    share_log_sd,
    share_of_bloom,
    source_words,
)
from tendwork.almanac.results import StageDate, StageState
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.sightings import SeenSeason, Sightings
from tendwork.species import STAGES, bbch

_WELL_HELD = 0.8
_FULL_BLOOM_INDEX = 225  # mid-April: where rates are taken before anything is known
_MOST_USUAL_SEASONS = 30
_CONTRADICTION_DAYS = 6.0
_GUESSED_CLIMATE_DAYS = 20.0
_MOST_SHARE_DAYS = 10.0
_AFTER_SIGHTING_DAYS = 1.2
_AFTER_SIGHTING_SHARE = 0.25
_CARRIED_ON = 0.15  # of the days by which a seen stage was early or late, what the later ones keep


class LastSeenStage(Struct, frozen=True):
    """The furthest stage seen in a season, from which later ones are counted on."""

    share: float
    index: int
    day: date


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
        self._learned: dict[tuple[str, Season], Learned] = {}
        self._springs: dict[tuple[str, Season], Lesson | None] = {}
        self._usuals: dict[str, list[Lesson]] = {}

    def stage_dates(self, species: str, season: Season, variety: str = "") -> list[StageDate]:
        """Every stage between dormant buds and the end of fruit set, in order; what was seen is a fact."""
        seen = self._sightings.of(species, season, variety)
        learned = self.learned(species, season)
        late_days = self._variety_days(species, variety, learned)
        anchor = self._anchor(species, season, seen)
        rows = []
        for stage, _, code in STAGES[species]:
            share = share_of_bloom(species, code)
            if share is None:
                continue
            if stage in seen.days:
                rows.append(_seen_row(stage, code, seen))
            else:
                later = anchor if anchor is not None and share > anchor.share else None
                rows.append(self._row(species, stage, code, share, season, learned, late_days, later, seen.broken))
        return _around_what_was_seen(rows, self._days.today)

    def unseen(self, species: str, stage: str, season: Season, variety: str) -> StageDate | None:
        """The stage as it is foreseen from all but its own sightings; None for one that no heat sum gives."""
        code = bbch(species, stage)
        share = share_of_bloom(species, code)
        if share is None:
            return None
        seen = self._sightings.of(species, season, variety).without(stage)
        learned = self.learned(species, season)
        anchor = self._anchor(species, season, seen)
        later = anchor if anchor is not None and share > anchor.share else None
        late_days = self._variety_days(species, variety, learned)
        return self._row(species, stage, code, share, season, learned, late_days, later, seen.broken)

    def learned(self, species: str, season: Season) -> Learned:
        """What sightings of other seasons and usual dates teach about the species in `season`.

        Its own sightings anchor its later stages instead: were they to move belief between models as well, an early
        green tip could make bloom later.
        """
        key = (species, season)
        if key not in self._learned:
            others = [other for other in self._sightings.seasons(species) if other != season]
            lessons = [lesson for other in others if (lesson := self._kept_spring(species, other))]
            lessons += self._usual(species)
            progress = self._mean_progress(season_of(self._days.today, self._place.south))
            rates = []
            for model, heat in enumerate(heat_to_bloom(species)):
                reached = progress.day_reached(model, heat)
                rates.append(progress.log_rate(model, round(_FULL_BLOOM_INDEX if reached is None else reached)))
            self._learned[key] = learn(lessons, rates)
        return self._learned[key]

    def _kept_spring(self, species: str, season: Season) -> Lesson | None:
        if (species, season) not in self._springs:
            self._springs[(species, season)] = self._spring(species, season)
        return self._springs[(species, season)]

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
        late_days: float,
        anchor: LastSeenStage | None,
        broken: bool,
    ) -> StageDate:
        several = self.progress(season)
        usual_progress = self._mean_progress(season)
        extra = self._extra_days(season) + (_CONTRADICTION_DAYS if broken else 0.0)
        parts = []
        for model, (belief, bloom) in enumerate(zip(learned.beliefs, heat_to_bloom(species), strict=True)):
            heat = bloom * exp(belief.log_factor)
            own_share = share_in_model(model, share)
            expected = self._expected(several, model, heat * own_share)
            if expected is None:
                continue
            mean, spread = expected
            rate = usual_progress.log_rate(model, round(mean))
            unsure_share = min(share_log_sd(share) / rate, _MOST_SHARE_DAYS)
            sd = hypot(learned.season_days, belief.log_sd / rate, unsure_share)
            mean += late_days
            if anchor is not None:
                further = heat * (own_share - share_in_model(model, anchor.share))
                counted_on = self._counted_on(several, model, anchor.index, further)
                foreseen = self._expected(several, model, heat * share_in_model(model, anchor.share))
                if counted_on is not None and foreseen is not None:
                    mean, sd, spread = _joined(mean, sd, counted_on, anchor)
                    mean += _CARRIED_ON * (anchor.index - foreseen[0])
            parts.append((belief.weight, mean, hypot(spread, sd, extra)))
        because = self._because(species, share, season, learned, late_days, anchor, broken)
        if not parts:
            cold = "the warmth of the season does not reach it by the end of summer"
            return StageDate(stage, code, "unreached", None, None, None, (cold, *because))
        low, middle, high = (
            first_day(season) + timedelta(days=max(round(point), 0) + self._shift) for point in range_80(parts)
        )
        if high > self._days.last_known:
            because += (f"the weather to come is taken in {len(several)} ways",)
        state: StageState = "past" if middle <= self._days.today else "predicted"
        return StageDate(stage, code, state, middle, low, high, because)

    def _expected(self, several: list[Progress], model: int, heat: float) -> tuple[float, float] | None:
        """Mean and spread of the day over the ways the weather may go on; None where most of them do not reach it."""
        return _mean_and_sd_of_most([progress.day_reached(model, heat) for progress in several])

    def _counted_on(
        self, several: list[Progress], model: int, index: int, further: float
    ) -> tuple[float, float] | None:
        """Mean and spread of the day on which so much further heat has come since the day `index`."""
        return _mean_and_sd_of_most(
            [progress.day_reached(model, progress.at(model, index) + further) for progress in several]
        )

    def _because(
        self,
        species: str,
        share: float,
        season: Season,
        learned: Learned,
        late_days: float,
        anchor: LastSeenStage | None,
        broken: bool,
    ) -> tuple[str, ...]:
        best = learned.best
        belief = learned.beliefs[best]
        heat = heat_to_bloom(species)[best] * share_in_model(best, share) * exp(belief.log_factor)
        words = [f"{heat:.0f} growing degree hours are needed: {MODEL_WORDS[best]} ({belief.weight:.0%} sure)"]
        if anchor is not None:
            words.append(f"counted on from what was seen on {anchor.day.isoformat()}")
        if learned.springs or learned.usual_dates:
            words.append(_taught(learned, exp(belief.log_factor)))
        else:
            words.append("nothing seen here yet: the published requirement as it stands, and a wide range")
        if round(late_days):
            words.append(f"this variety is {abs(round(late_days))} days {'later' if late_days > 0 else 'earlier'} here")
        if broken:
            words.append("the sightings of this season contradict each other, so the range is wide")
        words += self._about_days(season)
        words.append(source_words(species))
        return tuple(words)

    def _about_days(self, season: Season) -> list[str]:
        words = []
        share = self._days.measured_share(first_day(season), last_day(season))
        if share < _WELL_HELD:
            words.append(
                f"only {share:.0%} of the season's days are held; the others stand at {self._days.normals_from}"
            )
        if self._days.looks_like_fahrenheit():
            words.append("the temperatures look like °F taken for °C, so no date here can be trusted")
        if self._shift:
            words.append(f"moved by {self._shift} days, as the site asks")
        return words

    def _extra_days(self, season: Season) -> float:
        """Further spread where days are missing or the climate itself is a guess."""
        first, last = first_day(season), last_day(season)
        if self._days.climate_is_guessed:
            missing, spread = 1 - self._days.measured_share(first, last), _GUESSED_CLIMATE_DAYS
        else:  # days after the last known one are drawn in many ways, which spread by themselves
            missing, spread = 1 - self._days.measured_share(first, min(last, self._days.last_known)), SPREAD.year_days
        return spread * missing if missing > 1 - _WELL_HELD else 0.0

    def _anchor(self, species: str, season: Season, seen: SeenSeason) -> LastSeenStage | None:
        if seen.broken:
            return None
        furthest = None
        for stage in seen.days:
            share = share_of_bloom(species, bbch(species, stage))
            if share is not None and (furthest is None or share > furthest.share):
                day = seen.middle(stage)
                furthest = LastSeenStage(share, self._index(day, season), day)
        return furthest

    def _index(self, day: date, season: Season) -> int:
        return (day - first_day(season)).days - self._shift

    def _spring(self, species: str, season: Season, variety: str = "") -> Lesson | None:
        """The lesson of one season: of its sightings the one that says most about full bloom."""
        seen = self._sightings.of_variety(species, season, variety) if variety else self._sightings.of(species, season)
        if seen.broken:
            return None
        best: Lesson | None = None
        held = self._days.measured_share(first_day(season), last_day(season))
        for stage, days in seen.days.items():
            share = share_of_bloom(species, bbch(species, stage))
            if share is None:
                continue
            lessons = [self._lesson(species, share, season, day) for day in days]
            ratios, rates = _means([pair[0] for pair in lessons]), _means([pair[1] for pair in lessons])
            unsure = hypot(SPREAD.season_days, share_log_sd(share) / rates[0], SPREAD.year_days * (1 - held))
            if best is None or unsure < best.sd_days:
                best = Lesson(ratios, rates, unsure, True)
        return best

    def _usual(self, species: str) -> list[Lesson]:
        """A usual date speaks of every past season that is held; where none is, of the usual days themselves."""
        if species not in self._usuals:
            self._usuals[species] = self._usual_lessons(species)
        return self._usuals[species]

    def _usual_lessons(self, species: str) -> list[Lesson]:
        lessons = []
        for usual in self._place.usual_dates:
            share = share_of_bloom(species, bbch(species, usual.stage)) if usual.species == species else None
            if share is None:
                continue
            seasons = [season for season in self._seasons_held() if self._over(season, usual.month, usual.day)]
            sd = hypot(SPREAD.usual_days, SPREAD.year_days / sqrt(max(len(seasons), 1)))
            if not seasons:
                seasons = [season_of(self._days.today, self._place.south)]
            pairs = [self._lesson(species, share, season, day_in(season, usual.month, usual.day)) for season in seasons]
            ratios, rates = _means([pair[0] for pair in pairs]), _means([pair[1] for pair in pairs])
            lessons.append(Lesson(ratios, rates, hypot(sd, share_log_sd(share) / rates[0]), False))
        return lessons

    def _over(self, season: Season, month: int, day: int) -> bool:
        return day_in(season, month, day) + timedelta(days=7) <= self._days.today

    def _seasons_held(self) -> list[Season]:
        first = self._days.first_held
        if first is None:
            return []
        season = season_of(self._days.today, self._place.south)
        held: list[Season] = []
        while first_day(season) >= first and len(held) < _MOST_USUAL_SEASONS:
            if self._days.measured_share(first_day(season), last_day(season)) >= _WELL_HELD:
                held.append(season)
            season = season.previous
        return held

    def _lesson(
        self, species: str, share: float, season: Season, day: date
    ) -> tuple[tuple[float, ...], tuple[float, ...]]:
        """Each model's log ratio and rate on a day."""
        several = self.progress(season)
        index = self._index(day, season)
        ratios = []
        rates = []
        for model, bloom in enumerate(heat_to_bloom(species)):
            heat = sum(progress.at(model, index) for progress in several) / len(several)
            ratios.append(log(max(heat, 1.0) / (bloom * share_in_model(model, share))))
            rates.append(sum(progress.log_rate(model, index) for progress in several) / len(several))
        return tuple(ratios), tuple(rates)

    def _variety_days(self, species: str, variety: str, learned: Learned) -> float:
        if not variety:
            return 0.0
        seasons = self._sightings.seasons(species)
        return offset(learned, [lesson for season in seasons if (lesson := self._spring(species, season, variety))])


def day_in(season: Season, month: int, day: int) -> date:
    """The day of the season with this month and day; 29 February is the 28th where there is none."""
    year = season.start.year if (month, day) >= (season.start.month, season.start.day) else season.start.year + 1
    try:
        return date(year, month, day)
    except ValueError:
        return date(year, month, 28)


def _seen_row(stage: str, code: int, seen: SeenSeason) -> StageDate:
    days = seen.days[stage]
    middle = seen.middle(stage)
    words = [f"seen on {middle.isoformat()}"]
    if days[0] != days[-1]:
        words.append(f"seen from {days[0].isoformat()} to {days[-1].isoformat()}")
    if seen.broken:
        words.append("the sightings of this season contradict each other; none of them teaches anything")
    return StageDate(stage, code, "seen", middle, days[0], days[-1], tuple(words))


def _around_what_was_seen(rows: list[StageDate], today: date) -> list[StageDate]:
    """What was not seen lies between what was; and no stage lies before the one before it."""
    kept: list[StageDate] = []
    reached: date | None = None
    last_seen: date | None = None
    for position, row in enumerate(rows):
        if row.state == "seen":
            last_seen = row.date
        elif row.date is not None and row.low is not None and row.high is not None:
            later = [other.date for other in rows[position + 1 :] if other.state == "seen" and other.date is not None]
            next_seen = min(later, default=None)
            middle = _between(row.date, reached, next_seen)
            low = min(_between(row.low, last_seen, next_seen), middle)
            high = max(_between(row.high, last_seen, next_seen), middle)
            state: StageState = "past" if middle <= today else "predicted"
            row = StageDate(row.stage, row.bbch, state, middle, low, high, row.because)
        kept.append(row)
        if row.date is not None and (reached is None or row.date > reached):
            reached = row.date
    return kept


def _between(day: date, earliest: date | None, latest: date | None) -> date:
    if earliest is not None:
        day = max(day, earliest)
    return day if latest is None else min(day, latest)


def _taught(learned: Learned, factor: float) -> str:
    parts = []
    if learned.springs:
        parts.append(f"{learned.springs} spring{'s' if learned.springs != 1 else ''} of sightings")
    if learned.usual_dates:
        parts.append("the usual date" if learned.usual_dates == 1 else f"{learned.usual_dates} usual dates")
    change = abs(factor - 1)
    need = (
        f"{change:.0%} {'more' if factor > 1 else 'less'} heat than published" if change >= 0.005 else "no other heat"
    )
    return f"learned here from {' and '.join(parts)}: the buds need {need}"


def _joined(
    mean: float, sd: float, counted_on: tuple[float, float], anchor: LastSeenStage
) -> tuple[float, float, float]:
    """The expected day and the one counted on from a sighting, each weighed by how sure it is: mean, sd and spread."""
    later, spread = counted_on
    own = hypot(_AFTER_SIGHTING_DAYS, _AFTER_SIGHTING_SHARE * (later - anchor.index))
    weight = sd**2 / (sd**2 + own**2)
    return mean + weight * (later - mean), own * sqrt(weight), spread


def _mean_and_sd_of_most(days: Sequence[float | None]) -> tuple[float, float] | None:
    """None where no more than half of the ways reach a day."""
    reached = [day for day in days if day is not None]
    return _mean_and_sd(reached) if len(reached) * 2 > len(days) else None


def _mean_and_sd(values: Sequence[float]) -> tuple[float, float]:
    mean = sum(values) / len(values)
    return mean, sqrt(sum((value - mean) ** 2 for value in values) / len(values))


def _means(rows: Sequence[tuple[float, ...]]) -> tuple[float, ...]:
    return tuple(sum(column) / len(rows) for column in zip(*rows, strict=True))
