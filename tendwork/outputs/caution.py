"""What every page and calendar says of cautions beyond the job's own: the one line that names who decides."""

from __future__ import annotations

GENERAL_CAUTION = (
    "These are the usual cautions, not all of them, and no law: follow the labels of tools and products, local codes"
    " and licensed practice wherever they are stricter, and leave what needs a licensed or trained person to them."
)
