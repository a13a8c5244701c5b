"""A file as text, whatever it is packed in and however it is encoded."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.errors import PersonError, located

if TYPE_CHECKING:
    from zipfile import ZipInfo

_LARGEST_BYTES = 200_000_000
_DAILY_CLIMATE_MEMBER = "produkt_klima_tag"


class Source(Struct, frozen=True):
    """The text of one file. `name` is the file, with the member of an archive behind it."""

    name: str
    text: str

    def lines(self) -> list[str]:
        """Physical lines, so that the numbers agree with an editor's."""
        text = self.text
        if "\r" in text:
            text = text.replace("\r\n", "\n").replace("\r", "\n")
        lines = text.split("\n")
        if not lines[-1].strip(" \t\x1a"):
            lines.pop()
        return lines

    @property
    def last_line_ends(self) -> bool:
        return self.text[-1:] in ("\n", "\r", "\x1a")


def load(path: Path) -> Source:
    """The text of a plain, zipped or gzipped file. Raises PersonError."""
    name = path.name
    try:
        with path.open("rb") as stream:
            content = stream.read(_LARGEST_BYTES + 1)
    except OSError as error:
        raise located(name, f"the file cannot be read: {(error.strerror or str(error)).lower()}") from error
    if len(content) > _LARGEST_BYTES:
        raise _too_large(name)
    if content[:4] == b"PK\x03\x04":
        name, content = _unzipped(name, content)
    elif content[:2] == b"\x1f\x8b":
        content = _gunzipped(name, content)
    return Source(name, _decoded(name, content))


def _decoded(name: str, content: bytes) -> str:
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            return content.decode("utf-16")
        except UnicodeDecodeError as error:
            raise located(name, "the text is cut off in the middle of a character", line=1) from error
    if (at := content.find(b"\0")) >= 0:
        line = content.count(b"\n", 0, at) + 1
        raise located(name, "this is not text", line=line, remedy="Give a CSV, JSON, .dly, .zip or .gz file")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("latin-1")


def _unzipped(name: str, content: bytes) -> tuple[str, bytes]:
    import io
    import zipfile
    import zlib

    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            member = _member(name, [info for info in archive.infolist() if not info.is_dir()])
            if member.file_size > _LARGEST_BYTES:
                raise _too_large(name)
            return f"{name}/{member.filename}", archive.read(member)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, NotImplementedError, ValueError) as error:
        raise located(
            name, "the zip file is damaged, cut short or locked", line=1, remedy="Download it again"
        ) from error


def _member(name: str, members: list[ZipInfo]) -> ZipInfo:
    climate = [member for member in members if Path(member.filename).name.startswith(_DAILY_CLIMATE_MEMBER)]
    candidates = climate or members
    if len(candidates) != 1:
        found = ", ".join(member.filename for member in candidates[:5]) or "nothing"
        raise located(
            name,
            f"the zip file holds no single file of temperatures but {found}",
            line=1,
            remedy="Unpack it and add one",
        )
    return candidates[0]


def _gunzipped(name: str, content: bytes) -> bytes:
    import gzip
    import io
    import zlib

    try:
        with gzip.open(io.BytesIO(content)) as packed:
            unpacked = packed.read(_LARGEST_BYTES + 1)
    except (zlib.error, EOFError, OSError) as error:
        raise located(name, "the gz file is damaged or cut short", line=1, remedy="Download it again") from error
    if len(unpacked) > _LARGEST_BYTES:
        raise _too_large(name)
    return unpacked


def _too_large(name: str) -> PersonError:
    return located(
        name,
        f"the file is larger than {_LARGEST_BYTES // 1_000_000} MB",
        line=1,
        remedy="Keep the lines of one station",
    )
