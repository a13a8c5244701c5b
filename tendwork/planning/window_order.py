"""Windows that close before they open: what the anchors alone show, and what only the days of a season show.

Limits of the weather that no day can keep are told with the first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta

import msgspec
from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.planning.anchors import Anchors, happening, shift_days
from tendwork.planning.day_format import day_and_month, format_two_days
from tendwork.planning.subject import Subject
from tendwork.planning.vocabulary import Anchor, Template
from tendwork.planning.windows import own_opens
from tendwork.species import SPECIES, bbch, stage_named

_ANY_SEASON = Season(2026)
_ONE_POINT = "the point that both go by"


class Disorder(Struct, frozen=True):
    """Two ends of a window, or two limits, in the wrong order: the key that is wrong, and in words what is wrong."""

    key: tuple[str, ...]
    words: str
    remedy: str = ""


def always_out_of_order(template: Template) -> Iterator[Disorder]:
    """What is out of order whatever the weather: by dates, by the order of the buds, or by days from the same point.

    A season runs from 1 November, so that a window over the new year is in order.
    """
    for (name, anchor), (key, end) in _pairs(template):
        if _comes_before(end, anchor, template.where.species or SPECIES):
            said = f"comes before {name}: {_words(end)} is before {_words(anchor)}{_of_a_later_year(end, anchor)}"
            yield Disorder(key, said, _remedy(anchor, end))
    least, most = template.weather.min_c, template.weather.max_c
    if least is not None and most is not None and least > most:
        yield Disorder(("weather", "min_c"), f"{least:g} is above max_c, {most:g}")


def out_of_order(template: Template, subjects: Iterable[Subject], anchors: Anchors) -> Iterator[Disorder]:
    """What is out of order in the season of these anchors, each pair of ends once, with its days."""
    units = tuple(subjects)
    for (name, anchor), (key, end) in _pairs(template):
        for subject in units:
            if not anchors.in_season(own_opens(template), subject):
                continue
            first, last = anchors.resolve(anchor, subject), anchors.resolve(end, subject)
            if first is not None and last is not None and last.day < first.day:
                who = f" ({subject.label})" if subject.label else ""
                ended, began = format_two_days(last.day, first.day)
                yield Disorder(key, f"comes before {name} this season{who}: {ended} is before {began}")
                break


def probes(template: Template, grown: Iterable[str]) -> tuple[Subject, ...]:
    """A unit of each species that is grown and that the template is for, so that a rule without units is tried too."""
    wanted = template.where.species or SPECIES
    return tuple(Subject(name, name, name, name, "", (name,), {}) for name in grown if name in wanted)


def _pairs(template: Template) -> Iterator[tuple[tuple[str, Anchor], tuple[tuple[str, ...], Anchor]]]:
    """Each end of a window with the one that may not come before it."""
    until = None if template.repeats is None else template.repeats.until
    ends = {"opens": template.opens, "best": template.best, "closes": template.closes, "lapses": template.lapses}
    for name, key in (("opens", "closes"), ("opens", "best"), ("best", "closes"), ("closes", "lapses")):
        first, last = ends[name], ends[key]
        if first is not None and last is not None:
            yield (name, first), ((key,), last)
    if until is not None:
        yield ("opens", template.opens), (("repeats", "until"), until)


def _comes_before(anchor: Anchor, than: Anchor, species: tuple[str, ...]) -> bool:
    """Whether `anchor` is sooner in every season; no where only the weather decides."""
    days, heat = shift_days(anchor) - shift_days(than), (anchor.heat or 0) - (than.heat or 0)
    if _base(anchor) != _base(than):
        if anchor.date is not None and than.date is not None:
            days = (_day(anchor) - _day(than)).days
        elif anchor.stage is not None and than.stage is not None:
            steps = {_code(name, anchor.stage) - _code(name, than.stage) for name in species}
            if max(steps) > 0 or days > 0 or heat > 0:
                return False
            return max(steps) < 0 or days < 0 or heat < 0
        else:
            return False
    return days <= 0 and heat <= 0 and (days < 0 or heat < 0)


def _base(anchor: Anchor) -> Anchor:
    return msgspec.structs.replace(anchor, days=0, weeks=0, heat=None)


def _day(anchor: Anchor) -> date:
    month, day = (int(part) for part in (anchor.date or "01-01").split("-"))
    return _ANY_SEASON.on(month, day) + timedelta(days=shift_days(anchor))


def _code(species: str, word: str) -> int:
    stage = stage_named(species, word)
    return 0 if stage is None else bbch(species, stage)


def _words(anchor: Anchor) -> str:
    if anchor.date is not None and anchor.heat is None:
        return day_and_month(_day(anchor))
    if anchor.date is not None:
        return f"{anchor.heat:g} degree-days after {day_and_month(_day(anchor))}"
    base = anchor.stage or (_ONE_POINT if anchor.after is None else happening(anchor.after))
    days = shift_days(anchor)
    said = base if days == 0 else f"{abs(days)} day{'' if abs(days) == 1 else 's'} {_side(days)} {base}"
    return said if anchor.heat is None else f"{anchor.heat:g} degree-days after {said}"


def _of_a_later_year(end: Anchor, anchor: Anchor) -> str:
    """How many years the later of two dates is away, where they are not of one year."""
    if end.date is None or anchor.date is None or end.heat is not None or anchor.heat is not None:
        return ""
    years = _day(anchor).year - _day(end).year
    return "" if years == 0 else " of the next year" if years == 1 else f" {years} years later"


def _side(days: int) -> str:
    return "after" if days > 0 else "before"


def _remedy(anchor: Anchor, end: Anchor) -> str:
    if anchor.date is not None and end.date is not None and end.date > anchor.date:
        days = (_day(end).replace(year=_day(anchor).year) - _day(anchor)).days
        return (
            "A season begins on 1 November: write an end beyond it as days after the opening, "
            f'such as {{ date = "{anchor.date}", days = {days} }}.'
        )
    return "Move one of the two."
