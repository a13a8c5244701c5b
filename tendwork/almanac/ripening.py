"""When each variety of a species is to be picked in a season, out of all that is known of all of them.

A picking date is the variety's own day in a usual season, moved by this season's bloom and warmth (ripe_weather.py), by
what all varieties of the year have in common beside these, and by what is the variety's alone in one year. Tastings,
noted days, days from bloom and days against other varieties are each a noisy sum of these unknown numbers, so that one
exact calculation (joint_normal.py) weighs each by its own error, teaches the place's reaction to warmth, and lets what
ripened early this year speak for what is still to ripen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from math import erf, exp, hypot, log, pi, sqrt
from statistics import fmean

from msgspec import Struct

from tendwork.almanac.days import Days
from tendwork.almanac.joint_normal import JointNormal
from tendwork.almanac.results import StageDate
from tendwork.almanac.ripe_evidence import OVER, RIPE, STORED, UNRIPE, PickDate, RipeEvidence, Tasted
from tendwork.almanac.ripe_reasons import Moves, day_and_month, reasons
from tendwork.almanac.ripe_weather import RipeWeather, SeasonWeather, reaction_of, spring_of
from tendwork.almanac.seasons import Season, season_of

_DAY = timedelta(days=1)
_HALF_OF_RANGE = 1.2816  # standard deviations from the middle to an end of the 80 % range
_PICKED_BY_DAYS = 244  # from then to 1 December or June: what is eaten later is out of the store


class RipeSpread(Struct, frozen=True):
    """Standard deviations in days."""

    year_days: float = 3.3
    """Of a season, alike in all varieties of a species, beside what its bloom and warmth say. Our own choice, with
    `variety_year_days` 4.3 together: what is left of 6 at one place once bloom and warmth are taken out."""
    variety_year_days: float = 2.8
    """Of one variety in one season: the distances between varieties move by 4 from year to year at one institution
    (Michigan State University, Grand Rapids, 2011, 2020 and 2021), which is two of these."""
    drift_days_a_year: float = 0.5
    """Of a variety's own day, from one year to the next (our own choice): an old season teaches less than the last."""
    noted_days: float = 6.0
    """Of a day that a person noted of this place: a single year's, for all that is known."""
    elsewhere_days: float = 12.0
    """Of a day of another place: Kentucky's middle and its ends lie a week apart, and one place varies by up to a
    month (University of Kentucky, 2019)."""
    from_bloom_place_days: float = 8.0
    from_bloom_list_days: float = 9.0
    """Days from bloom: 10 to 14 for one variety at one place (Hawke's Bay, Penn State, apples.extension.org); ours is
    how much of it more lists take away."""
    against_place_days: float = 5.0
    against_list_days: float = 5.0
    """Days against another variety: 7 between lists (14 apple varieties); ours is how much of it more lists take
    away."""
    taste_days: float = 2.0
    """Of the day on which unripe becomes ripe on the tongue (our own choice)."""


SPREAD = RipeSpread()
_UNKNOWN_SD = 1000.0
_EXPECTED_SDS = 1.0
_MOST_SD = 25.0  # a date that is less sure than that is no date


class _Read(Struct, frozen=True):
    """What the tastings of a variety say of one season: the day it was ripe, with the sd of reading it, or bounds."""

    season: Season
    ripe: date | None
    sd_days: float
    not_before: date | None = None
    not_after: date | None = None


class Ripening:
    """The picking dates of one place. `bloom_of` gives full bloom of (species, variety, season)."""

    def __init__(
        self, days: Days, latitude_deg: float, south: bool, bloom_of: Callable[[str, str, Season], StageDate]
    ) -> None:
        self._today = days.today
        self._south = south
        self._weather = RipeWeather(days, latitude_deg, bloom_of)

    def dates(self, evidence: Iterable[RipeEvidence], season: Season) -> tuple[PickDate, ...]:
        """Of every variety of which enough is known, in the order of the evidence; the others are left out."""
        held = tuple(evidence)
        found: dict[tuple[str, str], PickDate] = {}
        for species in dict.fromkeys(one.species for one in held):
            own = [one for one in held if one.species == species]
            joint = _SpeciesYears(self._weather, self._south, self._today, own, season)
            found |= {(species, one.variety): date for one in own if (date := joint.date_of(one)) is not None}
        return tuple(found[key] for one in held if (key := (one.species, one.variety)) in found)


