"""A person's own card, template or tool laid over the shipped one of its id: it may add cautions, never take one away.

What both say counts, and what is at stake stays where the person's own does not say it. So no caution can be emptied by
leaving a word out, and the person's own words are never lost.
What cannot be added to, such as the part of the year on which holds hang, must stay as it is (`sheds`).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

import msgspec

from tendwork.orchard.outcomes import STILL_OPEN, STRIKES
from tendwork.planning.vocabulary import OFF, Card, Template, Tool

Rule = TypeVar("Rule", bound=Card | Template | Tool)
_Word = TypeVar("_Word")

_TELLING_OUTCOMES = (OFF, "set", STILL_OPEN, *STRIKES)
"""Outcomes on which something hangs: the watch over a wrap, a bar on the wood, a job that stays, a sick tree."""
_CLEANS = "cleans blades"
_HIGHEST_FIRST = ("limb", "crown", "ground", "indoors")


def stricter(shipped: Rule, own: Rule) -> Rule:
    """The rule in force: the person's own, with every caution of the shipped one still in it."""
    if isinstance(shipped, Card) and isinstance(own, Card):
        return msgspec.structs.replace(
            own,
            title=shipped.title,  # other cards send the reader to it by this name
            line=_both(shipped.line, own.line),
            points=_union(own.points, shipped.points),
            first_aid=_union(own.first_aid, shipped.first_aid),
            defer=_both(own.defer, shipped.defer),
            source="; ".join(_union(tuple(own.source.split("; ")), tuple(shipped.source.split("; ")))),
        )
    if isinstance(shipped, Tool) and isinstance(own, Tool):
        return msgspec.structs.replace(
            own,
            cautions=_union(shipped.cautions, own.cautions),
            uses=_union(shipped.uses, own.uses),
            bring=_union(own.bring, shipped.bring),
            aloft=_union(own.aloft, shipped.aloft),
        )
    if isinstance(shipped, Template) and isinstance(own, Template):
        return msgspec.structs.replace(
            own,
            cautions=_union(shipped.cautions, own.cautions),
            acts=_union(shipped.acts, own.acts),
            tools=_union(own.tools, shipped.tools),
            work_at=min(shipped.work_at, own.work_at, key=_HIGHEST_FIRST.index),
            stake=own.stake or shipped.stake,
            visit=own.visit or shipped.visit,
            loss=own.loss or (shipped.loss if own.stake in (None, shipped.stake) else ""),
        )
    raise TypeError(f"{type(own).__name__} over {type(shipped).__name__}")


def sheds(shipped: Rule, own: Rule) -> Iterator[tuple[str, str, str]]:
    """(key, what is wrong, what to do) of all by which the person's own would be rid of a caution or a hold."""
    if isinstance(shipped, Template) and isinstance(own, Template):
        for key in ("part", "each"):
            if (kept := getattr(shipped, key)) != getattr(own, key):
                yield key, f'must stay "{kept}", as in the shipped template', "Or give it another id."
        lost = [word for word in shipped.outcomes if word in _TELLING_OUTCOMES and word not in own.outcomes]
        if lost:
            words = ", ".join(f'"{word}"' for word in lost)
            yield "outcomes", f"must hold {words}, as in the shipped template", "Or give it another id."
    if isinstance(shipped, Tool) and isinstance(own, Tool) and _CLEANS in own.uses and _CLEANS not in shipped.uses:
        what = f'must not hold "{_CLEANS}", which the shipped tool does not: what cleans it would stay at home'
        yield "uses", what, "Or give it another id."


def _union(first: tuple[_Word, ...], then: tuple[_Word, ...]) -> tuple[_Word, ...]:
    return tuple(dict.fromkeys((*first, *then)))


def _both(first: str, then: str) -> str:
    """The two texts one after the other; only one of them where it holds the other."""
    if then.strip() in first:
        return first
    return then if first.strip() in then else f"{first.strip()} {then.strip()}"
