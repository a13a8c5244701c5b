"""A text handed to a command of the person's."""

from __future__ import annotations

import os
import signal
import subprocess
import tempfile
from contextlib import suppress
from pathlib import Path

from tendwork.errors import PersonError
from tendwork.folder.files import reason

COMMAND_SECONDS = 60.0
_SHOWN_OUTPUT = 200


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


def _end(process: subprocess.Popen[bytes]) -> None:
    with suppress(ProcessLookupError, PermissionError):  # it may have ended in this moment
        if hasattr(os, "killpg"):
            os.killpg(process.pid, signal.SIGKILL)
        else:
            process.kill()
    process.wait()


def _status_words(status: int) -> str:
    return f"ended by signal {-status}" if status < 0 else f"exit {status}"
