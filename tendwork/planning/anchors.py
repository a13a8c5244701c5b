"""From an anchor of a template to a day: dates, bud stages, events of the record, and days, weeks or heat from them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from datetime import date, timedelta
from typing import Protocol

import msgspec
from msgspec import Struct

from tendwork.almanac.results import Reached, StageDate
from tendwork.almanac.seasons import Season, season_of
from tendwork.planning.ages import bud_sleeps
from tendwork.planning.day_format import day_and_month
from tendwork.planning.ripe_events import NOT_KNOWN, RIPE_EVENTS, RIPENS_UNKNOWN, SEASON_EVENTS, ripe_words
from tendwork.planning.ripening_dates import RipeDates
from tendwork.planning.subject import Subject
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
    "woken": "a bud that may grow",
    "took": "seen to take",
    "failed": "seen to fail",
    "unwrapped": "unwrapped",
    "tasted": "last tasted",
    "verdict": "judged",
    "fire blight": "first seen with fire blight",
    "picked": "picked",
    "stored": "picked and put by",
    "none left": "eaten up",
    "gnawed bark": "found gnawed",
    "storm": "in a storm",
}
_SETTING = ("set", "budded")
_WINTER_DAYS = 120
"""Nothing ripens in the winter that begins a season."""
_MIDDLE_OF_YEAR = (7, 2)

_LEAST_HEAT = 0.1  # degree-days that certainly come after the day from which they are counted


class SeasonAlmanac(Protocol):
    """What the planner asks of the almanac."""

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate: ...
    def not_before(self, species: str, stage: str, season: Season) -> date: ...
    def standing_for(self, species: str, variety: str) -> str: ...
    def heat_after(self, start: date, degree_days_c: float) -> Reached: ...
    def heat_between(self, start: date, end: date) -> float | None: ...
    def day(self, day: date) -> tuple[float, float, str] | None: ...
    def usual_day(self, day: date) -> tuple[float, float] | None: ...


class Moment(Struct, frozen=True):
    """A resolved anchor: the day, its 80 % range where buds or heat move it, and `say`, the words for why.
    `buds` is what buds or ripening follow from.

    The words are made only when asked for: most moments decide about a window, few are shown.
    """

    day: date
    say: Callable[[], str]
    low: date | None = None
    high: date | None = None
    buds: tuple[str, ...] = ()


def event_day(event: str, subject: Subject, south: bool) -> date | None:
    """The day of an event of the unit; None where there was none."""
    return woken_on(subject, south) if event == "woken" else subject.events.get(event)


def woken_on(subject: Subject, south: bool) -> date | None:
    """From when a bud is to grow: the day on which it was set, for a summer bud the first day of the season after."""
    budded = subject.events.get("budded")
    if budded is None:
        return None
    year_alone = subject.set_in.isdigit()
    if not bud_sleeps(budded, year_alone, south):
        return budded
    return season_of(date(budded.year, *_MIDDLE_OF_YEAR) if year_alone else budded, south).following.start


def happening(event: str, day: bool = False) -> str:
    """An event as what days are counted from: "it was set"; `day` for the day itself: "the day it was set"."""
    if event in RIPE_EVENTS:
        return RIPE_EVENTS[event]
    return f"{'the day ' if day else ''}it was {EVENT_WORDS[event]}"


def bases_of(anchor: Anchor) -> Iterator[Anchor]:
    """The dates, stages and events that an anchor hangs on, each as an anchor of its own."""
    if not anchor.parts:
        yield anchor
    for part in anchor.parts:
        yield from bases_of(part)


class Anchors:
    """Resolves the anchors of one season."""

    def __init__(self, almanac: SeasonAlmanac, season: Season) -> None:
        self._almanac = almanac
        self._season = season
        self._dates: dict[str, Moment] = {}
        self._events: dict[tuple[str, date, str], Moment] = {}
        self._stages: dict[tuple[str, tuple[str, ...], str], Moment | None] = {}

    def resolve(self, anchor: Anchor, subject: Subject) -> Moment | None:
        """The anchor's day for this unit; None where the record or the almanac gives no day."""
        if anchor.after is not None:
            moment = self._event(anchor.after, subject)
        elif anchor.date is not None:
            moment = self._date(anchor.date)
        elif anchor.stage is not None:
            moment = self._stage(anchor.stage, subject)
        elif anchor.first_known is not None:
            moment = self._first_known(anchor.first_known, subject)
        else:
            moment = self._chosen(anchor, subject)
        if moment is not None and (anchor.days or anchor.weeks):
            moment = _later(moment, shift_days(anchor))
        return moment if moment is None or anchor.heat is None else self._warmed(moment, anchor.heat)

    def in_season(self, anchor: Anchor, subject: Subject) -> bool:
        """Whether the job that opens at this anchor is one of this season.

        A date and a stage come once in every season, and the job that hangs on them is of that season, also where it
        opens some days before its first day or after its last. An event comes once, and so does a sum of heat: there
        the day decides.
        """
        day = self.event_floor(anchor, subject)
        if day is None and _sums_heat(anchor):
            moment = self.resolve(anchor, subject)
            day = None if moment is None else moment.day
        return day is None or day in self._season

    def event_floor(self, anchor: Anchor, subject: Subject) -> date | None:
        """The day that the record's events alone give; None for an anchor that asks for no event.

        A job that hangs on an event belongs to the season of this day only, however its other anchors move.
        """
        if anchor.after in SEASON_EVENTS:
            return None
        if anchor.after is not None:
            floor = event_day(anchor.after, subject, self._season.south)
            if floor is None:
                return None
            floor += timedelta(days=shift_days(anchor))
            return floor if anchor.heat is None else self._almanac.heat_after(floor, anchor.heat).day
        floors = [floor for floor in (self.event_floor(part, subject) for part in anchor.parts) if floor is not None]
        if not floors:
            return None
        floor = max(floors) if anchor.latest_of else min(floors)
        return floor + timedelta(days=shift_days(anchor))

    def not_before(self, anchor: Anchor, species: Collection[str]) -> date:
        """A day before which the anchor resolves for no unit of these species; the first of all where none is known.

        A sum of heat only adds to it, but is no part of a latest day, which goes without one that is out of reach. No
        heat at all is reached on whatever day the last warmth was.
        """
        if anchor.heat is not None and anchor.heat < _LEAST_HEAT:
            return date.min
        if anchor.latest_of is not None:
            parts = (self.not_before(part, species) for part in anchor.latest_of if part.heat is None)
            day = max(parts, default=date.min)
        elif anchor.parts:
            day = min(self.not_before(part, species) for part in anchor.parts)
        elif anchor.date is not None:
            day = self._date(anchor.date).day
        elif anchor.stage is not None:
            named = ((one, stage_named(one, anchor.stage)) for one in species)
            days = (self._almanac.not_before(one, stage, self._season) for one, stage in named if stage is not None)
            day = min(days, default=date.min)
        elif anchor.after in SEASON_EVENTS:
            day = self._season.start + timedelta(days=_WINTER_DAYS)
        else:
            day = date.min
        return day if day == date.min else day + timedelta(days=shift_days(anchor))

    def _event(self, event: str, subject: Subject) -> Moment | None:
        day = event_day(event, subject, self._season.south)
        if day is None:
            return None
        if event in RIPE_EVENTS:
            return _ripe_moment(event, day, subject.ripe)
        if event == "woken":
            sleeps = day != subject.events["budded"]
            said = f"the bud {'sleeps until the spring after it was set' if sleeps else 'was set to grow at once'}"
            return Moment(day, lambda: said)
        rough = subject.set_in if event in _SETTING else ""
        key = (event, day, rough)
        if key not in self._events:
            year = "" if day in self._season else f" {day.year}"
            known = lambda: f"it was {EVENT_WORDS[event]} on {day_and_month(day)}{year}"  # noqa: E731
            earliest = lambda: f"the first day on which it may have been {EVENT_WORDS[event]} ({rough})"  # noqa: E731
            self._events[key] = Moment(day, earliest if rough else known)
        return self._events[key]

    def _date(self, written: str) -> Moment:
        if written not in self._dates:
            when = self._season.on_written(written)
            self._dates[written] = Moment(when, lambda: day_and_month(when))
        return self._dates[written]

    def _stage(self, word: str, subject: Subject) -> Moment | None:
        key = (word, subject.buds, subject.bud_variety)
        if key not in self._stages:
            self._stages[key] = self._first_to_reach(*key)
        return self._stages[key]

    def _first_to_reach(self, word: str, names: tuple[str, ...], variety: str) -> Moment | None:
        reached: list[tuple[date, str, StageDate]] = []
        for species in names:
            stage = stage_named(species, word)
            found = None if stage is None else self._almanac.stage(species, stage, self._season, variety)
            if found is not None and found.date is not None:
                reached.append((found.date, species, found))
        if not reached:
            return None
        when, species, found = min(reached, key=lambda entry: (entry[0], entry[1]))
        return Moment(when, lambda: _stage_words(species, when, found), found.low, found.high, found.because)

    def _first_known(self, parts: tuple[Anchor, ...], subject: Subject) -> Moment | None:
        """The first part that has a day; where that is not the first of all, it says what is not known."""
        for place, part in enumerate(parts):
            moment = self.resolve(part, subject)
            if moment is not None:
                return moment if place == 0 else _instead(moment, part, parts[0])
        return None

    def _chosen(self, anchor: Anchor, subject: Subject) -> Moment | None:
        """The latest of all, or the earliest of those that are known.

        A heat sum that no temperature known here ever reaches says nothing beside another part; a job that waits for it
        alone has no day.
        """
        latest = anchor.latest_of is not None
        chosen: Moment | None = None
        held_by: Moment | None = None
        for part in anchor.parts:
            moment = self.resolve(part, subject)
            if moment is None:
                if latest and not self._is_heat_out_of_reach(part, subject):
                    return None
                continue
            if part.date is None:
                held_by = _further(held_by, moment, latest)
            chosen = _further(chosen, moment, latest)
        if chosen is None or held_by is None or chosen.day == held_by.day:
            return chosen
        return _at_its_limit(chosen, held_by, latest)

    def _is_heat_out_of_reach(self, part: Anchor, subject: Subject) -> bool:
        return part.heat is not None and self.resolve(msgspec.structs.replace(part, heat=None), subject) is not None

    def _warmed(self, moment: Moment, heat: float) -> Moment | None:
        reached = self._almanac.heat_after(moment.day, heat)
        if reached.day is None:
            return None
        say = lambda: f"{heat:g} degree-days after {moment.say()}"  # noqa: E731
        return Moment(reached.day, say, reached.low, reached.high, moment.buds)


