"""A template in words: what it waits for, which units it is about, the weather, effort and rounds it asks for.

The words are those of the rule, before any unit gives it a day; `season` only says where a month of the north falls.
"""

from __future__ import annotations

from collections.abc import Iterable

import msgspec
from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.orchard.methods import BENCH, BRIDGE, BUD_METHODS, METHODS
from tendwork.orchard.wording import listed
from tendwork.planning.absence import any_of_words
from tendwork.planning.absence import wish_words as absence_words
from tendwork.planning.adjustments import Adjustment, Adjustments, adjusted
from tendwork.planning.anchors import happening
from tendwork.planning.vocabulary import FAILS_LATE, UNKNOWN, Anchor, Effort, Repeats, Template
from tendwork.planning.weather import weather_words
from tendwork.view.stake_words import missed_words
from tendwork.view.text import plain, wrapped
from tendwork.view.words import counted, in_units, short_day

_ENDS = (("from", "opens"), ("best", "best"), ("until", "closes"), ("late until", "lapses"))
_EACH_WORDS = {
    "site": "the orchard",
    "tree": "each tree",
    "graft": "each graft",
    "wood": "each bundle of wood",
    "variety": "each variety",
}
_ORDINALS = ("first", "second", "third", "fourth", "fifth")


class _Amount(Struct, frozen=True):
    """How far from its base an anchor lies; `unit` is singular."""

    count: float
    unit: str

    @property
    def words(self) -> str:
        return counted_amount(abs(self.count), self.unit)


def laid_over(template: Template, change: Adjustment) -> Template:
    """The template with its changed values, whether it is left out or not."""
    asked = msgspec.structs.replace(change, off=False, asked=True, since=None, left_out=())
    return adjusted((template,), Adjustments(template={template.id: asked}))[0]


def opening_words(template: Template, season: Season) -> str:
    """What the template waits for: "21 days after it was set"."""
    return anchor_words(template.opens, season, template.where.species)


def window_words(template: Template, season: Season) -> str:
    """The whole window: "from 21 days after it was set, best 28, until 42; late until 70".

    Where each end has another day to go by in case the first is not known, all of these stand behind.
    """
    ends = {name: anchor for _, name in _ENDS if (anchor := getattr(template, name)) is not None}
    if not all(anchor.first_known is not None and _base(anchor) == anchor for anchor in ends.values()):
        return _window_words(template, season)
    most = max(len(anchor.parts) for anchor in ends.values())
    said = (
        _window_words(
            msgspec.structs.replace(template, **{name: _part(one, place) for name, one in ends.items()}), season
        )
        for place in range(most)
    )
    return "; where that is not known, ".join(said)


def _part(anchor: Anchor, place: int) -> Anchor:
    """The part of `first_known` at a place, else its last."""
    return anchor.parts[min(place, len(anchor.parts) - 1)]


def _window_words(template: Template, season: Season) -> str:
    said = ""
    before: Anchor | None = None
    for word, name in _ENDS:
        anchor: Anchor | None = getattr(template, name)
        if anchor is None:
            continue
        joint = "" if before is None else "; " if name == "lapses" else ", " if template.best else " "
        at = " at" if name == "best" and anchor == Anchor(stage=anchor.stage) else ""
        said += f"{joint}{word}{at} {_following(before, anchor, season, template.where.species)}"
        before = anchor
    return said


def anchor_words(anchor: Anchor, season: Season, species: Iterable[str] | None = None) -> str:
    """An anchor as a phrase: "10 days before apple green tip" where all its units are of one species."""
    days = _days(anchor)
    if anchor.heat is None:
        return _base_words(anchor, season, species) if days is None else _from_base(anchor, days, season, species)
    heat = _Amount(anchor.heat, "degree-day").words
    if days is None:
        return f"{heat} after {_base_words(anchor, season, species, after=True)}"
    return f"{heat} counted from {_from_base(anchor, days, season, species)}"


