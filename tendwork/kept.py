"""The last plan on disk: what the first paint shows, and what spares a second command the reckoning."""

from __future__ import annotations

import sys
from datetime import date
from hashlib import blake2b
from pathlib import Path

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


class Reckoned(Struct, frozen=True):
    """Everything that one reckoning gave. `token` names the content it was made from, program included."""

    token: str
    plan: Plan
    week: FittedWeek
    stages: tuple[SpeciesStages, ...]
    frost: tuple[FrostNight, ...]
    words: tuple[str, ...]


def token_of(folder: OrchardFolder, today: date) -> str:
    """A word for the day and all that a reckoning depends on: the folder's content, the shipped rules, the program."""
    digest = blake2b(f"{__version__}|{sys.version_info[:2]}|{today}|{folder.content_token()}".encode(), digest_size=16)
    for root in (Path(__file__).parent, data_folder(TASK_TEMPLATES)):
        for file in sorted((*root.rglob("*.py"), *root.glob("*.toml"))):
            digest.update(f"{file.name}|{file.stat().st_mtime_ns};".encode())
    return digest.hexdigest()


def read_kept(folder: OrchardFolder) -> Reckoned | None:
    """The newest reckoning kept, of whatever day and content; None if there is none that can be read."""
    content = folder.read_cache(CACHE_FILE)
    if content is None:
        return None
    try:
        return msgspec.msgpack.decode(content, type=Reckoned)
    except msgspec.MsgspecError:
        return None


def keep(folder: OrchardFolder, reckoned: Reckoned) -> None:
    """Keep a reckoning if the folder takes it."""
    folder.write_cache(CACHE_FILE, msgspec.msgpack.encode(reckoned))
