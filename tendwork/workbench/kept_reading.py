"""What was read out of files, kept as it was understood, so that a new day does not read and check all of it again.

Each is a file in the folder's cache with a stamp of what it was read from and a sum over all of it. What is damaged, of
another program or of other files is as good as not there, and nothing here is ever told: it can all be read again.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar
from zlib import crc32

import msgspec

from tendwork.workbench.plan_cache import program

if TYPE_CHECKING:
    from tendwork.folder.orchard_folder import OrchardFolder

_Read = TypeVar("_Read")
_SUM_BYTES, _LENGTH_BYTES = 4, 4


def kept_or_read(
    folder: OrchardFolder,
    name: str,
    files: str,
    kind: type[_Read],
    read: Callable[[], _Read],
    serves: Callable[[_Read], bool] = lambda _: True,
) -> _Read:
    """What `kept_reading` gives, if it `serves`; else what is read, which is kept where that serves."""
    held = kept_reading(folder, name, files, kind)
    if held is not None and serves(held):
        return held
    found = read()
    if serves(found):
        keep_reading(folder, name, files, found)
    return found


def kept_reading(folder: OrchardFolder, name: str, files: str, kind: type[_Read]) -> _Read | None:
    """What stands in the cache under `name`, if this program has it from `files`; else None."""
    payload = _unsealed(folder.read_cache(name), _stamp(files))
    try:
        return None if payload is None else msgspec.msgpack.decode(payload, type=kind)
    except (msgspec.MsgspecError, ValueError):  # the second where text in it is no UTF-8
        return None


def keep_reading(folder: OrchardFolder, name: str, files: str, read: object) -> None:
    """Keep what came from `files`, if the folder takes it."""
    folder.write_cache(name, _sealed(msgspec.msgpack.encode(read), _stamp(files)))


def _stamp(files: str) -> bytes:
    return f"{program()}|{files}".encode("utf-8", "surrogateescape")


def _sealed(payload: bytes, stamp: bytes) -> bytes:
    body = b"".join((len(stamp).to_bytes(_LENGTH_BYTES, "big"), stamp, payload))
    return crc32(body).to_bytes(_SUM_BYTES, "big") + body


def _unsealed(content: bytes | None, stamp: bytes) -> memoryview | None:
    """The payload; None where there is none, the stamp is another, or anything is damaged."""
    if content is None:
        return None
    view = memoryview(content)
    body = view[_SUM_BYTES:]
    start = _LENGTH_BYTES + len(stamp)
    if body[:start] != len(stamp).to_bytes(_LENGTH_BYTES, "big") + stamp:
        return None
    return body[start:] if crc32(body) == int.from_bytes(view[:_SUM_BYTES], "big") else None
