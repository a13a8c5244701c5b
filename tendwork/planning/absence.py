"""Why a template gives no task this season: the first of its conditions that leaves no unit."""

from __future__ import annotations

from typing import Any

import msgspec

from tendwork.almanac.seasons import Season
from tendwork.planning.anchors import Anchors, bases_of
from tendwork.planning.subjects import Orchard
from tendwork.planning.vocabulary import Template, Where
from tendwork.planning.windows import opening_of

_CONDITIONS = ("species", "state", "method", "wrap", "verdict", "above_m", "age_years")
_KIND_WORDS = {"site": "tree", "tree": "tree", "graft": "graft", "wood": "bundle of wood", "variety": "graft"}


def absence(template: Template, orchard: Orchard, anchors: Anchors, season: Season) -> str:
    """One sentence that names the condition which keeps the template's jobs away; empty if it has jobs."""
    kind = _KIND_WORDS[template.each]
    where = Where()
    if not _has_units(template, where, orchard, season):
        return f"It is about each {kind}, and the orchard has none."
    for name in _CONDITIONS:
        wanted = getattr(template.where, name)
        if wanted is None:
            continue
        where = msgspec.structs.replace(where, **{name: wanted})
        if not _has_units(template, where, orchard, season):
            return f"No {kind} has {_condition_words(name, wanted)}."
    for subject in orchard.subjects(template, season):
        if subject.matches and opening_of(template, subject, anchors, season) is not None:
            return ""
    bases = (*bases_of(template.opens), *bases_of(template.closes))
    events = sorted({base.after for base in bases if base.after is not None})
    if events:
        return f"Nothing that it waits for ({', '.join(events)}) gives a day in this season."
    return "Its window has no day in this season."


def _has_units(template: Template, where: Where, orchard: Orchard, season: Season) -> bool:
    probe = msgspec.structs.replace(template, where=where)
    return any(subject.matches for subject in orchard.subjects(probe, season))


def _condition_words(name: str, wanted: Any) -> str:
    if name == "above_m":
        return f"a place above {wanted:g} m"
    if name == "age_years":
        return f"an age of {wanted[0]} to {wanted[1]} years"
    words = " or ".join(str(word) for word in wanted)
    return f"the {name} {words}" + (" and what was asked before" if name != "species" else "")
