"""What a graft may be wrapped in, by the words of the trade."""

from __future__ import annotations

NO_WRAP = "none"
"""A person's word for a graft that was not wrapped. An empty cell is not that: it says that nobody noted it."""
WRAPS = (
    "budding rubber",
    "film",
    "PVC tape",
    "electrical tape",
    "polyethylene strip",
    "splicing tape",
    "masking tape",
    "raffia",
    "cloth",
    "string",
    NO_WRAP,
)
