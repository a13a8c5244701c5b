"""The copies of the records: put back in their place, and listed. The folder need not be one that can be opened."""

from __future__ import annotations

from pathlib import Path

from tendwork.folder.location import locate
from tendwork.folder.orchard_folder import RECORDS_FILE, refuse_unless_readable
from tendwork.folder.restoring import Copy, copies_proved, restore
from tendwork.orchard.wording import counted


def restore_records(path: Path | None, copy: Path | None) -> tuple[str, ...]:
    """Put a copy of the records back, the newest good one unless one is named. Raises PersonError."""
    records = locate(path) / RECORDS_FILE
    refuse_unless_readable(records.parent)
    used, aside = restore(records, copy)
    said = (f"{used.name} stands in the place of {records.name} again.",)
    return said if aside is None else (*said, f"What stood there is in {aside}.")


def listed_copies(path: Path | None) -> tuple[str, ...]:
    """Every copy of the records, one line each. Raises PersonError where there is no folder to read."""
    records = locate(path) / RECORDS_FILE
    refuse_unless_readable(records.parent)
    found = copies_proved(records)
    if not found:
        return ("There is no copy yet; one is made each day before the first act.",)
    return tuple(_copy_line(copy) for copy in found)


def _copy_line(copy: Copy) -> str:
    if not copy.proof.good:
        return f"{copy.path}  cannot be read back"
    acts = counted(copy.proof.acts, "act")
    newest = f", the newest of {copy.proof.newest_act[:16].replace('T', ' ')} UTC" if copy.proof.newest_act else ""
    return f"{copy.path}  {acts}{newest}  good"