class _SpeciesYears:
    """The unknown numbers of one species: three reactions, a day for each variety, and one for each season tasted."""

    def __init__(
        self,
        weather: RipeWeather,
        south: bool,
        today: date,
        evidence: Sequence[RipeEvidence],
        season: Season,
    ) -> None:
        self._weather = weather
        self._today = today
        self._season = season
        self._reaction = reaction_of(evidence[0].species)
        self._reads = {
            one.variety: _read_seasons([taste for taste in one.tasted if taste.day <= today], south) for one in evidence
        }
        seasons = {read.season for reads in self._reads.values() for read in reads if read.ripe is not None}
        names = dict.fromkeys((*self._reads, *(other.variety for one in evidence for other in one.against)))
        self._places = {name: 3 + place for place, name in enumerate(names)}
        years = sorted(seasons | {season}, key=lambda one: one.name)
        self._years = {year: 3 + len(names) + place for place, year in enumerate(years)}
        species, any_variety = evidence[0].species, evidence[0].variety
        means = [*self._reaction.factors, *(0.0 for _ in names), *(0.0 for _ in years)]
        sds = [*self._reaction.sds, *(_UNKNOWN_SD for _ in names)]
        sds += [hypot(SPREAD.year_days, weather.of(species, any_variety, year, season).unsure_days) for year in years]
        self._joint = JointNormal(means, sds)
        self._set_against: dict[str, list[str]] = {}
        for one in evidence:
            self._teach(one)
            for other in dict.fromkeys(said.variety for said in one.against):
                self._set_against.setdefault(other, []).append(one.variety)
        self._by_bloom_alone = self._known_by_bloom_alone(evidence)
        self._others = self._teach_this_season(evidence)

    def date_of(self, one: RipeEvidence) -> PickDate | None:
        """The date of a variety this season."""
        weather = self._weather.of(one.species, one.variety, self._season, self._season)
        now = self._read_of(one.variety)
        usual, variance = self._joint.mean_and_variance({self._places[one.variety]: 1.0})
        by_tastings = self._usual_moved(one, usual, variance)
        usual += by_tastings
        if now is not None and now.ripe is not None:
            words = (f"tasted ripe on {day_and_month(now.ripe)}",)
            known_before = self._day(usual) if variance <= _MOST_SD**2 else now.ripe
            return PickDate(one.species, one.variety, now.ripe, now.ripe, now.ripe, True, words, known_before)
        mean, variance = self._joint.mean_and_variance(self._row(one.variety, weather, self._season))
        variance += SPREAD.variety_year_days**2
        if variance > _MOST_SD**2:
            return None
        bounds = list(self._bounds(one, weather))
        low, middle, high = _range_80(mean, sqrt(variance), bounds)
        factors = [self._joint.mean_and_variance({place: 1.0})[0] for place in range(3)]
        year, _ = self._joint.mean_and_variance({self._years[self._season]: 1.0})
        moves = Moves(
            usual=self._day(usual),
            bloom=factors[0] * weather.late[0],
            early=factors[1] * weather.late[1],
            later=factors[2] * weather.late[2],
            year=year,
            by_tastings=by_tastings,
            not_before=None if now is None else now.not_before,
            not_after=None if now is None else now.not_after,
        )
        seen = [read.ripe for read in self._reads[one.variety] if read.ripe is not None]
        because = reasons(
            one,
            self._set_against.get(one.variety, ()),
            seen,
            weather,
            self._reaction,
            moves,
            self._others,
            self._by_bloom_alone,
        )
        days = (self._day(low), self._day(middle), self._day(high))
        return PickDate(one.species, one.variety, *days, False, because, moves.usual)

    def _known_by_bloom_alone(self, evidence: Sequence[RipeEvidence]) -> frozenset[str]:
        """The varieties of which days from bloom are said, and no day: not of them, nor of one set against them."""

        def is_dated(one: RipeEvidence) -> bool:
            return bool(one.noted) or any(read.ripe is not None for read in self._reads[one.variety])

        dated = {one.variety for one in evidence if is_dated(one)}
        return frozenset(
            one.variety
            for one in evidence
            if one.from_bloom
            and not one.against
            and dated.isdisjoint((one.variety, *self._set_against.get(one.variety, ())))
        )

    def _teach_this_season(self, evidence: Sequence[RipeEvidence]) -> int:
        """What ripened already speaks for the rest of the season; how many do.

        Only those that were to be ripe by today do: of later ones only the early ones could be seen by now.
        """
        found = []
        for one in evidence:
            read = self._read_of(one.variety)
            if read is not None and read.ripe is not None:
                weather = self._weather.of(one.species, one.variety, self._season, self._season)
                mean, variance = self._joint.mean_and_variance(self._row(one.variety, weather, self._season))
                sd = hypot(sqrt(variance), SPREAD.variety_year_days)
                if sd < _MOST_SD and mean + _EXPECTED_SDS * sd <= _number(self._today, self._season):
                    found.append((one, read.ripe, read.sd_days))
        for one, ripe, sd_days in found:
            self._see_ripe(one, self._season, ripe, sd_days)
        return len(found)

    def _see_ripe(self, one: RipeEvidence, season: Season, ripe: date, sd_days: float) -> None:
        weather = self._weather.of(one.species, one.variety, season, self._season)
        drift = SPREAD.drift_days_a_year**2 * abs(self._season.name - season.name)
        variance = SPREAD.variety_year_days**2 + sd_days**2 + drift
        self._joint.see(self._row(one.variety, weather, season), _number(ripe, season), variance)

    def _read_of(self, variety: str) -> _Read | None:
        """What was tasted of it this season."""
        return next((read for read in self._reads[variety] if read.season == self._season), None)

    def _teach(self, one: RipeEvidence) -> None:
        own = self._places[one.variety]
        for read in self._reads[one.variety]:
            if read.ripe is not None and read.season != self._season:
                self._see_ripe(one, read.season, read.ripe, read.sd_days)
        for noted in one.noted:
            sd = hypot(SPREAD.noted_days if noted.here else SPREAD.elsewhere_days, noted.span_days / sqrt(12))
            self._joint.see({own: 1.0}, _number_of_month_day(noted.month, noted.day, self._season), sd * sd)
        if one.from_bloom and (usual := self._weather.usual_bloom(one.species, one.variety, self._season)):
            value = usual[0] + fmean(said.days for said in one.from_bloom)
            sd_of_usual = sqrt(max(0.0, usual[1] ** 2 - _ONE_BLOOM_SD**2))
            place = SPREAD.from_bloom_place_days**2 + sd_of_usual**2
            self._joint.see({own: 1.0}, value, place + SPREAD.from_bloom_list_days**2 / len(one.from_bloom))
        by_other: dict[str, list[float]] = {}
        for said in one.against:
            by_other.setdefault(said.variety, []).append(said.days)
        for other, days in by_other.items():
            if other != one.variety:
                variance = SPREAD.against_place_days**2 + SPREAD.against_list_days**2 / len(days)
                self._joint.see({own: 1.0, self._places[other]: -1.0}, fmean(days), variance)

    def _usual_moved(self, one: RipeEvidence, usual: float, variance: float) -> float:
        """By how many days that it was unripe or over in other seasons moves its day of a season as usual."""
        bounds = list(self._bounds(one, None))
        sd = sqrt(variance + SPREAD.variety_year_days**2)
        return _range_80(usual, sd, bounds)[1] - usual if bounds else 0.0

    def _bounds(self, one: RipeEvidence, weather: SeasonWeather | None) -> Iterable[tuple[float, float, int]]:
        """(day, sd, side): that it ripens after (1) or before (-1) a day, seen this season or in another and moved.

        Without `weather` of a season as usual, by other seasons alone.
        """
        for read in self._reads[one.variety]:
            if read.ripe is not None or (weather is None and read.season == self._season):
                continue
            move, sd = 0.0, SPREAD.taste_days
            if read.season != self._season:
                then = self._weather.of(one.species, one.variety, read.season, self._season)
                late = (0.0, 0.0, 0.0) if weather is None else weather.late
                move = sum(
                    factor * (now - before)
                    for factor, now, before in zip(self._reaction.factors, late, then.late, strict=True)
                )
                sd = sqrt(2) * hypot(SPREAD.year_days, SPREAD.variety_year_days)
            if read.not_before is not None:
                yield _number(read.not_before, read.season) + move, sd, 1
            if read.not_after is not None:
                yield _number(read.not_after, read.season) + move, sd, -1

    def _row(self, variety: str, weather: SeasonWeather, season: Season) -> Mapping[int, float]:
        reactions = {place: value for place, value in enumerate(weather.late) if value}
        return {**reactions, self._places[variety]: 1.0, self._years[season]: 1.0}

    def _day(self, number: float) -> date:
        return spring_of(self._season) + round(number) * _DAY


