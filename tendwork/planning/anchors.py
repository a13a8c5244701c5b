"""From an anchor of a template to a day: dates, bud stages, events of the record, and days, weeks or heat from them."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Protocol

from msgspec import Struct

from tendwork.almanac.results import Reached, StageDate
from tendwork.almanac.seasons import Season
from tendwork.planning.subjects import Subject
from tendwork.planning.vocabulary import Anchor
from tendwork.species import stage_named

EVENT_WORDS = {
    "planted": "planted",
    "planned": "planned",
    "cut": "cut",
    "received": "received",
    "promised": "promised",
    "set": "set",
    "budded": "budded",
    "took": "seen to take",
    "failed": "seen to fail",
    "unwrapped": "unwrapped",
    "tasted": "last tasted",
    "verdict": "judged",
}


class SeasonAlmanac(Protocol):
    """What the planner asks of the almanac."""

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate: ...
    def heat_after(self, start: date, degree_days_c: float) -> Reached: ...
    def day(self, day: date) -> tuple[float, float, str] | None: ...


class Moment(Struct, frozen=True):
    """A resolved anchor: the day, its 80 % range where buds or heat move it, and the sentence that says why."""

    day: date
    words: str
    low: date | None = None
    high: date | None = None
    buds: tuple[str, ...] = ()


class Anchors:
    """Resolves the anchors of one season; asks the almanac once per stage."""

    def __init__(self, almanac: SeasonAlmanac, season: Season) -> None:
        self._almanac = almanac
        self._season = season
        self._stages: dict[tuple[str, str, str], StageDate | None] = {}
        self._heat: dict[tuple[date, float], Reached] = {}

    def resolve(self, anchor: Anchor, subject: Subject) -> Moment | None:
        """The anchor's day for this unit; None where the record or the almanac gives no day."""
        base = self._base(anchor, subject)
        if base is None:
            return None
        moment = _later(base, anchor.days + round(anchor.weeks * 7))
        return moment if anchor.heat is None else self._warmed(moment, anchor.heat)

    def event_floor(self, anchor: Anchor, subject: Subject) -> date | None:
        """The day that the record's events alone give; None for an anchor that asks for no event.

        A job that hangs on an event belongs to the season of this day only, however its other anchors move.
        """
        if anchor.after is not None:
            moment = self.resolve(anchor, subject)
            return None if moment is None else moment.day
        parts = anchor.latest_of or anchor.earliest_of or ()
        floors = [floor for floor in (self.event_floor(part, subject) for part in parts) if floor is not None]
        if not floors:
            return None
        floor = max(floors) if anchor.latest_of else min(floors)
        return floor + timedelta(days=anchor.days + round(anchor.weeks * 7))

    def _base(self, anchor: Anchor, subject: Subject) -> Moment | None:
        if anchor.date is not None:
            month, day = (int(part) for part in anchor.date.split("-"))
            when = self._season.on(month, day)
            return Moment(when, _day_words(when))
        if anchor.stage is not None:
            return self._stage(anchor.stage, subject)
        if anchor.after is not None:
            when_it_was = subject.events.get(anchor.after)
            if when_it_was is None:
                return None
            year = "" if when_it_was in self._season else f" {when_it_was.year}"
            return Moment(when_it_was, f"it was {EVENT_WORDS[anchor.after]} on {_day_words(when_it_was)}{year}")
        moments = [self.resolve(part, subject) for part in (anchor.latest_of or anchor.earliest_of or ())]
        known = [moment for moment in moments if moment is not None]
        if not known:
            return None
        if anchor.latest_of is not None:
            return None if len(known) < len(moments) else max(known, key=lambda moment: moment.day)
        return min(known, key=lambda moment: moment.day)

    def _stage(self, word: str, subject: Subject) -> Moment | None:
        reached: list[tuple[date, str, StageDate]] = []
        for species in subject.species:
            found = self._stage_date(species, word, subject.variety)
            if found is not None and found.date is not None:
                reached.append((found.date, species, found))
        if not reached:
            return None
        when, species, found = min(reached, key=lambda entry: (entry[0], entry[1]))
        seen = "seen" if found.state == "seen" else "expected" if found.state == "predicted" else "reckoned"
        words = f"{species} {found.stage}, {seen} {_day_words(when)}"
        if found.state != "seen" and found.low is not None and found.high is not None and found.low != found.high:
            words += f" ({_day_words(found.low)} to {_day_words(found.high)})"
        return Moment(when, words, found.low, found.high, found.because)

    def _stage_date(self, species: str, word: str, variety: str) -> StageDate | None:
        key = (species, word, variety)
        if key not in self._stages:
            stage = stage_named(species, word)
            self._stages[key] = None if stage is None else self._almanac.stage(species, stage, self._season, variety)
        return self._stages[key]

    def _warmed(self, moment: Moment, heat: float) -> Moment | None:
        key = (moment.day, heat)
        if key not in self._heat:
            self._heat[key] = self._almanac.heat_after(moment.day, heat)
        reached = self._heat[key]
        if reached.day is None:
            return None
        words = f"{heat:g} degree-days after {moment.words}"
        return Moment(reached.day, words, reached.low, reached.high, moment.buds)


def _later(moment: Moment, days: int) -> Moment:
    if days == 0:
        return moment
    shift = timedelta(days=days)
    size = abs(days)
    amount = f"{size // 7} weeks" if size % 7 == 0 and size >= 14 else f"{size} day{'s' if size != 1 else ''}"
    words = f"{amount} {'after' if days > 0 else 'before'} {moment.words}"
    return Moment(
        moment.day + shift,
        words,
        None if moment.low is None else moment.low + shift,
        None if moment.high is None else moment.high + shift,
        moment.buds,
    )


def _day_words(day: date) -> str:
    return f"{day.day} {day:%b}"
