"""The site's shift, field by field: colder, higher or behind its temperatures, one of the three at a time."""

from __future__ import annotations

import msgspec

from tendwork.dashboard.screens.templates_fields import Field, Number
from tendwork.planning.adjustments import SiteShift
from tendwork.view.template_rows import shift_words

_NUMBERS = (
    Number("degrees_c", "by degrees", -15, 15, 0.1, 1),
    Number("elevation_m", "by height", -3000, 3000, 10, 100),
    Number("days", "by days", -60, 60, 1, 7),
)


def in_force(shift: SiteShift, own: SiteShift) -> SiteShift:
    """The shift that counts: the one of the adjustments, else `own`, the one of site.toml."""
    return own if shift == SiteShift() else shift


def site_fields(shift: SiteShift, own: SiteShift, units: str) -> tuple[Field, ...]:
    """The three ways to say it, of which one is in use at most."""
    held = in_force(shift, own)
    fields = []
    for number in _NUMBERS:
        value = getattr(held, number.id)
        words = "not used" if value is None else shift_words(SiteShift(**{number.id: value}), units) or "no shift"
        given = "from site.toml" if value is not None and shift == SiteShift() else ""
        fields.append(Field(number.id, number.label, words, given, changed=getattr(shift, number.id) is not None))
    return tuple(fields)


def site_stepped(shift: SiteShift, own: SiteShift, field: str, direction: int, big: bool) -> SiteShift:
    """The shift with one of the three a step up (1) or down (-1); the other two are let go."""
    number = next(number for number in _NUMBERS if number.id == field)
    now = getattr(in_force(shift, own), field) or 0.0
    value = round(now + direction * (number.big_step if big else number.step), 1)
    after = SiteShift(**{field: float(min(max(value, number.least), number.most))})
    nothing_said = own == SiteShift() and not any(msgspec.structs.astuple(after))
    return SiteShift() if after == own or nothing_said else after
