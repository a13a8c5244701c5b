"""Finding one graft among thousands in a few key presses: by its number, its initials, or how its name begins."""

from __future__ import annotations

import re
from collections.abc import Iterable

from tendwork.orchard.records import Graft
from tendwork.plain_text import without_accents

_NO_MATCH = 9


def found(grafts: Iterable[Graft], query: str) -> tuple[Graft, ...]:
    """The grafts that a query may mean, the likeliest first; all, as they are, for an empty one.

    In this order: the id or its number; the id's beginning; the initials of the variety ("ak" is Ashmead's Kernel);
    the beginning of the variety, then of one of its words; the letters anywhere in the variety. Case, accents,
    apostrophes and hyphens do not matter.
    """
    wanted = _folded(query)
    if not wanted.strip():
        return tuple(grafts)
    ranked = [(_rank(graft, wanted), place, graft) for place, graft in enumerate(grafts)]
    return tuple(graft for rank, _, graft in sorted(ranked, key=lambda entry: entry[:2]) if rank < _NO_MATCH)


def _rank(graft: Graft, wanted: str) -> int:
    identity, variety = graft.id.casefold(), _folded(graft.variety)
    words = variety.split()
    initials = "".join(word[0] for word in words)
    tests = (
        wanted == identity,
        wanted.isdecimal() and _number(identity) == int(wanted),
        identity.startswith(wanted),
        wanted == initials,
        variety.startswith(wanted),
        initials.startswith(wanted),
        any(word.startswith(wanted) for word in words),
        wanted in variety,
        wanted in identity,
    )
    return tests.index(True) if True in tests else _NO_MATCH


def _number(identity: str) -> int | None:
    digits = re.search(r"(\d+)$", identity)
    return None if digits is None else int(digits.group(1))


def _folded(text: str) -> str:
    """Small letters without accents; apostrophes fall away and hyphens part words."""
    kept = re.sub("['’‘`]", "", without_accents(text))
    return re.sub(r"[^\w]+", " ", kept).strip()