def units_words(template: Template, units: str) -> str:
    """Which units it is about: "each graft of plum, set or took, by chip bud or T-bud, in its first season"."""
    where = template.where
    parts = [
        f"{_EACH_WORDS[template.each]} of {_either(where.species)}" if where.species else _EACH_WORDS[template.each]
    ]
    parts += [_either(where.state)] if where.state else []
    parts += [_method_words(where.method)] if where.method else []
    parts += [f"wrapped in {_either(_said(where.wrap, 'something that is not known'))}"] if where.wrap else []
    parts += [f"with the verdict {_either(where.verdict)}"] if where.verdict else []
    parts += (
        [f"whose union is {'known' if where.union == FAILS_LATE else 'not known'} to fail late"] if where.union else []
    )
    parts += [in_units(f"above {where.above_m:g} m", units)] if where.above_m is not None else []
    parts += [_age_words(*where.age_years)] if where.age_years is not None else []
    parts += [_age_words(*where.growing_years, " of growth")] if where.growing_years is not None else []
    parts += [f"{'trained' if where.trained_flat else 'not trained'} flat"] if where.trained_flat is not None else []
    parts += [f"that {' or '.join(any_of_words(where.any_of))}"] if where.any_of is not None else []
    parts += [f"once {where.follows} is ticked"] if where.follows is not None else []
    parts += [f"whose wood {absence_words(where.wood)}"] if where.wood is not None else []
    return ", ".join(parts)


def _method_words(methods: tuple[str, ...]) -> str:
    """By which methods; "but no bridge", or also "and no bud" and "no bench graft", where those are all others."""
    left_out = {*METHODS, UNKNOWN} - {*methods}
    kinds = {"bridge": {BRIDGE}, "bud": BUD_METHODS, "bench graft": {BENCH}}
    named = [kind for kind, its in kinds.items() if its <= left_out]
    if "bridge" in named and left_out == set().union(*(kinds[kind] for kind in named)):
        return f"but {listed(f'no {kind}' for kind in named)}"
    return f"by {_either(_said(methods, 'a method that is not known'))}"


def _said(words: tuple[str, ...], unknown: str) -> tuple[str, ...]:
    return tuple(unknown if word == UNKNOWN else word for word in words)


def wish_words(template: Template, units: str) -> str:
    """The weather it wants: "a dry day, 7 to 30 °C", or "any weather"."""
    return in_units(weather_words(template.weather), units) or "any weather"


def effort_words(effort: Effort, each: str) -> str:
    """The time it takes: "10 min to set up, 1.5 min each", or "15, 45 or 120 min by the size of the tree"."""
    parts = [f"{effort.setup_minutes:g} min to set up"] if effort.setup_minutes else []
    if effort.minutes_by_size is not None:
        small, middle, large = effort.minutes_by_size
        each_words = " each" if each == "graft" else ""
        parts.append(f"{small:g}, {middle:g} or {large:g} min{each_words} by the size of the tree")
    parts += [f"{effort.minutes_each:g} min {'' if each == 'site' else 'each'}".strip()] if effort.minutes_each else []
    return ", ".join(parts) or "no time of its own"


def rounds_words(repeats: Repeats | None, season: Season) -> str:
    """How often it comes again: "every 7 days, 8 rounds, none after 10 Sep"; empty for a job that comes once."""
    if repeats is None:
        return ""
    words = f"every {counted(repeats.every_days, 'day')}, {counted(repeats.times, 'round')}"
    return words + ("" if repeats.until is None else f", none after {anchor_words(repeats.until, season)}")


def template_text(template: Template, season: Season, units: str, width: int) -> str:
    """A template as plain text to copy: what it waits for, what it asks for, and who says so."""
    rows = (
        ("window", window_words(template, season)),
        ("units", units_words(template, units)),
        ("weather", wish_words(template, units)),
        ("effort", effort_words(template.effort, template.each)),
        ("rounds", rounds_words(template.repeats, season)),
        ("if missed", missed_words(template.at_stake, template.loss)),
        ("note", plain(template.note)),
        ("source", plain(template.source)),
    )
    lines = [f"{plain(template.title)} ({plain(template.id)})"]
    for label, words in rows:
        lines += wrapped(words, width, f"  {label:<10}") if words else []
    return "\n".join(lines)


