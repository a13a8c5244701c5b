"""Changed values laid over templates: only what a person changed for the site, never a copy of a template."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date
from typing import Literal, TypeVar

import msgspec
from msgspec import Struct, field

from tendwork.orchard.wording import counted
from tendwork.planning.vocabulary import (
    AdjustedTemplate,
    Anchor,
    Effort,
    LeftOut,
    Repeats,
    Stake,
    Template,
    Weather,
)

_Value = TypeVar("_Value")
NoLimit = Literal["none"]
NO_LIMIT: NoLimit = "none"
_AT_STAKE: dict[Stake, str] = {"tree": "a tree", "graft": "a graft", "year": "this year's chance", "little": "little"}


class Adjustment(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """What is changed in one template. Shifts are in days, later than the template says where positive.

    `min_c` and `max_c` may be "none", which takes away the limit that the template gives. `off` leaves the template out
    for good, `left_out` for one tree or one season; `asked` takes in one that is left out by default. `since` is the
    day on which a person said `off` or `asked`, None where that was not noted.

    `visit` may be empty, for a job that is done with no other. The `loss` of the template goes with its own `stake`,
    and so away with another.
    """

    off: bool = False
    asked: bool = False
    since: date | None = None
    left_out: tuple[LeftOut, ...] = ()
    species: tuple[str, ...] | None = None
    opens_later_days: int = 0
    best_later_days: int = 0
    closes_later_days: int = 0
    lapses_later_days: int = 0
    dry: bool | None = None
    min_c: float | NoLimit | None = None
    max_c: float | NoLimit | None = None
    frost_free_nights: int | None = None
    setup_minutes: float | None = None
    minutes_each: float | None = None
    every_days: int | None = None
    times: int | None = None
    stake: Stake | None = None
    loss: str | None = None
    visit: str | None = None


class SiteShift(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """This place against its temperature series; one of the three, colder or later where positive.

    It stands in for `colder_by` of site.toml while it is given.
    """

    degrees_c: float | None = None
    elevation_m: float | None = None
    days: float | None = None


class Adjustments(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """adjustments.toml: the site's shift and the changed values by template id."""

    site: SiteShift = field(default_factory=SiteShift)
    template: dict[str, Adjustment] = field(default_factory=dict)


def adjusted(
    templates: tuple[Template, ...], adjustments: Adjustments, seen: Collection[str] = ()
) -> tuple[Template, ...]:
    """The templates in force with the changes laid over: without those that are off, or left out by default.

    `seen` are the troubles that were ever noted here.
    """
    laid = []
    for template in templates:
        change = adjustments.template.get(template.id, Adjustment())
        if is_out(template, change, seen):
            continue
        laid.append(template if change == Adjustment() else _laid_over(template, change))
    return tuple(laid)


def is_out(template: Template, change: Adjustment, seen: Collection[str]) -> bool:
    """Whether a template gives no job at all: a person left it out for good, or it is left out by default."""
    return change.off or (not change.asked and bool(template.unasked(seen)))


def carried(before: Adjustments, after: Adjustments, onto: Adjustments) -> Adjustments:
    """The change from `before` to `after` made on `onto`: every value that it does not touch stays as it is there."""
    templates = dict(onto.template)
    for name, fields in _touched(before, after).items():
        here, there = after.template.get(name, Adjustment()), onto.template.get(name, Adjustment())
        laid = msgspec.structs.replace(there, **{field: getattr(here, field) for field in fields})
        templates.pop(name, None)
        if laid != Adjustment():
            templates[name] = laid
    return Adjustments(onto.site if after.site == before.site else after.site, templates)


def clashes(before: Adjustments, after: Adjustments, onto: Adjustments) -> tuple[str, ...]:
    """The keys of the values that go from `before` to `after`, and that `onto` has otherwise than either."""
    found = ["site"] if after.site != before.site and onto.site not in (before.site, after.site) else []
    for name, fields in _touched(before, after).items():
        ours = [held.template.get(name, Adjustment()) for held in (before, after)]
        there = onto.template.get(name, Adjustment())
        found += [
            f"template.{name}.{field}"
            for field in fields
            if getattr(there, field) not in [getattr(change, field) for change in ours]
        ]
    return tuple(found)


