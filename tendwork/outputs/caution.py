"""What every page and calendar says of cautions beyond the job's own: the one line that names who decides."""

from __future__ import annotations

GENERAL_CAUTION = (
    "These are the usual cautions, not all of them, and no law: local codes and the labels of tools and products come"
    " first, and what needs a licensed or trained person is theirs to do."
)
