"""From a template's anchors to the window of one unit, and on to its later rounds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.planning.anchors import Anchors, Moment, SeasonAlmanac, bases_of
from tendwork.planning.day_format import day_and_month
from tendwork.planning.results import Window
from tendwork.planning.ripe_events import RIPE_EVENTS
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import AdjustedTemplate, Anchor, Repeats, Template

_BACKWARDS = "This season it would close before it opens, so it stands on its first day alone; look at its window."


class Opening(Struct, frozen=True):
    """A first window with the reasons for its ends, and the windows of all `rounds` while none of them is ticked.

    The first reason is about the opening, the second about the closing. No round opens after `until`.
    """

    window: Window
    because: tuple[str, ...]
    until: date | None
    rounds: tuple[Window, ...]


class Openings:
    """The first windows that follow from one almanac, each computed once for all units alike, kept from plan to plan.

    A tick, a new graft or a changed template makes new only what hangs on it.
    """

    def __init__(self, almanac: SeasonAlmanac) -> None:
        self.almanac = almanac
        self._anchors: dict[Season, Anchors] = {}
        self._held: dict[tuple[str, Season], TemplateOpenings] = {}

    def of(self, template: Template, season: Season) -> TemplateOpenings:
        """Those of one template in one season."""
        key = (template.id, season)
        held = self._held.get(key)
        if held is None or (held.template is not template and held.template != template):
            if season not in self._anchors:
                self._anchors[season] = Anchors(self.almanac, season)
            held = self._held[key] = TemplateOpenings(template, self.almanac, self._anchors[season])
        return held


class TemplateOpenings:
    """The first windows of a template's units in one season.

    Alike are units with buds of the same species, with the same days of the events that the template asks for, as
    well known, if it asks for buds with varieties that the almanac computes as one, and if it asks for ripening with
    the same dates.
    """

    def __init__(self, template: Template, almanac: SeasonAlmanac, anchors: Anchors) -> None:
        self.template = template
        self._almanac = almanac
        self._anchors = anchors
        until = None if template.repeats is None else template.repeats.until
        bases = [
            base
            for anchor in (template.opens, template.closes, template.best, template.lapses, until)
            if anchor is not None
            for base in bases_of(anchor)
        ]
        self._events = sorted({"budded" if base.after == "woken" else base.after for base in bases if base.after})
        self._buds = any(base.stage is not None for base in bases)
        self._ripens = any(base.after in RIPE_EVENTS for base in bases)
        self._found: dict[tuple[object, ...], Opening | None] = {}
        self._not_before: dict[frozenset[str], date] = {}

    def unit(self, subject: Subject) -> Opening | None:
        """The unit's first window; None where it has none in this season."""
        key = (
            subject.buds,
            self._bud_names(subject),
            subject.set_in,
            subject.ripe if self._ripens else None,
            *[subject.events.get(event) for event in self._events],
        )
        if key not in self._found:
            self._found[key] = opening_of(self.template, subject, self._anchors)
        return self._found[key]

    def not_before(self, species: frozenset[str]) -> date:
        """A day before which the jobs of no unit of these species open, known without foreseeing any stage."""
        if species not in self._not_before:
            self._not_before[species] = self._anchors.not_before(self.template.opens, species)
        return self._not_before[species]

    def _bud_names(self, subject: Subject) -> tuple[str, ...]:
        if not self._buds or not subject.bud_variety:
            return ()
        return tuple(self._almanac.standing_for(species, subject.bud_variety) for species in subject.buds)


def own_opens(template: Template) -> Anchor:
    """The opening as the template itself has it, before a person's adjustments."""
    return template.own_opens if isinstance(template, AdjustedTemplate) else template.opens


def opening_of(template: Template, subject: Subject, anchors: Anchors) -> Opening | None:
    """The unit's first window; None where an anchor has no day or the job is not one of the anchors' season."""
    if not anchors.in_season(own_opens(template), subject):
        return None
    opens = anchors.resolve(template.opens, subject)
    if opens is None:
        return None
    closes = anchors.resolve(template.closes, subject)
    if closes is None:
        return None
    best = opens if template.best is None else anchors.resolve(template.best, subject)
    lapses = closes if template.lapses is None else anchors.resolve(template.lapses, subject)
    last_day = max(opens.day, closes.day)
    window = Window(
        opens=opens.day,
        best=min(max((best or opens).day, opens.day), last_day),
        closes=last_day,
        lapses=max((lapses or closes).day, last_day),
        opens_low=opens.low,
        opens_high=opens.high,
        stays=template.takes_wraps_off,
    )
    repeats = template.repeats
    last = None if repeats is None or repeats.until is None else anchors.resolve(repeats.until, subject)
    until = None if last is None else last.day
    return Opening(window, _reasons(opens, closes), until, tuple(rounds_of(window, repeats, until, {})))


def rounds_of(
    window: Window, repeats: Repeats | None, until: date | None, done_on: Mapping[int, date]
) -> Iterator[Window]:
    """The windows of all rounds from the first on; `done_on` are the days of those that were done, by their number.

    A round opens `every_days` after the last one was done, or else after it opened, and none after `until`. It is over,
    at the latest, on the day before the next one opens: that one does its work.
    """
    if repeats is None:
        yield window
        return
    every, day = timedelta(days=repeats.every_days), timedelta(days=1)
    shift, low, high = timedelta(), window.opens_low, window.opens_high
    for number in range(1, repeats.times + 1):
        opens = window.opens + shift
        if number > 1 and until is not None and opens > until:
            return
        next_opens = done_on.get(number, opens) + every
        end = date.max if number == repeats.times else max(next_opens - day, opens)
        best, closes, lapses = window.best + shift, window.closes + shift, window.lapses + shift
        yield Window(opens, min(best, end), min(closes, end), min(lapses, end), low, high, window.stays)
        shift += next_opens - opens
        low = high = None


def _reasons(opens: Moment, closes: Moment) -> tuple[str, ...]:
    sentences = [_sentence("Opens", opens), _sentence("Closes", closes)]
    if closes.day < opens.day:
        sentences.append(_BACKWARDS)
    seen = dict.fromkeys((*opens.buds, *closes.buds))
    return (*sentences, *seen)


def _sentence(word: str, moment: Moment) -> str:
    day = day_and_month(moment.day)
    why = moment.say()
    if why.startswith(f"{day} "):  # a date that holds something else back
        return f"{word} {why}."
    return f"{word} {day}, by the calendar." if why == day else f"{word} {day}: {why}."
