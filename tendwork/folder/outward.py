"""The one way by which a file goes out to the person: never over what tendwork keeps, nor over what is another's.

Every page, calendar, text and table that a person asks for, or names in site.toml, is written by `write_outward`.
Links, other spellings and other names of a file are seen through first; a file that is written before is known by its
`mark`, a piece of text that only tendwork writes.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

from tendwork.errors import PersonError, located
from tendwork.folder.drafts import sweep
from tendwork.folder.files import reason, write_whole
from tendwork.folder.orchard_folder import RECORDS_FILE
from tendwork.folder.site import SITE_FILE

_READ_BYTES = 4096  # at the beginning and at the end, where a mark stands
_KEPT_FILES = {
    SITE_FILE: "describes the orchard's place",
    "adjustments.toml": "is where tendwork keeps what you adjusted",
    "rounds.toml": "is where tendwork keeps what its watch did",
    "about.txt": "says what the sample orchard is",
}
_KEPT_FOLDERS = {
    "templates": "the orchard's own rules",
    "temperatures": "the temperatures",
    "backups": "the copies of the records",
    "cache": "the last plan",
}
_RECORDS_WORDS = "is where tendwork keeps the records"


class StandsThere(PersonError):
    """A file stands there that tendwork did not write; a person who knows of it may have it written over."""


def write_outward(
    orchard: Path, file: Path, content: bytes, mark: bytes = b"", over: bool = False, new: bool = False
) -> None:
    """Write a file that a person named, whole or not at all, over one that has the `mark` or where none stands.

    A `new` one is written only where nothing stands, also of two who write it at once. Raises StandsThere where another
    stands that is not to be written `over`, and PersonError where it cannot be.
    """
    place = way_out(orchard, file, mark, over)
    sweep(place.parent, place.name)
    write_whole(place, content, lambda: way_out(orchard, file, mark, over), new)


def way_out(orchard: Path, file: Path, mark: bytes = b"", over: bool = False) -> Path:
    """Where a file that a person named would really lie. Raises as `write_outward` does; nothing is written."""
    refuse_kept(orchard, file)
    if os.path.isdir(file):
        raise located(str(file), "is a folder", remedy="Nothing was changed; name a file in it.")
    if os.path.exists(file) and not os.path.isfile(file):
        raise located(str(file), "is no plain file, so it is not written over", remedy="Name another.")
    if os.path.islink(file):
        target = os.path.realpath(file)
        raise located(str(file), f"is a link to {target}", remedy="Nothing was changed; name that file itself.")
    place = _real(file.parent) / file.name
    if not place.parent.is_dir():
        what = "no folder" if os.path.lexists(place.parent) else "not there"
        remedy = "Nothing was changed; make that folder, or name another."
        raise located(str(file), f"cannot be written, as {place.parent} is {what}", remedy=remedy)
    if not over and _is_another_s(place, mark):
        remedy = "Nothing was changed; name another, or remove it first."
        raise StandsThere(str(located(str(file), "holds something that tendwork did not write", remedy=remedy)))
    return place


def refuse_kept(orchard: Path, file: Path) -> None:
    """Raise PersonError where a file, seen through links and other spellings, is one that tendwork keeps or is."""
    for place in (_real(file), _real(file.parent) / file.name):
        words = orchard_words(place, orchard) or _settings_words(place) or _program_words(place)
        if words:
            named = str(file) if str(place) == str(file) else f"{file} ({place})"
            raise located(named, words, remedy="Nothing was changed; name another file.")


def orchard_words(place: Path, *orchards: Path) -> str:
    """What a place without links is in an orchard, as the rest of a sentence; empty where it is nothing of one.

    It is looked for in `orchards` and in every orchard folder that the place lies in.
    """
    around = (folder for folder in place.parents if _is_orchard(folder))
    return next(filter(None, (_kept_in(folder, place) for folder in (*orchards, *around))), "")


def _kept_in(orchard: Path, place: Path) -> str:
    within = _within(place, orchard)
    if within == ():
        return "is the orchard folder"
    first = _usual_spelling(within[0]) if within else ""
    if first.startswith(RECORDS_FILE):
        return _RECORDS_WORDS
    if first in _KEPT_FILES:
        return _KEPT_FILES[first]
    if first.startswith("."):
        return "has a hidden name in the orchard folder, where such names are tendwork's own"
    for name, what in _KEPT_FOLDERS.items():
        if first == name or _within(place, orchard / name) is not None:
            return f"belongs to {name}/, where tendwork keeps {what}"
    return _other_name_words(orchard, place)


def _other_name_words(orchard: Path, place: Path) -> str:
    """A hard link is another name of the same file."""
    try:
        standing = os.stat(place)
    except (OSError, ValueError):
        return ""
    if standing.st_nlink > 1 and stat.S_ISREG(standing.st_mode):
        for kept in _kept_files(orchard):
            if _is_same(kept, place):
                return f"is another name of {kept}, which tendwork keeps"
    return ""


def _kept_files(orchard: Path) -> Iterator[Path]:
    for entry in orchard.iterdir():
        name = _usual_spelling(entry.name)
        if name in _KEPT_FILES or name.startswith((RECORDS_FILE, ".")):
            yield entry
    for name in _KEPT_FOLDERS:
        yield from (orchard / name).rglob("*")


def _settings_words(place: Path) -> str:
    from tendwork.folder.own_settings import settings_file

    settings = _real(settings_file())
    for own in (settings, settings.with_name(f".{settings.stem}.lock")):
        if _is_same(own, place) or str(own).casefold() == str(place).casefold():
            return "is where tendwork keeps your keys and colours"
    return ""


def _program_words(place: Path) -> str:
    from tendwork.folder.data_files import SAMPLE_CONFIG, TASK_TEMPLATES, VARIETY_LISTS, data_folder

    data = map(data_folder, (TASK_TEMPLATES, SAMPLE_CONFIG, VARIETY_LISTS))
    for own in (Path(__file__).parents[1], *data):
        if _within(place, own) is not None:
            return "belongs to the program itself"
    return ""


def _is_orchard(folder: Path) -> bool:
    beside = (RECORDS_FILE, "backups", "temperatures")
    return os.path.isfile(folder / SITE_FILE) and any(os.path.exists(folder / name) for name in beside)


def _within(place: Path, folder: Path) -> tuple[str, ...] | None:
    """The names that lead from a folder to a place, however either is spelled; None where it lies elsewhere."""
    for around in (place, *place.parents):
        if around == folder or _is_same(around, folder):
            return place.parts[len(around.parts) :]
    return None


def _is_same(one: Path, other: Path) -> bool:
    try:
        return os.path.samefile(one, other)
    except (OSError, ValueError):
        return False


def _usual_spelling(name: str) -> str:
    """A name as it is compared: some file systems know no case, and Windows no dots, blanks or streams at the end."""
    return name.partition(":")[0].rstrip(". ").casefold() or name


def _real(file: Path) -> Path:
    """The absolute place without links. Raises PersonError for what is no name of a file."""
    try:
        return Path(os.path.realpath(file))
    except ValueError:
        raise located(str(file), "is no name for a file", remedy="Name another.") from None
    except OSError as error:
        raise located(str(file), f"cannot be found ({reason(error)})", remedy="Name another.") from None


def _is_another_s(place: Path, mark: bytes) -> bool:
    """Whether a file stands there, not an empty one, that has not the mark, or cannot be read."""
    try:
        handle = os.open(place, os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_BINARY", 0))
    except FileNotFoundError:
        return False
    except (OSError, ValueError):
        return os.path.lexists(place)
    with os.fdopen(handle, "rb") as stream:
        size = os.fstat(handle).st_size
        ends = stream.read(_READ_BYTES)
        stream.seek(max(0, size - _READ_BYTES))
        ends += b"\n" + stream.read(_READ_BYTES)
    return size > 0 and not (mark and mark in ends)
