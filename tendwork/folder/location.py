"""Where the orchard folder is. Nothing else is needed before the first paint, so nothing else is imported here."""

from __future__ import annotations

import os
from pathlib import Path

ENVIRONMENT = "TENDWORK_ORCHARD"


def locate(path: Path | None = None) -> Path:
    """`path`, else what TENDWORK_ORCHARD names, else the platform's place for a person's data."""
    if path is not None:
        return path.expanduser()
    named = os.environ.get(ENVIRONMENT)
    if named:
        return Path(named).expanduser()
    from platformdirs import user_data_path

    return user_data_path("tendwork", appauthor=False) / "orchard"
