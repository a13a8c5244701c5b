"""The almanac of one place: bud stages, heat, frost and callus weather, each with its range and its reasons."""

from __future__ import annotations

from datetime import date, timedelta
from math import log, sqrt

from tendwork.almanac.days import Days
from tendwork.almanac.development import day_reached, forward, heat_of_day, needed
from tendwork.almanac.learning import Factor, Lesson, learn
from tendwork.almanac.place import Place, UsualDate
from tendwork.almanac.requirements import HEAT_TO_BLOOM, SHARE_OF_BLOOM, SHOOT_STOP_DAYS
from tendwork.almanac.results import FrostNight, Reached, SeenStage, StageDate
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.temperature import DailySeries
from tendwork.species import STAGES, bbch

__all__ = ["Almanac", "Place", "UsualDate"]

_DAY = timedelta(days=1)
_MODEL_SD_DAYS = 5.0
_PRIOR_LOG_SD = 0.2
_USUAL_SD_DAYS = 5.0
_SEEN_SD_DAYS = 3.0
_RANGE_80 = 1.2816
_LEAF_FALL_BASE_C = 8.0
_HEAT_BASE_C = 5.0


class Almanac:
    """Cheap to make; every species and season is computed when asked for, and kept."""

    def __init__(self, place: Place, series: DailySeries | None, seen: tuple[SeenStage, ...], today: date) -> None:
        self._place = place
        self._today = today
        self._days = Days(place, series, today)
        self._seen = tuple(sighting for sighting in seen if sighting.day <= today)
        self._sums: dict[Season, list[list[float]]] = {}
        self._stages: dict[tuple[str, Season, str], tuple[StageDate, ...]] = {}
        self._factors: dict[str, Factor] = {}
        self._leaf_falls: dict[int, tuple[date, date, date]] = {}

    def stages(self, species: str, season: Season, variety: str = "") -> tuple[StageDate, ...]:
        """All stages of the species in one season, in the order of the buds."""
        key = (species, season, variety)
        if key not in self._stages:
            self._stages[key] = self._stages_of(species, season)
        return self._stages[key]

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate:
        """One stage; `stage` is the species' own name for it. Raises KeyError for a stage it does not have."""
        for found in self.stages(species, season, variety):
            if found.stage == stage:
                return found
        raise KeyError(stage)

    def day(self, day: date) -> tuple[float, float, str] | None:
        """(tmin_c, tmax_c, mark) of a day measured or forecast, else None."""
        return self._days.day(day)

    def heat_after(self, start: date, degree_days_c: float) -> Reached:
        """When this many degree-days above 5 °C (single sine, no upper cut-off) have passed since the end of `start`."""
        first = start + _DAY
        low, high = self._days.known(first, start + timedelta(days=400))
        total = 0.0
        for step, pair in enumerate(zip(low, high, strict=True)):
            total += heat_of_day(*pair, _HEAT_BASE_C)
            if total >= degree_days_c:
                reached = first + timedelta(days=step)
                return Reached(reached, reached, reached)
        ends: list[int] = []
        traces = self._days.to_come(start + timedelta(days=400))
        for trace_low, trace_high in traces:
            running = total
            for step, pair in enumerate(zip(trace_low, trace_high, strict=True)):
                running += heat_of_day(*pair, _HEAT_BASE_C)
                if running >= degree_days_c and first + timedelta(days=len(low) + step) >= first:
                    ends.append(len(low) + step)
                    break
        if len(ends) <= len(traces) // 2:
            return Reached(None, None, None)
        ends.sort()
        return Reached(*(first + timedelta(days=_quantile(ends, share)) for share in (0.5, 0.1, 0.9)))

    def frost_nights(self, species: tuple[str, ...] | list[str]) -> tuple[FrostNight, ...]:
        """The coming nights with a forecast minimum at or below the 10 % kill temperature of the stage then."""
        del species
        return ()

    def callus_share(self, species: str) -> tuple[float, tuple[str, ...]]:
        """Share of the next 14 days inside the published callus range, and why."""
        del species
        return 0.0, ()

    def warnings(self) -> list[str]:
        """Words about data that look wrong."""
        return []

    def _stages_of(self, species: str, season: Season) -> tuple[StageDate, ...]:
        seen = self._seen_in(species, season)
        factor = self._factor(species)
        rows: list[StageDate] = []
        anchor: tuple[int, date] | None = None
        for stage, _, code in STAGES[species]:
            if stage in seen:
                day = seen[stage]
                rows.append(StageDate(stage, code, "seen", day, day, day, (f"seen on {day.isoformat()}",)))
                if code in SHARE_OF_BLOOM:
                    anchor = (code, day)
            elif stage == "dormant":
                rows.append(
                    self._dated(stage, code, self._leaf_fall(season.name - 1), ("leaf fall of the autumn before",))
                )
            elif stage == "leaf fall":
                rows.append(self._dated(stage, code, self._leaf_fall(season.name), ("common practice, no source",)))
            elif stage == "shoot stop":
                bloom = next(row for row in rows if row.stage == "full bloom")
                assert bloom.date is not None
                middle = bloom.date + timedelta(days=SHOOT_STOP_DAYS[species])
                span = timedelta(days=14)
                rows.append(
                    self._dated(stage, code, (middle, middle - span, middle + span), ("common practice, no source",))
                )
            else:
                rows.append(self._budding(species, stage, code, season, factor, anchor))
        return _in_order(rows)

    def _budding(
        self, species: str, stage: str, code: int, season: Season, factor: Factor, anchor: tuple[int, date] | None
    ) -> StageDate:
        start = self._start(season)
        wanted = needed(species, code, factor.value)
        sd_days = _MODEL_SD_DAYS
        because = [f"heat sum {wanted:.0f} degree-days above 6.1 °C, after published tables for this species"]
        days: list[int] = []
        for sums in self._season_sums(season):
            goal = wanted
            if anchor is not None:
                at = sums[min((anchor[1] - start).days, len(sums) - 1)]
                goal = at + needed(species, code, factor.value) - needed(species, anchor[0], factor.value)
            reached = day_reached(sums, goal)
            days.append(reached if reached is not None else len(sums) - 1)
        if anchor is not None:
            because.append(f"counted on from the sighting of {anchor[1].isoformat()}")
            sd_days = 3.0
        elif factor.log_mean:
            because.append(f"times {factor.value:.2f}, learned here")
        days.sort()
        middle, low, high = (_quantile(days, share) for share in (0.5, 0.1, 0.9))
        wide = _RANGE_80 * sd_days
        low = middle - round(sqrt((middle - low) ** 2 + wide**2))
        high = middle + round(sqrt((high - middle) ** 2 + wide**2))
        shift = timedelta(days=round(self._place.colder_days))
        dates = tuple(start + timedelta(days=index) + shift for index in (middle, low, high))
        return self._dated(stage, code, (dates[0], dates[1], dates[2]), tuple(because))

    def _dated(self, stage: str, code: int, dates: tuple[date, date, date], because: tuple[str, ...]) -> StageDate:
        state = "past" if dates[0] <= self._today else "predicted"
        return StageDate(stage, code, state, dates[0], dates[1], dates[2], because)

    def _start(self, season: Season) -> date:
        return date(season.name, 7, 1) if season.south else date(season.name, 1, 1)

    def _season_sums(self, season: Season) -> list[list[float]]:
        if season not in self._sums:
            start = self._start(season)
            end = start + timedelta(days=300)
            low, high = self._days.known(start, end)
            self._sums[season] = [
                forward(low + more_low, high + more_high, 0)
                for more_low, more_high in self._clipped(self._days.to_come(end), start, end, len(low))
            ]
        return self._sums[season]

    def _clipped(
        self, traces: list[tuple[list[float], list[float]]], start: date, end: date, known: int
    ) -> list[tuple[list[float], list[float]]]:
        wanted = (end - start).days + 1 - known
        return [(low[-wanted:], high[-wanted:]) if wanted > 0 else ([], []) for low, high in traces]

    def _factor(self, species: str) -> Factor:
        if species not in self._factors:
            lessons: list[Lesson] = []
            for sighting in self._seen:
                if sighting.species == species:
                    season = season_of(sighting.day, self._place.south)
                    lessons += self._lesson(species, sighting.stage, sighting.day, season, _SEEN_SD_DAYS)
            for usual in self._place.usual_dates:
                if usual.species == species:
                    season = season_of(self._today, self._place.south).previous
                    day = _in_season(season, usual.month, usual.day)
                    lessons += self._lesson(species, usual.stage, day, season, _USUAL_SD_DAYS)
            self._factors[species] = learn(_PRIOR_LOG_SD, tuple(lessons))
        return self._factors[species]

    def _lesson(self, species: str, stage: str, day: date, season: Season, sd_days: float) -> list[Lesson]:
        code = bbch(species, stage)
        sums = self._season_sums(season)[0]
        index = (day - self._start(season)).days - round(self._place.colder_days)
        if code not in SHARE_OF_BLOOM or not 7 <= index < len(sums) - 7 or sums[index] <= 0.1 * HEAT_TO_BLOOM[species]:
            return []
        rate = (log(sums[index + 7]) - log(max(sums[index - 7], 1.0))) / 14
        return [Lesson(log(sums[index] / needed(species, code)), max(sd_days * rate, 0.03))]

    def _seen_in(self, species: str, season: Season) -> dict[str, date]:
        seen: dict[str, date] = {}
        for sighting in sorted(self._seen, key=lambda entry: entry.day):
            if sighting.species == species and sighting.day in season:
                seen.setdefault(sighting.stage, sighting.day)
        return seen

    def _leaf_fall(self, year: int) -> tuple[date, date, date]:
        """Median and 80 % range of leaf fall in the autumn of the season named `year`."""
        if year not in self._leaf_falls:
            south = self._place.south
            first = date(year, 4, 10) if south else date(year, 10, 10)
            last = date(year, 6, 15) if south else date(year, 12, 15)
            if south:
                first, last = first.replace(year=year + 1), last.replace(year=year + 1)
            low, high = self._days.known(first, last)
            ends = []
            for more_low, more_high in self._clipped(self._days.to_come(last), first, last, len(low)):
                means = [(a + b) / 2 for a, b in zip(low + more_low, high + more_high, strict=True)]
                cold = (i for i in range(10, len(means)) if sum(means[i - 10 : i]) < 10 * _LEAF_FALL_BASE_C)
                ends.append(next(cold, len(means) - 1))
            ends.sort()
            middle = first + timedelta(days=_quantile(ends, 0.5))
            self._leaf_falls[year] = (middle, middle - timedelta(days=12), middle + timedelta(days=12))
        return self._leaf_falls[year]


