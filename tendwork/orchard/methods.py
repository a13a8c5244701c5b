"""The ways to graft that the trade has names for, and what a graft made in that way is."""

from __future__ import annotations

from tendwork.orchard.records import Graft, Life

METHODS = ("whip and tongue", "cleft", "bark", "side", "splice", "bridge", "chip bud", "T-bud", "bench graft")
BUD_METHODS = frozenset({"chip bud", "T-bud"})
BUD_WORDS = frozenset(method.casefold() for method in BUD_METHODS)
BRIDGE = "bridge"
"""A bridge carries sap past a wound of its own tree: it is no variety, bears no crop and is never judged."""
BENCH = "bench graft"
"""Made at a table on a loose stock, which is planted out as a tree of its own once its buds move."""
SAME_METHODS = {
    "rind": "bark", "rind graft": "bark", "bark graft": "bark", "inlay": "bark", "inlay bark": "bark",
    "whip": "whip and tongue", "whip graft": "whip and tongue", "whip and tongue graft": "whip and tongue",
    "cleft graft": "cleft", "side graft": "side", "side veneer": "side",
    "saddle": "whip and tongue", "saddle graft": "whip and tongue",
    "inarch": BRIDGE, "inarching": BRIDGE, "inarch graft": BRIDGE,
}  # fmt: skip
"""What else the trade calls one of METHODS, or what is cared for as it, in small letters; an own template may speak of
it by itself. A saddle joins like sizes as a whip graft does; an inarched sucker carries sap past a wound as a bridge
does, and is no variety either (MSU Extension, R. Perry, 2014, names the two together; that one is cared for as the
other is common practice, no source)."""


def is_of_a_variety(graft: Graft | Life) -> bool:
    """Whether a graft is there for its fruit."""
    return not is_bridge(graft.method)


def is_bridge(method: str) -> bool:
    """Whether a method, in whatever capitals, is a bridge or cared for as one."""
    folded = " ".join(method.casefold().split())
    return SAME_METHODS.get(folded, folded) == BRIDGE


def is_summer_bud(graft: Graft) -> bool:
    """Whether a graft takes a bud of the same summer's shoot and no stored wood: each bud that names no bundle.

    Buds are set in late summer with fresh bud sticks, in spring with dormant wood (RHS and W. Seabrook for summer, a
    Californian nursery's calendar for spring): who means the spring names the bundle.
    """
    return graft.method.casefold() in BUD_WORDS and not graft.wood