def _touched(before: Adjustments, after: Adjustments) -> dict[str, list[str]]:
    """The fields that change, by template."""
    nothing = Adjustment()
    touched = {}
    for name in {**before.template, **after.template}:
        then, now = before.template.get(name, nothing), after.template.get(name, nothing)
        fields = [field for field in Adjustment.__struct_fields__ if getattr(then, field) != getattr(now, field)]
        if fields:
            touched[name] = fields
    return touched


def words(change: Adjustment) -> str:
    """What is changed, as one sentence for `why`; empty where nothing is."""
    parts = []
    for name in ("opens", "best", "closes", "lapses"):
        days = getattr(change, f"{name}_later_days")
        if days:
            parts.append(f"{name} {_shift_words(days)}")
    if change.species is not None:
        parts.append(f"only for {', '.join(change.species)}")
    for name, end in (("min_c", "least"), ("max_c", "most")):
        limit = getattr(change, name)
        if limit is not None:
            parts.append(
                f"as {'cold' if end == 'least' else 'warm'} as it comes"
                if limit == NO_LIMIT
                else f"{limit:g} °C at {end}"
            )
    if change.frost_free_nights is not None:
        parts.append(f"{change.frost_free_nights} frost-free nights")
    if change.dry is not None:
        parts.append("a dry day" if change.dry else "wet or dry")
    for name, unit in (("setup_minutes", "minutes to set up"), ("minutes_each", "minutes each")):
        value = getattr(change, name)
        if value is not None:
            parts.append(f"{value:g} {unit}")
    if change.every_days is not None:
        parts.append(f"every {change.every_days} days")
    if change.times is not None:
        parts.append(f"{change.times} rounds")
    if change.stake is not None:
        parts.append(f"{_AT_STAKE[change.stake]} at stake")
    if change.loss is not None:
        parts.append(f"or {change.loss}" if change.loss else "no loss named")
    if change.visit is not None:
        parts.append(f"done with the others of {change.visit}" if change.visit else "done with no other job")
    return f"Adjusted for this site: {'; '.join(parts)}." if parts else ""


def _shift_words(days: int) -> str:
    return f"{counted(abs(days), 'day')} {'later' if days > 0 else 'earlier'}"


def _laid_over(template: Template, change: Adjustment) -> AdjustedTemplate:
    weather, effort, repeats = template.weather, template.effort, template.repeats
    changed = words(change)
    note = " ".join(part for part in (changed, template.note) if part)
    where = template.where
    if change.species is not None:
        where = msgspec.structs.replace(where, species=change.species)
    if repeats is not None:
        every_days, times = _or(change.every_days, repeats.every_days), _or(change.times, repeats.times)
        repeats = Repeats(every_days, times, repeats.until)
    own_loss = template.loss if change.stake in (None, template.stake) else ""
    laid = msgspec.structs.replace(
        template,
        stake=_or(change.stake, template.stake),
        loss=_or(change.loss, own_loss),
        visit=_or(change.visit, template.visit),
        where=where,
        opens=_later(template.opens, change.opens_later_days),
        best=None if template.best is None else _later(template.best, change.best_later_days),
        closes=_later(template.closes, change.closes_later_days),
        lapses=None if template.lapses is None else _later(template.lapses, change.lapses_later_days),
        repeats=repeats,
        weather=Weather(
            dry=_or(change.dry, weather.dry),
            min_c=_limit(change.min_c, weather.min_c),
            max_c=_limit(change.max_c, weather.max_c),
            frost_free_nights=_or(change.frost_free_nights, weather.frost_free_nights),
        ),
        effort=Effort(
            _or(change.setup_minutes, effort.setup_minutes),
            _or(change.minutes_each, effort.minutes_each),
            effort.minutes_by_size if change.minutes_each is None else None,  # the same for every tree, as adjusted
        ),
        note=note,
    )
    own = msgspec.structs.asdict(laid)
    return AdjustedTemplate(**own, own_opens=template.opens, changed=changed, not_for=change.left_out)


def _later(anchor: Anchor, days: int) -> Anchor:
    return msgspec.structs.replace(anchor, days=anchor.days + days) if days else anchor


def _limit(changed: float | NoLimit | None, own: float | None) -> float | None:
    return None if changed == NO_LIMIT else _or(changed, own)


def _or(changed: _Value | None, own: _Value) -> _Value:
    return own if changed is None else changed
