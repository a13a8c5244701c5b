"""Whether the winters of a place are wet and mild, or dry or cold: in these stone fruit may be pruned before it grows.

In a wet, mild winter the fungi of silver leaf and Eutypa and the bacteria of canker enter every cut; where winters are
dry or cold, cuts of the end of winter stay clean, and late summer is the poorer time (University of Minnesota
Extension, Growing stone fruits, undated: March before growth; Texas A&M, on plums, undated: late winter, the later the
better). No rain is known here, so cold alone decides until a person says otherwise.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, get_args

Winter = Literal["wet", "dry-cold"]
WINTERS: tuple[Winter, ...] = get_args(Winter)
DRY_COLD_WINTERS = "dry-cold winters"
"""The word of a template's `unless_seen` for a place whose winters are dry or cold."""

COLD_NIGHT_C = -6.0
"""As cold is the usual night of the coldest month, or colder, where winters count as cold: our own choice.

By normals from memory Minnesota (-14), Utah, Colorado (-8) and Missouri (-6) lie beyond it; England (2), Oregon (2),
California (4) and nearly all of Germany (-2 to -5) do not, nor does Texas (2): a dry, mild place must say so itself.
"""


def winter_of(normals_min_c: Sequence[float] | None) -> Winter:
    """What the monthly means of the daily minimum in °C say; wet where there are none: its advice does least harm."""
    return "dry-cold" if normals_min_c and min(normals_min_c) <= COLD_NIGHT_C else "wet"
