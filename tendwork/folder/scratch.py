"""A folder for a moment, closed to others, in which a database is copied to be tried or only read."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tendwork.errors import PersonError
from tendwork.folder.files import reason

if TYPE_CHECKING:
    import tempfile


def scratch_folder(records: Path) -> tempfile.TemporaryDirectory[str]:
    """A new folder for a copy of `records`. Raises PersonError where no folder for temporary files takes any."""
    import tempfile

    try:
        return tempfile.TemporaryDirectory(prefix="tendwork-")
    except OSError as error:
        raise no_room(records, error) from None


def no_room(records: Path, error: OSError) -> PersonError:
    """That a copy of the records could not be made, so that nothing is called damaged that was not tried."""
    import tempfile

    try:
        what = f"cannot be tried in {tempfile.gettempdir()} ({reason(error)})"
    except OSError:  # none of the places can be written; its own words list them all
        what = "cannot be tried (no folder for temporary files can be written)"
    remedy = "Make room there, or set TMPDIR to a folder that has some."
    return PersonError(f"{records}: {what}, so nobody can say whether it is good. {remedy}")