def _further(chosen: Moment | None, moment: Moment, latest: bool) -> Moment:
    if chosen is None:
        return moment
    return moment if (moment.day > chosen.day if latest else moment.day < chosen.day) else chosen


def _at_its_limit(date_moment: Moment, held: Moment, latest: bool) -> Moment:
    """A bare date that was chosen, with words for what it holds back or brings forward."""

    def say() -> str:
        year = "" if held.day.year == date_moment.day.year else f" {held.day.year}"
        limit = "earliest" if latest else "latest"
        return f"{date_moment.say()} at the {limit}, else {day_and_month(held.day)}{year}: {held.say()}"

    return msgspec.structs.replace(date_moment, say=say)


def _sums_heat(anchor: Anchor) -> bool:
    return anchor.heat is not None or any(map(_sums_heat, anchor.parts))


def _ripe_moment(event: str, day: date, dates: RipeDates | None) -> Moment:
    """A day of ripening, with what it follows from; the day of picking has its range."""
    say = lambda: ripe_words(event, dates)  # noqa: E731
    if dates is None:
        return Moment(day, say)
    if event == "ripens":
        return Moment(day, say, dates.pick_low, dates.pick_high, dates.because)
    return Moment(day, say, buds=dates.because)


def _instead(moment: Moment, part: Anchor, wanted: Anchor) -> Moment:
    """What stands in for a day that nobody knows."""
    missing = next((base.after for base in bases_of(wanted) if base.after in RIPE_EVENTS), None)
    if missing is None:
        return moment
    by = ", so by days from bloom of the species" if part.stage is not None else ""
    return msgspec.structs.replace(moment, say=lambda: f"{moment.say()}; {NOT_KNOWN.get(missing, RIPENS_UNKNOWN)}{by}")


def shift_days(anchor: Anchor) -> int:
    """The days and weeks of an anchor, in days."""
    return anchor.days + round(anchor.weeks * 7) if anchor.weeks else anchor.days


def _later(moment: Moment, days: int) -> Moment:
    shift = timedelta(days=days)
    return Moment(
        moment.day + shift,
        lambda: _later_words(moment, days),
        None if moment.low is None else moment.low + shift,
        None if moment.high is None else moment.high + shift,
        moment.buds,
    )


def _later_words(moment: Moment, days: int) -> str:
    if days == 0:
        return moment.say()
    size = abs(days)
    amount = f"{size // 7} weeks" if size % 7 == 0 and size >= 14 else f"{size} day{'s' if size != 1 else ''}"
    return f"{amount} {'after' if days > 0 else 'before'} {moment.say()}"


def _stage_words(species: str, when: date, found: StageDate) -> str:
    seen = "seen" if found.state == "seen" else "expected" if found.state == "predicted" else "estimated"
    words = f"{species} {found.stage}, {seen} {day_and_month(when)}"
    if found.state != "seen" and found.low is not None and found.high is not None and found.low != found.high:
        words += f" ({day_and_month(found.low)} to {day_and_month(found.high)})"
    return words
