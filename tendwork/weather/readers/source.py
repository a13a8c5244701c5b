"""A file as text, whatever it is packed in and however it is encoded."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from msgspec import Struct

from tendwork.errors import PersonError, located
from tendwork.weather.readers.text_lines import MOST_LINES, Lines, Progress

if TYPE_CHECKING:
    from zipfile import ZipInfo

_LARGEST_BYTES = 200_000_000
_LARGEST_DOCUMENT_BYTES = 8_000_000  # JSON grows thirtyfold in memory; a century of days is a tenth of this
_DAILY_CLIMATE_MEMBER = "produkt_klima_tag"
_PIECE = 1 << 20


class Source(Struct, frozen=True):
    """The content of one file, in UTF-8 or Latin-1. `name` is the file, with the member of an archive behind it."""

    name: str
    content: bytes
    encoding: str

    @property
    def is_document(self) -> bool:
        """Whether it is JSON, by its first character."""
        return self.content[:_PIECE].lstrip()[:1] in (b"{", b"[")

    def document_text(self) -> str:
        """The whole text. Raises PersonError where it is too much for JSON."""
        if len(self.content) > _LARGEST_DOCUMENT_BYTES:
            raise _too_large(self.name, _LARGEST_DOCUMENT_BYTES, "Save the days of some years at a time")
        return self.content.decode(self.encoding)

    def lines(self, progress: Progress | None = None) -> Lines:
        """Its physical lines. Raises PersonError where there are too many."""
        lines = Lines(self.content, self.encoding, progress)
        if lines.count() > MOST_LINES:
            raise located(
                self.name, f"the file has more than {MOST_LINES:,} lines", line=1, remedy="Keep the lines of some years"
            )
        return lines

    @property
    def last_line_ends(self) -> bool:
        return self.content[-1:] in (b"\n", b"\r", b"\x1a")


def load(path: Path) -> Source:
    """The text of a plain, zipped or gzipped file. Raises PersonError."""
    name = path.name
    try:
        content = _read(path)
    except OSError as error:
        raise located(name, f"the file cannot be read: {(error.strerror or str(error)).lower()}") from error
    if len(content) > _LARGEST_BYTES:
        raise _too_large(name)
    if content[:4] == b"PK\x03\x04":
        name, content = _unzipped(name, content)
    elif content[:2] == b"\x1f\x8b":
        content = _gunzipped(name, content)
    return _decoded(name, content)


def _read(path: Path) -> bytes:
    """The content, or a byte more than is allowed. Asks for no more memory than the file fills."""
    with path.open("rb") as stream:
        size = path.stat().st_size
        content = stream.read(min(size, _LARGEST_BYTES) + 1)
        if len(content) <= size:
            return content
        rest = [content]  # a pipe, which has no size, or a file that grows
        total = len(content)
        while total <= _LARGEST_BYTES and (piece := stream.read(_PIECE)):
            rest.append(piece)
            total += len(piece)
        return b"".join(rest)


def _decoded(name: str, content: bytes) -> Source:
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            content = content.decode("utf-16").encode()
        except UnicodeError as error:
            raise located(name, "the text is cut off in the middle of a character", line=1) from error
    if (at := content.find(b"\0")) >= 0:
        line = content.count(b"\n", 0, at) + 1
        raise located(name, "this is not text", line=line, remedy="Give a CSV, JSON, .dly, .zip or .gz file")
    content = content.removeprefix(b"\xef\xbb\xbf")
    return Source(name, content, "utf-8" if _is_utf_8(content) else "latin-1")


def _is_utf_8(content: bytes) -> bool:
    import codecs

    decoder = codecs.getincrementaldecoder("utf-8")()
    try:
        for at in range(0, len(content), _PIECE):
            decoder.decode(content[at : at + _PIECE])
        decoder.decode(b"", final=True)
    except UnicodeDecodeError:
        return False
    return True


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


def _too_large(name: str, largest: int = _LARGEST_BYTES, remedy: str = "Keep the lines of one station") -> PersonError:
    return located(name, f"the file is larger than {largest // 1_000_000} MB", line=1, remedy=remedy)
