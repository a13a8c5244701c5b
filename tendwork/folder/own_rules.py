"""A person's own card, template or tool laid over the shipped one of its id: it may add cautions, never take one away.

What both say counts. So no caution can be emptied by leaving a word out, and the person's own words are never lost.
"""

from __future__ import annotations

from typing import TypeVar

import msgspec

from tendwork.planning.vocabulary import Card, Template, Tool

Rule = TypeVar("Rule", bound=Card | Template | Tool)
_Word = TypeVar("_Word")

_HIGHEST_FIRST = ("limb", "crown", "ground", "indoors")


def stricter(shipped: Rule, own: Rule) -> Rule:
    """The rule in force: the person's own, with every caution of the shipped one still in it."""
    if isinstance(shipped, Card) and isinstance(own, Card):
        return msgspec.structs.replace(
            own,
            line=_both(shipped.line, own.line),
            points=_union(own.points, shipped.points),
            defer=_both(own.defer, shipped.defer),
            source=_both(own.source, shipped.source, "; "),
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
        )
    raise TypeError(f"{type(own).__name__} over {type(shipped).__name__}")


def _union(first: tuple[_Word, ...], then: tuple[_Word, ...]) -> tuple[_Word, ...]:
    return tuple(dict.fromkeys((*first, *then)))


def _both(first: str, then: str, between: str = " ") -> str:
    """The two texts one after the other; only one of them where it holds the other."""
    if then.strip() in first:
        return first
    return then if first.strip() in then else f"{first.strip()}{between}{then.strip()}"