def counted_amount(count: float, unit: str) -> str:
    """ "1 day", "1.5 weeks", "330 degree-days"."""
    return f"{count:g} {unit}" if count == 1 else f"{count:g} {unit}s"


def _following(before: Anchor | None, anchor: Anchor, season: Season, species: Iterable[str] | None) -> str:
    """An end of the window, short where it is counted from what the end before it is counted from."""
    amount, earlier = _plain_amount(anchor), None if before is None else _plain_amount(before)
    if before is None or amount is None or earlier is None or _base(before) != _base(anchor) or amount.count <= 0:
        return anchor_words(anchor, season, species)
    if earlier.count > 0 and earlier.unit == amount.unit:
        return f"{amount.words} after the same" if anchor.parts else f"{amount.count:g}"
    if earlier.count == 0 and anchor.date is None:
        return f"{amount.words} after that"
    return anchor_words(anchor, season, species)


def _plain_amount(anchor: Anchor) -> _Amount | None:
    """The one distance from the base; None where heat is counted from a day that is itself some days off."""
    days = _days(anchor)
    if anchor.heat is not None:
        return _Amount(anchor.heat, "degree-day") if days is None else None
    return _Amount(0, "day") if days is None else days


def _days(anchor: Anchor) -> _Amount | None:
    """Days and weeks together: in weeks where the rule gives weeks alone; None where it gives neither."""
    if anchor.weeks and not anchor.days:
        return _Amount(anchor.weeks, "week")
    days = anchor.days + round(anchor.weeks * 7)
    return _Amount(days, "day") if days else None


def _base(anchor: Anchor) -> Anchor:
    return msgspec.structs.replace(anchor, days=0, weeks=0, heat=None)


def _from_base(anchor: Anchor, amount: _Amount, season: Season, species: Iterable[str] | None) -> str:
    side = "after" if amount.count > 0 else "before"
    return f"{amount.words} {side} {_base_words(anchor, season, species, after=True)}"


def _base_words(anchor: Anchor, season: Season, species: Iterable[str] | None, after: bool = False) -> str:
    """What it is counted from; `after` where a word that counts from it stands before."""
    if anchor.date is not None:
        day = season.on(*(int(part) for part in anchor.date.split("-")))
        return short_day(day, day)
    if anchor.stage is not None:
        named = tuple(species or ())
        return f"{named[0]} {anchor.stage}" if len(named) == 1 else anchor.stage
    if anchor.after is not None:
        return happening(anchor.after, day=not after)
    parts = anchor.parts
    if anchor.first_known is not None:
        first, *others = (anchor_words(part, season, species) for part in parts)
        said = " or, where that is not known, ".join((first, *others))
        return f"({said})" if after else said
    pair = len(parts) == 2
    order = ("later" if pair else "latest") if anchor.latest_of else ("earlier" if pair else "earliest")
    return f"the {order} of {_both(parts, season, species)}"


def _both(parts: tuple[Anchor, ...], season: Season, species: Iterable[str] | None) -> str:
    """Several anchors in a row: "5 weeks and 330 degree-days after it was set" where all are counted from the same."""
    amounts = [amount for part in parts if (amount := _plain_amount(part)) is not None and amount.count > 0]
    if len(amounts) == len(parts) and len({_base(part) for part in parts}) == 1:
        return (
            f"{_and([amount.words for amount in amounts])} after {_base_words(parts[0], season, species, after=True)}"
        )
    words = [anchor_words(part, season, species) for part in parts]
    joined = [bool(part.parts) for part in parts]
    return _and([f"({said})" if joint else said for said, joint in zip(words, joined, strict=True)])


def _and(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} and {words[-1]}"


def _either(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"


def _age_words(first: int, last: int, of_growth: str = "") -> str:
    if first == last and first < len(_ORDINALS):
        return f"in its {_ORDINALS[first]} season{of_growth}"
    if first == 0:
        return f"in its first {last + 1} seasons{of_growth}"
    return f"{first} to {last} seasons after its first{of_growth}" if of_growth else f"{first} to {last} seasons old"
