"""rounds.toml: on which days each daily job was begun, and a short log of what came of them.

It stands beside the records and not in the cache, because a sheet that was delivered must not come a second time when
somebody clears the cache.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import msgspec
from msgspec import Struct, field

from tendwork.errors import PersonError, located
from tendwork.folder.file_lock import alone_at
from tendwork.folder.files import read_text, real_place, stands, write_own
from tendwork.folder.toml_text import parse_toml

LOG_FILE = "rounds.toml"
_KEPT_DAYS = 40
_KEPT_ENTRIES = 60


class Entry(Struct, frozen=True, omit_defaults=True):
    """What one daily job did, by the site's clock; `times` counts its failures in a row, up to this one."""

    at: datetime
    job: str = field(name="round")
    words: str
    failed: bool = False
    times: int = 1


class UnderWay(Struct, frozen=True):
    """A job that was begun and whose end is not noted."""

    job: str = field(name="round")
    at: datetime


class DailyLog(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The days on which each daily job was begun, in the order in which that was, the tries to fetch, and the log.

    Days are kept as a list and not as the newest one, because a clock may be set back.
    """

    days: dict[str, tuple[date, ...]] = {}
    under_way: UnderWay | None = None
    fetch_tried_at: datetime | None = None
    fetch_failures: int = 0
    entries: tuple[Entry, ...] = field(name="log", default=())

    def was_begun(self, name: str, day: date) -> bool:
        return day in self.days.get(name, ())

    def begun(self, name: str, day: date) -> DailyLog:
        """With one more day on which a job was begun."""
        days = (*self.days.get(name, ()), day)[-_KEPT_DAYS:]
        return msgspec.structs.replace(self, days=self.days | {name: days})

    def due_again(self, name: str, day: date) -> DailyLog:
        """As if a job had not been begun on a day."""
        days = tuple(other for other in self.days.get(name, ()) if other != day)
        return msgspec.structs.replace(self, days=self.days | {name: days})

    def logged(self, entry: Entry) -> DailyLog:
        """With one more entry; failures of one job in a row count as one, with the newest words."""
        last = next((held for held in reversed(self.entries) if held.job == entry.job), None)
        entries = self.entries
        if last is not None and last.failed and entry.failed:
            entry = msgspec.structs.replace(entry, times=last.times + 1)
            entries = tuple(held for held in entries if held is not last)
        return msgspec.structs.replace(self, entries=(*entries, entry)[-_KEPT_ENTRIES:])


def read_log(root: Path) -> DailyLog:
    """What is kept of the daily jobs; nothing where none was ever done. Raises PersonError."""
    path = root / LOG_FILE
    if not stands(path):
        return DailyLog()
    remedy = "Delete it; what was delivered today may then come once more."
    try:
        return msgspec.convert(parse_toml(read_text(path, LOG_FILE), LOG_FILE), DailyLog)
    except msgspec.ValidationError as error:
        raise located(LOG_FILE, f"is damaged ({error})", remedy=remedy) from None
    except PersonError as error:
        raise PersonError(f"{str(error).rstrip('.')}. {remedy}") from None


def log_faults(root: Path) -> tuple[str, ...]:
    """What is wrong with the file, as a sentence; nothing where all is well."""
    try:
        read_log(root)
    except PersonError as error:
        return (str(error),)
    return ()


def change_log(root: Path, change: Callable[[DailyLog], DailyLog]) -> DailyLog:
    """Change what stands in the file now, and give it as it stands then. Raises PersonError."""
    file = root / LOG_FILE
    with alone_at(real_place(file)):
        before = read_log(root)
        after = change(before)
        if after != before:
            write_log(root, after)
    return after


def write_log(root: Path, log: DailyLog) -> None:
    """Write it, whole or not at all, and to the disk before anything else happens. Raises PersonError."""
    import tomli_w

    document = {key: value for key, value in msgspec.to_builtins(log, builtin_types=(datetime, date)).items() if value}
    head = "# Written by `tendwork watch`: what it did on which day. Without it a sheet may come twice.\n\n"
    write_own(root / LOG_FILE, (head + tomli_w.dumps(document)).encode())
