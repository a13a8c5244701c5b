"""Small dealings with files that every part of the folder shares: reading text, writing whole or not at all."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from tendwork.errors import PersonError, located
from tendwork.folder.drafts import draft_name, draft_of, sweep

LARGEST_BYTES = 100_000_000
_REMEDIES = {
    FileNotFoundError: "Check the name.",
    IsADirectoryError: "Name a file, not a folder.",
    PermissionError: "Give yourself the right to read it.",
}


def read_text(path: Path, name: str = "") -> str:
    """The text of a plain UTF-8 file, byte order mark or not. Raises PersonError; `name` is how to call the file."""
    return _text_of(read_bytes(path, name), name or str(path))


def read_given_text(path: Path, name: str = "") -> str:
    """The text of a file that the person named just now, which may be a pipe. Raises PersonError."""
    return _text_of(_content_of(path, name or str(path)), name or str(path))


def read_bytes(path: Path, name: str = "") -> bytes:
    """The content of a plain file; a pipe is not opened, as that waits for a writer without end. Raises PersonError."""
    name = name or str(path)
    if is_unplain(path):
        raise located(
            name, "is no plain file, so it is not read", remedy="Put a plain file in its place, or remove it."
        )
    return _content_of(path, name)


def _content_of(path: Path, name: str) -> bytes:
    try:
        with path.open("rb") as stream:
            content = stream.read(LARGEST_BYTES + 1)
    except OSError as error:
        real_place(path, name)
        raise located(name, f"cannot be read ({reason(error)})", remedy=_REMEDIES.get(type(error), "")) from None
    if len(content) > LARGEST_BYTES:
        raise located(name, f"is larger than {LARGEST_BYTES // 1_000_000} MB", remedy="Name a smaller file.")
    return content


def _text_of(content: bytes, name: str) -> str:
    try:
        return content.decode().removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise located(name, "is not UTF-8 text", line=line, remedy="Save it again as UTF-8.") from None


def exists(path: Path) -> bool:
    """Whether anything stands there; a name that no file can have is the name of none."""
    return os.path.exists(path)


def stands(path: Path) -> bool:
    """Whether a file stands there, or a link, be it one that leads nowhere: whoever reads or writes it is told so."""
    return os.path.lexists(path)


def is_unplain(path: Path) -> bool:
    """Whether a pipe, a device or the like stands there: neither a plain file nor a folder."""
    try:
        kind = os.stat(path).st_mode
    except (OSError, ValueError):
        return False
    return not (stat.S_ISREG(kind) or stat.S_ISDIR(kind))


def real_place(path: Path, name: str = "") -> Path:
    """Where a file or folder of the program's own lies, seen through a link. Raises PersonError for one to nowhere."""
    if not os.path.islink(path):
        return path
    target = os.path.realpath(path)
    if not os.path.exists(target):
        remedy = "Put back what it leads to, or remove the link."
        raise located(name or str(path), f"is a link to {target}, which cannot be reached", remedy=remedy)
    return Path(target)


def write_own(path: Path, content: bytes) -> None:
    """Write a file of the program's own as `write_whole` does, through a link, which stays one. Raises PersonError."""
    place = real_place(path)
    sweep(place.parent, place.name)
    write_whole(place, content)


def write_whole(path: Path, content: bytes, last_look: Callable[[], object] = lambda: None, new: bool = False) -> None:
    """Write `content` with owner-only rights: the whole new file stands afterwards, or the old. Raises PersonError.

    `last_look` is called when all is ready, and where it raises, the old file stands. A `new` file is written only
    where nothing stands: of two who do so at once, one is refused.
    """
    if exists(path) and not os.path.isfile(path):
        raise located(str(path), "is no plain file, so it is not written over", remedy="Name another.")
    try:
        with draft_of(path, new) as draft:
            draft.write_bytes(content)
            last_look()
    except FileExistsError:
        remedy = "Nothing was changed; name another place."
        raise located(str(path), "stands there already", remedy=remedy) from None
    except OSError as error:
        raise located(str(path), f"cannot be written ({reason(error)}); what stood there stays") from None


def write_unwaited(path: Path, content: bytes) -> None:
    """Write what may be lost: the whole new file stands afterwards, or the old, but the disk is not waited for.

    Raises OSError.
    """
    if exists(path) and not os.path.isfile(path):
        raise FileExistsError(path)
    draft = draft_name(path)
    handle = os.open(draft, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0), 0o600)
    try:
        with open(handle, "wb") as stream:
            stream.write(content)
        os.replace(draft, path)
    except OSError:
        with suppress(OSError):
            os.unlink(draft)
        raise


def make_folder(path: Path, keep_rights: bool = False) -> None:
    """Make a folder, with its parents, that only its owner may enter. Raises PersonError.

    One that stands already is closed to others, whoever made it, unless `keep_rights`: those of a person's own folder.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.mkdir(mode=0o700, exist_ok=True)
    except OSError as error:
        for place in (path, *path.parents):
            real_place(place)
        if exists(path) and not os.path.isdir(path):
            remedy = "or name another place" if keep_rights else "and do it again"
            what = "the folder cannot be made, as what stands there is no folder"
            raise PersonError(f"{path}: {what}. Move it away {remedy}.") from None
        raise PersonError(f"{path}: the folder cannot be made ({reason(error)}). Choose another place.") from None
    if not keep_rights:
        _close_to_others(path)


def _close_to_others(folder: Path) -> None:
    """Take from others the right to enter a folder of ours; one that is a link is left, as it lies elsewhere."""
    if not hasattr(os, "getuid"):  # Windows
        return
    with suppress(OSError):
        status = folder.lstat()
        if stat.S_ISDIR(status.st_mode) and status.st_uid == os.getuid() and status.st_mode & 0o077:
            folder.chmod(stat.S_IMODE(status.st_mode) & 0o700)


def reason(error: OSError) -> str:
    """The operating system's own words for what went wrong."""
    return (error.strerror or str(error)).lower()
