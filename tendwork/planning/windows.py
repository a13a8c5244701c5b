"""From a template's anchors to the window of one unit, and on to its later rounds."""

from __future__ import annotations

from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.seasons import Season, season_of
from tendwork.planning.anchors import Anchors, Moment
from tendwork.planning.results import Window
from tendwork.planning.subjects import Subject
from tendwork.planning.vocabulary import Repeats, Template


class Opening(Struct, frozen=True):
    """A window with the reasons for its ends."""

    window: Window
    because: tuple[str, ...]


def opening_of(template: Template, subject: Subject, anchors: Anchors, season: Season) -> Opening | None:
    """The unit's first window in `season`; None where an anchor has no day or the job belongs to another season."""
    opens = anchors.resolve(template.opens, subject)
    if opens is None or not _belongs(opens, anchors.event_floor(template.opens, subject), season):
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
    )
    return Opening(window, _reasons(opens, closes))


def round_after(window: Window, done_on: date | None, repeats: Repeats) -> Window:
    """The next round's window: `every_days` after the last round was done, or else after it opened."""
    start = window.opens if done_on is None else done_on
    shift = start + timedelta(days=repeats.every_days) - window.opens
    return Window(window.opens + shift, window.best + shift, window.closes + shift, window.lapses + shift)


def ended_by(window: Window, next_opens: date) -> Window:
    """A round that is over, at the latest, on the day before the next one opens: that one does its work."""
    last = max(next_opens - timedelta(days=1), window.opens)
    return Window(
        window.opens,
        min(window.best, last),
        min(window.closes, last),
        min(window.lapses, last),
        window.opens_low,
        window.opens_high,
    )


def _belongs(opens: Moment, floor: date | None, season: Season) -> bool:
    if opens.day not in season:
        return False
    return floor is None or season_of(floor, season.south) == season


def _reasons(opens: Moment, closes: Moment) -> tuple[str, ...]:
    sentences = [_sentence("Opens", opens), _sentence("Closes", closes)]
    seen = dict.fromkeys((*opens.buds, *closes.buds))
    return (*sentences, *seen)


def _sentence(word: str, moment: Moment) -> str:
    day = _day(moment.day)
    return f"{word} {day}, by the calendar." if moment.words == day else f"{word} {day}: {moment.words}."


def _day(day: date) -> str:
    return f"{day.day} {day:%b}"
