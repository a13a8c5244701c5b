"""The streams that the commands print to: what cannot be shown has a stand-in, nothing acts, no failure is a traceback.

A stream that cannot be written, because it is closed, full, or its reader went away, never stops a command: what the
command does it does, and `exit_code` tells at the end what became of it. A reader that goes away, as `| head` does, is
nothing to tell of, since it has what it wanted; but its command ends with 1, as for any output that did not arrive.
"""

from __future__ import annotations

import codecs
import errno
import os
import re
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any, TextIO

import click

from tendwork.errors import readable_line
from tendwork.plain_text import plain

_STAND_INS = "tendwork.stand-ins"
_CELL = re.compile(r"[^\t\n]+")
_LINE = re.compile(r"[^\n]+")
_GONE = frozenset({errno.EPIPE, errno.EINVAL} if os.name == "nt" else {errno.EPIPE})


class Printed:
    """A standard stream to print to: it has every character that it is given, and it never raises.

    `stream` is None where there is none, as after `>&-`. Without a `buffer` of its own, click prints to it as it is.
    `failure` is what hindered the first write that failed.
    """

    def __init__(self, stream: TextIO | None, is_for_errors: bool) -> None:
        self._stream = stream
        self._is_for_errors = is_for_errors
        self.failure: OSError | ValueError | None = None
        self.done: list[tuple[str, str]] = []

    def __getattr__(self, name: str) -> Any:
        if name == "buffer" or self._stream is None:
            raise AttributeError(name)
        return getattr(self._stream, name)

    @property
    def encoding(self) -> str:
        return getattr(self._stream, "encoding", None) or "utf-8"

    def isatty(self) -> bool:
        return self._stream is not None and self._stream.isatty()

    def write(self, text: str) -> int:
        shown = _LINE.sub(_readable, text) if self._is_for_errors else _CELL.sub(_plain, text)
        shown = shown.encode(self.encoding, _STAND_INS).decode(self.encoding)
        if self.failure is None:
            try:
                if self._stream is None:
                    raise OSError(errno.EBADF, "it is closed")
                self._stream.write(shown)
            except (OSError, ValueError) as error:
                self._fail(error)
        return len(text)

    def flush(self) -> None:
        if self._stream is not None and self.failure is None:
            try:
                self._stream.flush()
            except (OSError, ValueError) as error:
                self._fail(error)

    def _fail(self, error: OSError | ValueError) -> None:
        """Note the failure, and lead what is still to be flushed nowhere, so that Python does not stumble over it."""
        self.failure = error
        try:
            with open(os.devnull, "wb") as nowhere:
                os.dup2(nowhere.fileno(), self.fileno())
        except (OSError, ValueError, AttributeError):
            return


def stand_between() -> Printed:
    """Put a `Printed` in the place of stdout, which is returned, and of stderr; a stdin that is closed is empty."""
    if sys.stdin is None:
        sys.stdin = open(os.devnull)  # noqa: SIM115
    out = Printed(sys.stdout, is_for_errors=False)
    sys.stdout, sys.stderr = out, Printed(sys.stderr, is_for_errors=True)
    return out


@contextmanager
def as_they_were() -> Iterator[None]:
    """The streams as Python made them, for who paints the screen."""
    between = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = sys.__stdout__, sys.__stderr__
    try:
        yield
    finally:
        sys.stdout, sys.stderr = between


def note_done(how: str, lines: Sequence[str]) -> None:
    """Note what was done, so that it counts and is told of even where it cannot be printed. `how` is "Recorded"."""
    if isinstance(sys.stdout, Printed):
        sys.stdout.done.append((how, " ".join(lines)))


def exit_code(out: Printed, code: int) -> int:
    """The exit code of a command that ended with `code`, once all is printed; what was not printed is told of.

    What was done stays done and ends with the code of its own; what only reads has failed.
    """
    out.flush()
    if out.failure is None:
        return code
    why = getattr(out.failure, "strerror", None) or str(out.failure)
    for how, words in out.done:
        click.echo(f"tendwork: {how}, but it could not be printed ({why}): {words}", err=True)
    if not out.done and getattr(out.failure, "errno", None) not in _GONE:
        click.echo(f"tendwork: The output could not be written ({why}).", err=True)
    return code if out.done else code or 1


def usage_words(error: click.ClickException) -> str:
    """What click prints of an error, with its message in one line that neither acts nor is endless."""
    from io import StringIO

    stream = StringIO()
    error.show(stream)
    usage, name, _ = stream.getvalue().partition("Error: ")  # before it nothing is quoted; without it, it is a help
    return f"{usage}{name}{readable_line(error.format_message())}\n" if name else usage


def _plain(found: re.Match[str]) -> str:
    return plain(found[0])


def _readable(found: re.Match[str]) -> str:
    return readable_line(found[0])


def _stood_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    from tendwork.view.stand_ins import stand_in

    return "".join(map(stand_in, error.object[error.start : error.end])), error.end


codecs.register_error(_STAND_INS, _stood_in)
