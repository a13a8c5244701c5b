"""The stages that no heat sum of the buds gives: dormant wood, the end of shoot growth and leaf fall.

What was seen of one in other seasons, and its usual date, move it by the days that they lie off what was foreseen.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, timedelta

from tendwork.almanac.days import Days
from tendwork.almanac.days_off import DaysOff, days_off
from tendwork.almanac.heat_calendar import HeatCalendar
from tendwork.almanac.leaf_fall import BECAUSE, DORMANT_BECAUSE, leaf_fall
from tendwork.almanac.lessons import day_in
from tendwork.almanac.place import Place, UsualDate
from tendwork.almanac.results import StageDate, StageState
from tendwork.almanac.seasons import Season, season_of
from tendwork.almanac.seen_here import whose_words
from tendwork.almanac.shoot_stop import shoot_stop
from tendwork.almanac.sightings import Sightings, season_seen
from tendwork.species import bbch

TAUGHT_BY_DAYS = ("shoot stop", "leaf fall")
"""The stages whose sightings and usual dates move those of other seasons."""


class LateStages:
    """Made when asked for, and kept. `bud_rows` gives the rows of the buds of (species, season, variety)."""

    def __init__(
        self,
        place: Place,
        days: Days,
        sightings: Sightings,
        heat: HeatCalendar,
        bud_rows: Callable[[str, Season, str], Sequence[StageDate]],
    ) -> None:
        self._place = place
        self._days = days
        self._sightings = sightings
        self._heat = heat
        self._bud_rows = bud_rows
        self._leaf_falls: dict[Season, tuple[date, date, date]] = {}
        self._foreseen: dict[tuple[str, str, Season, str], StageDate] = {}

    def rows(self, species: str, season: Season, variety: str) -> Mapping[str, StageDate]:
        """The three stages by their names."""
        rows = {stage: self._row(species, stage, season, variety) for stage in TAUGHT_BY_DAYS}
        return {**rows, "dormant": self._dormant(species, season, variety)}

    def dormant_not_before(self, species: str, season: Season) -> date:
        """A day before which the wood is dormant in no variety; the first of all where leaf fall was taught here."""
        stage = "leaf fall"
        told = any((usual.species, usual.stage) == (species, stage) for usual in self._place.usual_dates)
        seen = any(self._sightings.was_seen(species, other, stage) for other in self._sightings.seasons(species))
        return date.min if told or seen else self._leaf_fall(season.previous)[0]

    def unseen(self, species: str, stage: str, season: Season, variety: str) -> StageDate:
        """One of `TAUGHT_BY_DAYS` as it is foreseen from all but its own sightings of that season."""
        row = self._from_weather(species, stage, season, variety)
        if row.date is None or row.low is None or row.high is None:
            return row
        learned = self._days_off(species, stage, season, variety)
        if not learned.words:
            return row
        earliest = self._not_before(species, stage, season, variety)
        day = max(row.date + timedelta(days=round(learned.days)), earliest)
        half = (
            (row.high - row.low) / 2 * learned.left_of_range
        )  # what bounds the weather's date by one side bounds no other
        low, high = max(day - half, min(earliest, day)), day + half
        return self._dated(species, stage, (day, low, high), (*row.because, *learned.words))

    def _row(self, species: str, stage: str, season: Season, variety: str) -> StageDate:
        return self._seen(species, stage, season, variety) or self.unseen(species, stage, season, variety)

    def _dormant(self, species: str, season: Season, variety: str) -> StageDate:
        """Of the wood that grew in the season before."""
        seen = self._seen(species, "dormant", season, variety)
        if seen is not None:
            return seen
        fallen = self._row(species, "leaf fall", season.previous, variety)
        because = fallen.because
        if fallen.state == "seen":
            because = tuple(f"leaf fall {words}" for words in because)
        else:
            because = (DORMANT_BECAUSE, *because[1:])
        return StageDate(
            "dormant", bbch(species, "dormant"), fallen.state, fallen.date, fallen.low, fallen.high, because
        )

    def _seen(self, species: str, stage: str, season: Season, variety: str) -> StageDate | None:
        seen = self._sightings.of(species, season, variety)
        if stage not in seen.days:
            return None
        day = seen.middle(stage)
        whose = "" if variety else whose_words(self._sightings.of_varieties_alone(species, season), stage)
        return StageDate(stage, bbch(species, stage), "seen", day, day, day, (f"seen{whose} on {day.isoformat()}",))

    def _from_weather(self, species: str, stage: str, season: Season, variety: str) -> StageDate:
        """As the weather alone foresees it, whatever the place has shown."""
        key = (species, stage, season, variety)
        if key not in self._foreseen:
            if stage == "leaf fall":
                row = self._dated(species, stage, self._leaf_fall(season), (BECAUSE,))
            else:
                row = self._shoot_stop(species, season, variety)
            self._foreseen[key] = row
        return self._foreseen[key]

    def _shoot_stop(self, species: str, season: Season, variety: str) -> StageDate:
        rows = self._bud_rows(species, season, variety)
        fruit_set = max((row.date for row in rows if row.date is not None), default=season.start)
        (bloom,) = (row for row in rows if row.stage == "full bloom")
        fallen = self._leaf_fall(season)[0]
        found = shoot_stop(species, season, bloom, fruit_set, fallen, self._heat, self._days.climate_is_guessed)
        if found is None:
            code = bbch(species, "shoot stop")
            return StageDate("shoot stop", code, "unreached", None, None, None, ("full bloom is not reached",))
        return self._dated(species, "shoot stop", (found.day, found.low, found.high), found.because)

    def _not_before(self, species: str, stage: str, season: Season, variety: str) -> date:
        """The day of the stage before it, however far what was seen elsewhere would move it."""
        if stage == "leaf fall":
            return self._row(species, "shoot stop", season, variety).date or season.start
        days = (row.date for row in self._bud_rows(species, season, variety))
        return max((day for day in days if day is not None), default=season.start)

    def _days_off(self, species: str, stage: str, season: Season, variety: str) -> DaysOff:
        seen = []
        for other in self._sightings.seasons(species):
            days = self._sightings.of(species, other, variety)
            if other != season and stage in days.days:
                seen += self._off(species, stage, other, variety, days.middle(stage))
        usual = []
        for known in self._place.usual_dates:
            if (known.species, known.stage) == (species, stage):
                usual += self._usual_off(known, variety)
        return days_off(seen, usual)

    def _usual_off(self, usual: UsualDate, variety: str) -> list[int]:
        """Against the season after this one, whose weather stands for that of any year."""
        season = season_of(self._days.today, self._place.south).following
        day = day_of_stage(season, usual.stage, usual.month, usual.day)
        return self._off(usual.species, usual.stage, season, variety, day)

    def _off(self, species: str, stage: str, season: Season, variety: str, day: date) -> list[int]:
        foreseen = self._from_weather(species, stage, season, variety).date
        return [] if foreseen is None else [(day - foreseen).days]

    def _dated(self, species: str, stage: str, dates: tuple[date, date, date], because: tuple[str, ...]) -> StageDate:
        state: StageState = "past" if dates[0] <= self._days.today else "predicted"
        return StageDate(stage, bbch(species, stage), state, *dates, because)

    def _leaf_fall(self, season: Season) -> tuple[date, date, date]:
        if season not in self._leaf_falls:
            self._leaf_falls[season] = leaf_fall(self._days, season)
        return self._leaf_falls[season]


def day_of_stage(season: Season, stage: str, month: int, day: int) -> date:
    """The day with this month and day on which the buds of a season reach a stage, however late their leaves fall."""
    found = day_in(season, month, day)
    return found if season_seen(found, stage, season.south) == season else day_in(season.following, month, day)
