"""The lines of a file, decoded one at a time: only the file itself stands in memory, however often it is read."""

from __future__ import annotations

from collections.abc import Callable, Iterator

LONGEST_LINE = 20_000  # characters; no table of temperatures has such a line, and none is taken apart
MOST_LINES = 3_000_000  # ten years of readings every two minutes
_BETWEEN_REPORTS = 1 << 16  # lines

Progress = Callable[[int], None]
"""Is told how many lines have been read so far, all passes counted."""


class Lines:
    """Physical lines, so that the numbers agree with an editor's; what ends with blanks alone is no line.

    Of a line longer than LONGEST_LINE only the first LONGEST_LINE + 1 characters come out.
    """

    def __init__(self, content: bytes, encoding: str = "utf-8", progress: Progress | None = None) -> None:
        if b"\r" in content:
            content = content.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        self._content = content
        self._encoding = encoding
        self._progress = progress
        self._read = 0
        last = content.rfind(b"\n") + 1
        tail = len(content) - last
        self._end = last if tail <= LONGEST_LINE and not content[last:].strip(b" \t\x1a") else len(content)

    def __iter__(self) -> Iterator[str]:
        content, encoding, end = self._content, self._encoding, self._end
        at = count = 0
        while at < end:
            stop = content.find(b"\n", at, end)
            if stop < 0:
                stop = end
            if stop - at <= LONGEST_LINE:
                yield content[at:stop].decode(encoding)
            else:
                yield content[at : at + 4 * LONGEST_LINE + 4].decode(encoding, "replace")[: LONGEST_LINE + 1]
            at = stop + 1
            count += 1
            if self._progress is not None and not count % _BETWEEN_REPORTS:
                self._read += _BETWEEN_REPORTS
                self._progress(self._read)

    def head(self, count: int) -> list[str]:
        """The first lines."""
        from itertools import islice

        return list(islice(self, count))

    def after(self, line: int) -> Iterator[tuple[int, str]]:
        """(number, line) of all lines below line number `line`."""
        for number, text in enumerate(self, start=1):
            if number > line:
                yield number, text

    def count(self) -> int:
        """How many lines there are."""
        ends = self._content.count(b"\n", 0, self._end)
        return ends + (self._end > 0 and self._content[self._end - 1 : self._end] != b"\n")
