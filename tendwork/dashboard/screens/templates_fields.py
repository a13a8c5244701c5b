"""What can be changed in a template and in the site's shift, field by field: its words, its steps, its own value.

No widget is known here. An adjustment holds only what differs: a field that comes back to the template's own value
leaves the adjustment. Of the site's shift one is in use at a time: colder, higher or behind its temperatures.
"""

from __future__ import annotations

from typing import Any

import msgspec
from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.planning.adjustments import NO_LIMIT, Adjustment, SiteShift
from tendwork.planning.vocabulary import Template
from tendwork.species import SPECIES
from tendwork.view.template_rows import shift_words
from tendwork.view.template_words import anchor_words, laid_over
from tendwork.view.words import counted, in_units

WHOLE, USE, DRY, SPECIES_FIELD = "whole window", "use", "dry", "species:"
_MOST_DAYS = 183
_ENDS = ("opens", "best", "closes", "lapses")


class Field(Struct, frozen=True):
    """One line to edit. `gives` says what comes of it."""

    id: str
    label: str
    value: str
    gives: str = ""
    changed: bool = False


class Refused(Exception):
    """A change that cannot be, as one sentence for the person."""


class Number(Struct, frozen=True):
    """A number that can be changed: its steps, its bounds, and where it starts if the template gives none."""

    id: str
    label: str
    least: float
    most: float
    step: float
    big_step: float
    start: float = 0


_NUMBERS = (
    Number("min_c", "at least", -30, 40, 1, 5, start=0),
    Number("max_c", "at most", -10, 50, 1, 5, start=30),
    Number("frost_free_nights", "frost-free nights", 0, 14, 1, 3),
    Number("setup_minutes", "minutes to set up", 0, 600, 1, 5),
    Number("minutes_each", "minutes each", 0, 600, 1, 5),
    Number("every_days", "days between rounds", 1, 365, 1, 7),
    Number("times", "rounds", 1, 99, 1, 5),
)
_BY_ID = {number.id: number for number in _NUMBERS}
_WHOLE_NUMBERS = ("frost_free_nights", "every_days", "times")
_LIMITS = ("min_c", "max_c")
_EACH = "minutes_each"
_OF_THE_SITE = (
    Number("degrees_c", "by degrees", -15, 15, 0.1, 1),
    Number("elevation_m", "by height", -3000, 3000, 10, 100),
    Number("days", "by days", -60, 60, 1, 7),
)


def fields_of(
    template: Template, change: Adjustment, season: Season, units: str, unasked: bool = False
) -> tuple[Field, ...]:
    """The fields of a template with the values that `change` gives them; `unasked` where its rule leaves it out."""
    laid = laid_over(template, change)
    out = change.off or (unasked and not change.asked)
    use = Field(USE, "in use", "no, left out" if out else "yes", changed=change.off or change.asked)
    shifts = {name: _shift(change, name) for name in _ends(template)}
    same = len(set(shifts.values())) == 1
    whole = Field(WHOLE, WHOLE, _shift_words(next(iter(shifts.values()))) if same else "each by its own")
    ends = [
        Field(name, name, _shift_words(days), _end_words(laid, name, season), days != 0)
        for name, days in shifts.items()
    ]
    dry = Field(DRY, "dry day", "yes" if laid.weather.dry else "wet or dry", changed=change.dry is not None)
    numbers = [
        Field(
            number.id,
            number.label,
            _number_words(number.id, laid, units),
            changed=getattr(change, number.id) is not None,
        )
        for number in _NUMBERS
        if template.repeats is not None or number.id not in ("every_days", "times")
    ]
    wanted = laid.where.species or SPECIES
    species = [
        Field(
            SPECIES_FIELD + name,
            name,
            "yes" if name in wanted else "no",
            changed=(name in wanted) != (name in (template.where.species or SPECIES)),
        )
        for name in SPECIES
    ]
    return (use, whole, *ends, dry, *numbers, *species)


def stepped(template: Template, change: Adjustment, field: str, direction: int, big: bool) -> Adjustment:
    """The adjustment with a field one step up (1) or down (-1). Raises Refused."""
    if field == WHOLE or field in _ENDS:
        return _shifted(change, _ends(template) if field == WHOLE else (field,), direction * (7 if big else 1))
    number = _BY_ID.get(field)
    if number is None:
        raise Refused("This is yes or no: enter changes it.")
    own, now = _held(template, field), _held(laid_over(template, change), field)
    if field == _EACH and now is None:
        now = _by_size(template)[1]  # it starts from those of a middle-sized tree
    value = number.start if now is None else now + direction * (number.big_step if big else number.step)
    value = min(max(value, number.least), number.most)
    value = int(value) if field in _WHOLE_NUMBERS else float(value)
    return _set(template, change, field, None if value == own else value)


