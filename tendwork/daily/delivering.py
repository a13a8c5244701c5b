"""A text on its way to the person: to a command of theirs, or into a file."""

from __future__ import annotations

import os
import signal
import subprocess
import tempfile
from contextlib import suppress
from pathlib import Path

from tendwork.errors import PersonError, located
from tendwork.folder.files import reason
from tendwork.folder.outward import StandsThere, write_outward
from tendwork.folder.site import SITE_FILE

COMMAND_SECONDS = 60.0
_SHOWN_OUTPUT = 200
_MARK = "\nWritten by tendwork.\n"  # the last line of a sheet, by which the next one knows that it may take its place

__all__ = ["COMMAND_SECONDS", "StandsThere", "hand_over", "placed", "write_file", "write_view"]


def hand_over(command: tuple[str, ...], text: str, folder: Path, limit_s: float = COMMAND_SECONDS) -> str:
    """Run a command in `folder`, without a shell, with the text on its standard input as UTF-8.

    Says so; raises PersonError where it cannot be run, fails or is not done in time, when all that it started is ended.
    Files stand in for pipes, so that neither a command that never reads nor a child that lives on can hold us up.
    """
    name = Path(command[0]).name
    with tempfile.TemporaryFile() as given, tempfile.TemporaryFile() as said:
        given.write(text.encode())
        given.seek(0)
        try:
            process = subprocess.Popen(
                command, stdin=given, stdout=said, stderr=subprocess.STDOUT, cwd=folder, start_new_session=True
            )
        except (OSError, ValueError) as error:
            why = reason(error) if isinstance(error, OSError) else str(error)
            raise PersonError(f'site.toml, key "remind.command": {command[0]} cannot be run ({why}).') from None
        try:
            status = process.wait(limit_s)
        except subprocess.TimeoutExpired:
            _end(process)
            raise PersonError(f"{name} was not done within {limit_s:g} seconds and was ended.") from None
        said.seek(0)
        output = said.read(_SHOWN_OUTPUT).decode(errors="replace")
    if status != 0:
        said_words = f": {' '.join(output.split())}" if output.strip() else ""
        raise PersonError(f"{name} failed ({_status_words(status)}){said_words}.")
    return f"handed to {name}."


def write_file(orchard: Path, file: Path, text: str) -> str:
    """Write the text into a file in place of one written before, whole or not at all, and say so. Raises PersonError.

    Its last line says who wrote it.
    """
    write_outward(orchard, file, f"{text.rstrip()}\n{_MARK}".encode("utf-8", "replace"), _MARK.encode())
    return f"written to {file}."


def write_view(orchard: Path, file: Path, text: str, over: bool) -> None:
    """Write a view into a file that a person names. Raises StandsThere unless it may go `over` one, and PersonError."""
    write_outward(orchard, file, f"{text.rstrip()}\n".encode("utf-8", "replace"), over=over)


def placed(folder: Path, name: str, key: str) -> Path:
    """Where a file lies that site.toml names under `key`: in the orchard folder, unless it begins with / or ~.

    Raises PersonError where it names the home of somebody who is not known here.
    """
    try:
        return folder / Path(name).expanduser()
    except RuntimeError:
        what = f'"{name}" is in the home of somebody who is not known on this computer'
        raise located(SITE_FILE, what, key=key, remedy="Write the whole path.") from None


def _end(process: subprocess.Popen[bytes]) -> None:
    with suppress(ProcessLookupError, PermissionError):  # it may have ended in this moment
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    process.wait()


def _status_words(status: int) -> str:
    return f"ended by signal {-status}" if status < 0 else f"exit {status}"
