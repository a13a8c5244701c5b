"""The ways to graft that the trade has names for, and what a graft made in that way is."""

from __future__ import annotations

from functools import lru_cache

from tendwork.orchard.records import Graft, Life

METHODS = ("whip and tongue", "cleft", "bark", "side", "splice", "bridge", "chip bud", "T-bud", "bench graft")
BUD_METHODS = frozenset({"chip bud", "T-bud"})
BRIDGE = "bridge"
"""A bridge carries sap past a wound of its own tree: it is no variety, bears no crop and is never judged."""
BENCH = "bench graft"
"""Made at a table on a loose stock, which is planted out as a tree of its own once its buds move."""
SAME_METHODS = {
    "rind": "bark", "rind graft": "bark", "bark graft": "bark", "inlay": "bark", "inlay bark": "bark",
    "whip": "whip and tongue", "whip graft": "whip and tongue", "whip and tongue graft": "whip and tongue",
    "cleft graft": "cleft", "side graft": "side", "side veneer": "side",
    "saddle": "whip and tongue", "saddle graft": "whip and tongue", "bridge graft": BRIDGE,
    "inarch": BRIDGE, "inarching": BRIDGE, "inarch graft": BRIDGE,
    "t bud": "T-bud", "t-budding": "T-bud", "t budding": "T-bud", "shield bud": "T-bud", "shield budding": "T-bud",
    "chip-bud": "chip bud", "chip budding": "chip bud",
}  # fmt: skip
"""What else the trade calls one of METHODS, or what is cared for as it, in small letters; an own template may speak of
it by itself. A saddle joins like sizes as a whip graft does; an inarched sucker carries sap past a wound as a bridge
does, and is no variety either (MSU Extension, R. Perry, 2014, names the two together; that one is cared for as the
other is common practice, no source)."""


_NAMED = {method.casefold(): method for method in METHODS}


@lru_cache(maxsize=1024)
def method_named(word: str) -> str:
    """The one of METHODS that a person's word means, in whatever capitals and blanks; else the word itself."""
    folded = " ".join(word.casefold().split())
    return _NAMED.get(folded) or SAME_METHODS.get(folded, " ".join(word.split()))


def is_of_a_variety(graft: Graft | Life) -> bool:
    """Whether a graft is there for its fruit."""
    return method_named(graft.method) != BRIDGE


def is_bud(method: str) -> bool:
    """Whether a graft by this method is a single bud."""
    return method_named(method) in BUD_METHODS


def is_summer_bud(graft: Graft) -> bool:
    """Whether a graft takes a bud of the same summer's shoot and no stored wood: each bud that names no bundle.

    Buds are set in late summer with fresh bud sticks, in spring with dormant wood (RHS and W. Seabrook for summer, a
    Californian nursery's calendar for spring): who means the spring names the bundle.
    """
    return is_bud(graft.method) and not graft.wood