_ONE_BLOOM_SD = 6.0  # of a single year's bloom around the usual: of a season to come no more than that is weather


def fruit_season(day: date, south: bool) -> Season:
    """The season whose fruit is tasted on a day: from April on, in the south October."""
    season = season_of(day, south)
    return season.previous if day < spring_of(season) else season


def _number(day: date, season: Season) -> float:
    return float((day - spring_of(season)).days)


def _number_of_month_day(month: int, day: int, season: Season) -> float:
    """Of a day of the year, in the fruit year of the season: the first on or after its beginning."""
    begin = spring_of(season)
    for year in (begin.year, begin.year + 1):
        found = date(year, month, min(day, 28) if month == 2 else day)
        if found >= begin:
            return _number(found, season)
    raise AssertionError("a year has every day")


def _read_seasons(tasted: Sequence[Tasted], south: bool) -> list[_Read]:
    """One of each season with tastings; several grafts of the variety are taken at the mean of their days."""
    held: dict[Season, dict[str, list[Tasted]]] = {}
    for taste in sorted(tasted, key=lambda one: one.day):
        season = fruit_season(taste.day, south)
        if _number(taste.day, season) < _PICKED_BY_DAYS:
            held.setdefault(season, {}).setdefault(taste.graft, []).append(taste)
    return [_together(season, [_read(season, own) for own in by_graft.values()]) for season, by_graft in held.items()]


