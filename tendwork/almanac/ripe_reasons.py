"""Why a picking date is as it is: what is known of the variety, and by how much each thing of the year moved it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date
from statistics import fmean

from msgspec import Struct

from tendwork.almanac.ripe_evidence import RipeEvidence
from tendwork.almanac.ripe_weather import Reaction, SeasonWeather

_LISTS_NAMED = 2
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


class Moves(Struct, frozen=True):
    """Days by which each thing moves a date from the variety's `usual` day; positive is later.

    `by_tastings` is what unripe and over of other seasons moved that day itself.
    """

    usual: date
    bloom: float
    early: float
    later: float
    year: float
    by_tastings: float
    not_before: date | None
    not_after: date | None


def reasons(
    evidence: RipeEvidence,
    set_against: Sequence[str],
    seen: Sequence[date],
    weather: SeasonWeather,
    reaction: Reaction,
    moves: Moves,
    others_seen: int,
    by_bloom_alone: Collection[str] = (),
) -> tuple[str, ...]:
    """`seen` are the days on which it was ripe in other seasons; `others_seen` counts varieties ripe in this one.

    `set_against` are the varieties of which days before or after this one are said, `by_bloom_alone` those of which
    only days from bloom are known. Days of the season itself are said without their year.
    """
    words = list(_known(evidence, seen, by_bloom_alone))
    if set_against:
        words.append(f"what is known of {_by(sorted(set_against))}, said to ripen so many days from it")
    if round(moves.by_tastings):
        words.append(f"tasted unripe or over in other seasons: {_moved(moves.by_tastings)}")
    words.append(f"so {day_and_month(moves.usual)} if the season were as usual")
    words += _bloom(weather, moves)
    words += _warmth(weather, reaction, moves)
    if others_seen and round(moves.year):
        varieties = "1 variety" if others_seen == 1 else f"{others_seen} varieties"
        words.append(f"what ripened before it this season ({varieties}): {_moved(moves.year)}")
    if moves.not_before is not None:
        words.append(f"tasted unripe on {day_and_month(moves.not_before)}: not ripe before")
    if moves.not_after is not None:
        words.append(f"ripe by {day_and_month(moves.not_after)}, as it tasted then")
    return tuple(words)


def day_and_month(day: date) -> str:
    """ "26 Sep"."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def _as_noted(by: str) -> str:
    """ "as you noted", "as you noted from R. Dale", "as R. Dale says"."""
    who, _, whence = by.partition(", ")
    if who != "you":
        return f"as {by} says"
    return f"as you noted {whence}" if whence else "as you noted"


def _known(evidence: RipeEvidence, seen: Sequence[date], by_bloom_alone: Collection[str]) -> list[str]:
    words = []
    if seen:
        last = " and ".join(f"{day_and_month(day)} {day.year}" for day in sorted(seen)[-2:])
        count = f"in {len(seen)} seasons, the last ones {last}" if len(seen) > 2 else f"on {last}"
        words.append(f"tasted ripe here {count}")
    for noted in evidence.noted:
        said = f"{_as_noted(noted.by)}: ripe from {noted.day} {_MONTHS[noted.month - 1]}"
        here = "; a single season may be 6 days off"
        words.append(said + (here if noted.here else " at another place; that may be 12 days off here"))
    if evidence.from_bloom:
        after_bloom = fmean(said.days for said in evidence.from_bloom)
        by = _by([said.by for said in evidence.from_bloom])
        words.append(f"{after_bloom:.0f} days from full bloom [{by}]; such a number is good to 10 to 14 days")
    for other in dict.fromkeys(said.variety for said in evidence.against):
        lists = [said for said in evidence.against if said.variety == other]
        days = fmean(said.days for said in lists)
        with_it = f"with {other}" if not round(days) else f"{_size(days)} {'after' if days > 0 else 'before'} {other}"
        said_by = f"{with_it} [{_by([said.by for said in lists])}]"
        rough = f"; of {other} itself only days from full bloom are known, good to 10 to 14 days"
        words.append(f"{said_by}; lists differ by 7 days{rough if other in by_bloom_alone else ''}")
    return words


def _bloom(weather: SeasonWeather, moves: Moves) -> list[str]:
    if weather.bloom is None:
        return ["when it blooms is not known, so this spring does not move it"]
    how = "seen" if weather.bloom_seen else "by the temperatures"
    late = weather.late[0]
    said = f"full bloom on {day_and_month(weather.bloom)} ({how}), "
    if not round(late):
        return [f"{said}as usual"]
    return [f"{said}{_size(late)} {_later(late)} than usual: {_moved(moves.bloom)}"]


def _warmth(weather: SeasonWeather, reaction: Reaction, moves: Moves) -> list[str]:
    words = []
    _, early, later = weather.late
    if weather.early_to is not None:
        if reaction.in_gdh:
            off = f"{abs(early):.0f} growing degree hours {'more' if early > 0 else 'fewer'} than usual"
        else:
            off = f"nights {'warmer' if early > 0 else 'colder'} than usual by {abs(early):.1f} degrees (°C)"
        words.append(f"in the {reaction.early_days} days after bloom {off}: {_moved(moves.early)}")
    if weather.later_to is not None:
        off = f"{abs(later):.0f} degree-days (°C) {'more' if later > 0 else 'fewer'} than usual"
        words.append(f"from then to {day_and_month(weather.later_to)} {off}: {_moved(moves.later)}")
    return words


def _by(names: Sequence[str]) -> str:
    rest = len(names) - _LISTS_NAMED
    return "; ".join(names[:_LISTS_NAMED]) + (f"; and {rest} more" if rest > 0 else "")


def _moved(days: float) -> str:
    return f"{_size(days)} {_later(days)}" if round(days) else "no change"


def _size(days: float) -> str:
    size = abs(round(days))
    return f"{size} day{'s' if size != 1 else ''}"


def _later(days: float) -> str:
    return "later" if days > 0 else "earlier"