def _in_order(rows: list[StageDate]) -> tuple[StageDate, ...]:
    """No stage before an earlier one and none after a later sighting: what was seen stands, the rest gives way."""
    latest: date | None = None
    kept: list[StageDate] = []
    for position, row in enumerate(rows):
        later_seen = [other.date for other in rows[position + 1 :] if other.state == "seen" and other.date is not None]
        dates = [row.date, row.low, row.high]
        if row.state != "seen":
            if latest is not None:
                dates = [value if value is None or value >= latest else latest for value in dates]
            if later_seen:
                bound = min(later_seen)
                dates = [value if value is None or value <= bound else bound for value in dates]
        kept.append(StageDate(row.stage, row.bbch, row.state, dates[0], dates[1], dates[2], row.because))
        if dates[0] is not None and (latest is None or dates[0] > latest):
            latest = dates[0]
    return tuple(kept)


def _in_season(season: Season, month: int, day: int) -> date:
    """The calendar day of this month and day that falls in the season."""
    for year in (season.start.year, season.end.year):
        try:
            found = date(year, month, day)
        except ValueError:
            found = date(year, month, 28)
        if found in season:
            return found
    return date(season.name, month, min(day, 28))


def _quantile(ordered: list[int], share: float) -> int:
    position = share * (len(ordered) - 1)
    low = int(position)
    high = min(low + 1, len(ordered) - 1)
    return round(ordered[low] + (position - low) * (ordered[high] - ordered[low]))