def _read(season: Season, tasted: Sequence[Tasted]) -> _Read:
    """Ripe on the first day on which it was tasted so after it was last unripe, else between unripe and over."""
    unripe = [one.day for one in tasted if one.ripe == UNRIPE]
    ripe = [one.day for one in tasted if one.ripe == RIPE]
    over = [one.day for one in tasted if one.ripe in (OVER, STORED)]
    after = [day for day in ripe if not unripe or day > max(unripe)] or ripe
    if after:
        return _Read(season, after[0], 0.0)
    last, first = max(unripe, default=None), min(over, default=None)
    if last is not None and first is not None and first > last:
        return _Read(season, last + (first - last) / 2, (first - last).days / sqrt(12))
    return _Read(season, None, 0.0, last, first)


def _together(season: Season, reads: Sequence[_Read]) -> _Read:
    ripe = [read for read in reads if read.ripe is not None]
    if ripe:
        number = fmean(_number(read.ripe, season) for read in ripe if read.ripe is not None)
        return _Read(season, spring_of(season) + round(number) * _DAY, fmean(read.sd_days for read in ripe))
    before = [read.not_before for read in reads if read.not_before is not None]
    after = [read.not_after for read in reads if read.not_after is not None]
    return _Read(season, None, 0.0, max(before, default=None), min(after, default=None))


def _range_80(mean: float, sd: float, bounds: Sequence[tuple[float, float, int]]) -> tuple[float, float, float]:
    """The 10 %, 50 % and 90 % points of a normal date within soft bounds."""
    if not bounds:
        return mean - _HALF_OF_RANGE * sd, mean, mean + _HALF_OF_RANGE * sd
    days = [day for day, _, _ in bounds]
    first, last = min(mean - 5 * sd, *days) - 5, max(mean + 5 * sd, *days) + 5
    steps = [first + step / 4 for step in range(int((last - first) * 4) + 1)]
    logs = []
    for step in steps:
        log_density = -((step - mean) ** 2) / (2 * sd * sd)
        for day, soft, side in bounds:
            log_density += _log_share(side * (step - day) / soft)
        logs.append(log_density)
    most = max(logs)
    weights = [exp(value - most) for value in logs]
    whole, so_far = sum(weights), 0.0
    points: list[float] = []
    for step, weight in zip(steps, weights, strict=True):
        so_far += weight / whole
        while len(points) < 3 and so_far >= (0.1, 0.5, 0.9)[len(points)]:
            points.append(step)
    return points[0], points[1], points[2]


def _log_share(sds: float) -> float:
    """Log of the share of a normal below so many sds; far below by its asymptote, so that no bound is a wall."""
    if sds < -6:
        return -sds * sds / 2 - log(-sds * sqrt(2 * pi))
    return log((1 + erf(sds / sqrt(2))) / 2)
