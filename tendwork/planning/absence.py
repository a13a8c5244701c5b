"""Why a template gives no task this season: the first of its conditions that leaves no unit."""

from __future__ import annotations

from typing import Any

import msgspec

from tendwork.almanac.seasons import Season
from tendwork.orchard.wording import counted
from tendwork.planning.anchors import Anchors, bases_of
from tendwork.planning.came_in import as_it_came_in
from tendwork.planning.said_of_grafts import wrap_said_on
from tendwork.planning.subjects import Subjects
from tendwork.planning.vocabulary import FAILS_LATE, AnyOf, Template, Ticked, Where, WoodNeed
from tendwork.planning.windows import opening_of

_CONDITIONS = (
    "species", "state", "method", "wrap", "verdict", "above_m", "age_years", "growing_years", "trained_flat", "any_of",
    "follows", "union", "wood",
)  # fmt: skip
_KIND_WORDS = {"site": "tree", "tree": "tree", "graft": "graft", "wood": "bundle of wood", "variety": "graft"}


def absence(template: Template, subjects: Subjects, anchors: Anchors, season: Season) -> str:
    """One sentence that names the condition which keeps the template's jobs away; empty if it has jobs."""
    kind = _KIND_WORDS[template.each]
    where, fitting = Where(), ""
    if not _has_units(template, where, subjects, season):
        return f"It is about each {kind}, and the orchard has none."
    for name in _CONDITIONS:
        wanted = getattr(template.where, name)
        if wanted is None:
            continue
        where = msgspec.structs.replace(where, **{name: wanted})
        if not _has_units(template, where, subjects, season):
            if template.each == "site" and name != "species":
                kind = "graft"  # what is asked of the whole site beside its species is asked of its grafts
            return f"No {kind}{fitting} {_condition_words(name, wanted, kind)}."
        fitting = " that fits otherwise"
    came_in_late = False
    for subject in subjects.of(template, season):
        opening = opening_of(template, subject, anchors) if subject.matches else None
        if opening is not None:
            since = subject.known_since
            said_on = template.takes_wraps_off and wrap_said_on(subjects.orchard, subject.id)
            if any(as_it_came_in(template, window, since, said_on) for window in opening.rounds):
                return ""
            came_in_late = True
    if came_in_late:
        return "What it is about came into the records after its time this season."
    bases = (*bases_of(template.opens), *bases_of(template.closes))
    events = sorted({base.after for base in bases if base.after is not None})
    if events:
        return f"Nothing that it waits for ({', '.join(events)}) gives a day in this season."
    return "Its window has no day in this season."


def _has_units(template: Template, where: Where, subjects: Subjects, season: Season) -> bool:
    probe = msgspec.structs.replace(template, where=where)
    return any(subject.matches for subject in subjects.of(probe, season))


def _condition_words(name: str, wanted: Any, kind: str) -> str:
    if name == "above_m":
        return f"has a place above {wanted:g} m"
    if name == "union":
        return f"has a union that is {'known' if wanted == FAILS_LATE else 'not known'} to fail late"
    if name == "age_years":
        least, most = wanted
        return _age_words(least, most, "was planted" if kind == "tree" else "was set")
    if name == "growing_years":
        least, most = wanted
        return _age_words(least, most, "first grew")
    if name == "trained_flat":
        return "is trained flat" if wanted else "stands free, not trained flat"
    if name == "follows":
        return f"had {wanted} done this season"
    if name == "any_of":
        return f"{' or '.join(any_of_words(wanted))}"
    if name == "wood":
        return wish_words(wanted)
    return f"has the {name} {' or '.join(map(str, wanted))}"


def wish_words(state: WoodNeed) -> str:
    """What is true of wood that is to be cut here, or that somebody else is to give, as words after what has it."""
    return {
        "to cut": "is to be cut from a tree here",
        "to ask for": "is to be asked for",
        "buds to ask for": "is to be asked for as bud sticks",
        "unanswered": "was asked for without an answer yet",
        "promised": "was promised and is not here yet",
    }[state]


def any_of_words(signs: AnyOf) -> list[str]:
    """Its signs, each as what is true of a tree: "was planted this season or up to 7 seasons ago"."""
    said = [_age_words(*signs.age_years, "was planted")] if signs.age_years is not None else []
    said += ["has no year of planting noted"] if signs.age_unknown else []
    said += [_ticked_words(signs.ticked)] if signs.ticked is not None else []
    if signs.seen_years is not None:
        return [*said, *(_age_words(*signs.seen_years, f"had {sign} seen on it") for sign in signs.seen)]
    return [*said, *(f"had {sign} seen on it" for sign in signs.seen)]


def _ticked_words(wanted: Ticked) -> str:
    """ "had mark-nurse-limbs done 1 to 3 seasons ago"."""
    words = _age_words(*wanted.years, f"had {' or '.join(wanted.jobs)} done")
    return words if wanted.until is None else f"{words}, by {wanted.until} as in the north"


def _age_words(least: int, most: int, began: str) -> str:
    """ "was set this season", "was set 2 to 3 seasons ago"; an age counts the seasons since the first."""
    if least:
        span = counted(most, "season") if least == most else f"{least} to {counted(most, 'season')}"
        return f"{began} last season" if most == 1 else f"{began} {span} ago"
    ends = ("", " or last season")
    return f"{began} this season{ends[most] if most < len(ends) else f' or up to {most} seasons ago'}"
