"""The few turns of phrase that every sentence about records shares."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tendwork.orchard.records import Graft

NOBODY_NOTED = "somebody not noted"
"""Who is to give wood, or to have it, where nobody wrote that down."""


def counted(number: int, word: str) -> str:
    """ "1 stick", "3 sticks", "2 entries", "2 days"."""
    if number == 1:
        return f"1 {word}"
    ends_in_ies = word.endswith("y") and word[-2:-1] not in tuple("aeiou")
    return f"{number} {word[:-1]}ies" if ends_in_ies else f"{number} {word}s"


def listed(names: Iterable[object]) -> str:
    """ "a", "a and b", "a, b and c"."""
    *firsts, last = map(str, names)
    return f"{', '.join(firsts)} and {last}" if firsts else last


_NAMED = 6


def listed_in_short(names: Sequence[str]) -> str:
    """All of some few names; of many the first two, and how many more there are: "a, b and 398 more"."""
    return listed(names) if len(names) <= _NAMED else f"{', '.join(names[:2])} and {len(names) - 2} more"


def named(graft: Graft) -> str:
    """ "Ashmead's Kernel (g01)"."""
    return f"{graft.variety} ({graft.id})"
