"""The last plan on disk: what the first paint shows, and what spares a second command the reckoning.

Most of the file is the whole plan, and msgspec passes over what the wanted type does not name, so that the week and
what belongs to it are read in a fraction of the time.
"""

from __future__ import annotations

import os
import sys
from datetime import date
from pathlib import Path
from typing import TypeVar

import msgspec
from msgspec import Struct

from tendwork import __version__
from tendwork.almanac.results import FrostNight, StageDate
from tendwork.folder.data_files import TASK_TEMPLATES, data_folder
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.planning.results import FittedWeek, Plan

CACHE_FILE = "plan.msgpack"


class SpeciesStages(Struct, frozen=True):
    """One species and its stage dates of one season."""

    species: str
    stages: tuple[StageDate, ...]


class Glance(Struct, frozen=True):
    """What one reckoning gave, without the whole plan. `token` names the content it was made from, program included."""

    token: str
    week: FittedWeek
    stages: tuple[SpeciesStages, ...]
    frost: tuple[FrostNight, ...]
    words: tuple[str, ...]

    @property
    def day(self) -> date:
        """The day that it was made for."""
        return self.week.days[0].day


class Reckoned(Glance, frozen=True, kw_only=True):
    """Everything that one reckoning gave."""

    plan: Plan


_Kept = TypeVar("_Kept", bound=Glance)


def token_of(folder: OrchardFolder, today: date) -> str:
    """A word for the day and all that a reckoning depends on: the folder's content, the shipped rules, the program."""
    program = _times(Path(__file__).parent), _times(data_folder(TASK_TEMPLATES))
    return f"{__version__}|{sys.version_info[:2]}|{program}|{today}|{folder.content_token()}"


def _times(root: str | Path) -> int:
    """The times of all rules and files of the program, in one number. The least that it takes: every command waits."""
    times = 0
    with os.scandir(root) as entries:
        for entry in entries:
            if entry.name.endswith((".py", ".toml")):
                times += 1 + entry.stat().st_mtime_ns
            elif entry.name != "__pycache__" and entry.is_dir():
                times += _times(entry.path)
    return times


def read_kept(folder: OrchardFolder, wanted: type[_Kept]) -> _Kept | None:
    """The newest reckoning kept, of whatever day and content; None if there is none that can be read."""
    content = folder.read_cache(CACHE_FILE)
    if content is None:
        return None
    try:
        return msgspec.msgpack.decode(content, type=wanted)
    except msgspec.MsgspecError:
        return None


def keep(folder: OrchardFolder, reckoned: Reckoned) -> None:
    """Keep a reckoning if the folder takes it."""
    folder.write_cache(CACHE_FILE, msgspec.msgpack.encode(reckoned))
