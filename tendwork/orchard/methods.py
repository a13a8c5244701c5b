"""The ways to graft that the trade has names for, and what a graft made in that way is."""

from __future__ import annotations

METHODS = ("whip and tongue", "cleft", "bark", "side", "splice", "bridge", "chip bud", "T-bud")
BUD_METHODS = frozenset({"chip bud", "T-bud"})
BRIDGE = "bridge"
"""A bridge carries sap past a wound of its own tree: it is no variety, bears no crop and is never judged."""
