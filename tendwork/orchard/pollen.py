"""Whether a variety gives pollen to others and needs any itself, from what its record or the lists say of it.

A triploid, and one whose pollen is sterile or no good, gives none; one that is self-fertile needs no partner (NC State
HIL-302, 1998; RHS, 10 AGM apples, undated; ANFIC, 2014). What nobody says is not known, and so is what sources
contradict each other about. A variety that is self-sterile, or of an incompatibility group, has pollen for others; whom
it fits is not judged here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from msgspec import Struct

from tendwork.orchard.variety_reference import Said

_GIVES_NONE = re.compile(r"(?<!not )\btriploid\b|(?<!self-)\b(?:no|sterile|poor)\b[^,;]*\bpollen\b", re.IGNORECASE)
_GIVES = re.compile(
    r"\bdiploid\b|\bself[- ]?(?:sterile|fertile)\b|\bincompatibility group\b|\bpartner\b|\bgood pollen\b", re.IGNORECASE
)
_SELF = re.compile(r"(?<!partly )(?<!not )\bself[- ]?fertile\b", re.IGNORECASE)


class Pollen(Struct, frozen=True):
    """Of a variety: whether it `gives` pollen to others, None where that is not known; and who says what."""

    gives: bool | None = None
    needs_none: bool = False
    words: str = ""


NOT_KNOWN = Pollen()


def pollen_of(said: Iterable[Said]) -> Pollen:
    """What these sources say together."""
    held = tuple(said)
    gives = {found for one in held if (found := _gives(one.value)) is not None}
    fertile = [
        bool(_SELF.search(one.value)) for one in held if _GIVES.search(one.value) or _GIVES_NONE.search(one.value)
    ]
    words = "; ".join(one.words for one in held)
    return Pollen(gives.pop() if len(gives) == 1 else None, bool(fertile) and all(fertile), words)


def _gives(value: str) -> bool | None:
    """By one source: a finding that a list says is of one list only decides nothing."""
    if "in one list only" in value:
        return None
    if _GIVES_NONE.search(value):
        return False
    return True if _GIVES.search(value) else None
