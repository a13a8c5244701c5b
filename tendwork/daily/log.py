"""rounds.toml: on which days each of the day's rounds was begun, and a short log of what came of them.

It stands beside the records and not in the cache, because a sheet that was delivered must not come a second time when
somebody clears the cache.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path

import msgspec
from msgspec import Struct

from tendwork.errors import PersonError, located
from tendwork.folder.file_lock import alone_at
from tendwork.folder.files import read_text, real_place, stands, write_own
from tendwork.folder.toml_text import parse_toml

ROUNDS_FILE = "rounds.toml"
_KEPT_DAYS = 40
_KEPT_ENTRIES = 60


class Entry(Struct, frozen=True, omit_defaults=True):
    """What one round did, by the site's clock; `times` counts its failures in a row, of which this is the newest."""

    at: datetime
    round: str
    words: str
    failed: bool = False
    times: int = 1


class UnderWay(Struct, frozen=True):
    """A round that was begun and whose end is not noted."""

    round: str
    at: datetime


class RoundsKept(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """The days on which each round was begun, in the order in which that was, the tries to fetch, and the log.

    Days are kept as a list and not as the newest one, because a clock may be set back.
    """

    days: dict[str, tuple[date, ...]] = {}
    under_way: UnderWay | None = None
    fetch_tried_at: datetime | None = None
    fetch_failures: int = 0
    log: tuple[Entry, ...] = ()

    def was_begun(self, name: str, day: date) -> bool:
        return day in self.days.get(name, ())

    def begun(self, name: str, day: date) -> RoundsKept:
        """With one more day on which a round was begun."""
        days = (*self.days.get(name, ()), day)[-_KEPT_DAYS:]
        return msgspec.structs.replace(self, days=self.days | {name: days})

    def due_again(self, name: str, day: date) -> RoundsKept:
        """As if a round had not been begun on a day."""
        days = tuple(other for other in self.days.get(name, ()) if other != day)
        return msgspec.structs.replace(self, days=self.days | {name: days})

    def logged(self, entry: Entry) -> RoundsKept:
        """With one more entry; failures of one round in a row count as one, with the newest words."""
        last = next((held for held in reversed(self.log) if held.round == entry.round), None)
        log = self.log
        if last is not None and last.failed and entry.failed:
            entry = msgspec.structs.replace(entry, times=last.times + 1)
            log = tuple(held for held in log if held is not last)
        return msgspec.structs.replace(self, log=(*log, entry)[-_KEPT_ENTRIES:])


def read_rounds(root: Path) -> RoundsKept:
    """What is kept of the rounds; nothing where none was ever made. Raises PersonError."""
    path = root / ROUNDS_FILE
    if not stands(path):
        return RoundsKept()
    remedy = "Delete it; what was delivered today may then come once more."
    try:
        return msgspec.convert(parse_toml(read_text(path, ROUNDS_FILE), ROUNDS_FILE), RoundsKept)
    except msgspec.ValidationError as error:
        raise located(ROUNDS_FILE, f"is damaged ({error})", remedy=remedy) from None
    except PersonError as error:
        raise PersonError(f"{str(error).rstrip('.')}. {remedy}") from None


def rounds_faults(root: Path) -> tuple[str, ...]:
    """What is wrong with the file, as a sentence; nothing where all is well."""
    try:
        read_rounds(root)
    except PersonError as error:
        return (str(error),)
    return ()


def change_rounds(root: Path, change: Callable[[RoundsKept], RoundsKept]) -> RoundsKept:
    """Change what stands in the file now, and give it as it stands then. Raises PersonError."""
    file = root / ROUNDS_FILE
    with alone_at(real_place(file)):
        before = read_rounds(root)
        after = change(before)
        if after != before:
            write_rounds(root, after)
    return after


def write_rounds(root: Path, kept: RoundsKept) -> None:
    """Write it, whole or not at all, and to the disk before anything else happens. Raises PersonError."""
    import tomli_w

    document = {key: value for key, value in msgspec.to_builtins(kept, builtin_types=(datetime, date)).items() if value}
    head = "# Written by `tendwork watch`: what it did on which day. Without it a sheet may come twice.\n\n"
    write_own(root / ROUNDS_FILE, (head + tomli_w.dumps(document)).encode())