def turned(template: Template, change: Adjustment, field: str, unasked: bool = False) -> Adjustment:
    """The adjustment with a yes turned to no, a no to yes, or a weather limit off and on. Raises Refused."""
    if field == USE:
        out = change.off or (unasked and not change.asked)
        return msgspec.structs.replace(change, off=not (out or unasked), asked=out and unasked, since=None)
    if field in _LIMITS:
        return _limit_turned(template, change, field)
    laid = laid_over(template, change)
    if field == DRY:
        dry = not laid.weather.dry
        return msgspec.structs.replace(change, dry=None if dry == template.weather.dry else dry)
    if not field.startswith(SPECIES_FIELD):
        raise Refused("This is a number: left and right change it.")
    name = field.removeprefix(SPECIES_FIELD)
    wanted = set(laid.where.species or SPECIES) ^ {name}
    if not wanted:
        raise Refused("One species must stay. To do without the template, leave it out.")
    same = wanted == set(template.where.species or SPECIES)
    species = None if same else tuple(kept for kept in SPECIES if kept in wanted)
    return msgspec.structs.replace(change, species=species)


def own_value(template: Template, change: Adjustment, field: str) -> Adjustment:
    """The adjustment with a field back at the template's own value. Raises Refused."""
    if field.startswith(SPECIES_FIELD):
        name = field.removeprefix(SPECIES_FIELD)
        wanted, own = laid_over(template, change).where.species or SPECIES, template.where.species or SPECIES
        return change if (name in wanted) == (name in own) else turned(template, change, field)
    if field == WHOLE or field in _ENDS:
        names = _ENDS if field == WHOLE else (field,)
        return msgspec.structs.replace(change, **{_shift_name(name): 0 for name in names})
    if field == USE:
        return msgspec.structs.replace(change, off=False, asked=False, since=None, left_out=())
    return msgspec.structs.replace(change, **{field: None})


def _ends(template: Template) -> tuple[str, ...]:
    """The ends of the window that the template gives; one that it does not give has nothing to shift."""
    return tuple(name for name in _ENDS if getattr(template, name) is not None)


def _shifted(change: Adjustment, names: tuple[str, ...], days: int) -> Adjustment:
    after = {_shift_name(name): _shift(change, name) + days for name in names}
    if any(abs(value) > _MOST_DAYS for value in after.values()):
        raise Refused("No window moves by more than half a year.")
    return msgspec.structs.replace(change, **after)


def _limit_turned(template: Template, change: Adjustment, field: str) -> Adjustment:
    own, now = _held(template, field), _held(laid_over(template, change), field)
    after = (None if own is None else NO_LIMIT) if now is not None else (_BY_ID[field].start if own is None else None)
    return _set(template, change, field, after)


def _set(template: Template, change: Adjustment, field: str, value: Any) -> Adjustment:
    after = msgspec.structs.replace(change, **{field: value})
    weather = laid_over(template, after).weather
    if weather.min_c is not None and weather.max_c is not None and weather.min_c > weather.max_c:
        raise Refused("No day could be that: the least would pass the most.")
    return after


def _shift_name(end: str) -> str:
    return f"{end}_later_days"


def _shift(change: Adjustment, end: str) -> int:
    return int(getattr(change, _shift_name(end)))


def _shift_words(days: int) -> str:
    return "as written" if days == 0 else f"{counted(abs(days), 'day')} {'later' if days > 0 else 'earlier'}"


def _end_words(laid: Template, name: str, season: Season) -> str:
    return anchor_words(getattr(laid, name), season, laid.where.species)


def _held(template: Template, field: str) -> Any:
    """The value that the template gives a number, wherever it stands there; None for minutes by the size of a tree."""
    if field == _EACH and template.effort.minutes_by_size is not None:
        return None
    for part in (template.weather, template.effort, template.repeats):
        if part is not None and field in part.__struct_fields__:
            return getattr(part, field)
    return None


def _number_words(field: str, laid: Template, units: str) -> str:
    value = _held(laid, field)
    if value is None and field == _EACH:
        return ", ".join(f"{minutes:g}" for minutes in _by_size(laid)) + " by size"
    if value is None:
        return "no limit"
    return in_units(f"{value:g} °C", units) if field in _LIMITS else f"{value:g}"


def _by_size(template: Template) -> tuple[float, float, float]:
    return template.effort.minutes_by_size or (0.0, 0.0, 0.0)


def in_force(shift: SiteShift, own: SiteShift) -> SiteShift:
    """The shift that counts: the one of the adjustments, else `own`, the one of site.toml."""
    return own if shift == SiteShift() else shift


def site_fields(shift: SiteShift, own: SiteShift, units: str) -> tuple[Field, ...]:
    """The three ways to say it, of which one is in use at most."""
    held = in_force(shift, own)
    fields = []
    for number in _OF_THE_SITE:
        value = getattr(held, number.id)
        words = "not used" if value is None else shift_words(SiteShift(**{number.id: value}), units) or "no shift"
        given = "from site.toml" if value is not None and shift == SiteShift() else ""
        fields.append(Field(number.id, number.label, words, given, changed=getattr(shift, number.id) is not None))
    return tuple(fields)


def site_stepped(shift: SiteShift, own: SiteShift, field: str, direction: int, big: bool) -> SiteShift:
    """The shift with one of the three a step up (1) or down (-1); the other two are let go."""
    number = next(number for number in _OF_THE_SITE if number.id == field)
    now = getattr(in_force(shift, own), field) or 0.0
    value = round(now + direction * (number.big_step if big else number.step), 1)
    after = SiteShift(**{field: float(min(max(value, number.least), number.most))})
    nothing_said = own == SiteShift() and not any(msgspec.structs.astuple(after))
    return SiteShift() if after == own or nothing_said else after
