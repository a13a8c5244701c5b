"""The test's side of a process that forks a child for each command, and how each command ended."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

_DRIVER = Path(__file__).with_name("forked_driver.py")
_READ_AT_START = ("PYTHON", "LC_", "LANG")


class Driver:
    """A process that answers requests, `driver` being its file."""

    def __init__(self, driver: Path, environment: Mapping[str, str], *words: str) -> None:
        path = os.pathsep.join(filter(None, (str(_DRIVER.parent), environment.get("PYTHONPATH"))))
        self._process = subprocess.Popen(
            [sys.executable, str(driver), *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**environment, "PYTHONPATH": path},
        )
        assert self._answer() == "ready"

    def close(self) -> None:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.close()
        self._process.wait()
        self._process.stdout.close()

    def warm(self, *commands: Sequence[str]) -> None:
        """Run commands in the driver itself, so that the children find what is pure made already."""
        self.ask({"warm": [[*words] for words in commands]})

    def ask(self, request: object) -> Any:
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps(request) + "\n")
        self._process.stdin.flush()
        return self._answer()

    def _answer(self) -> Any:
        assert self._process.stdout is not None
        return json.loads(self._process.stdout.readline())


class Commands:
    """Runs `python -m tendwork` in forked children, and in a process of its own what cannot be forked.

    `scratch` takes what the children print, and the almanacs that they made.
    """

    def __init__(self, scratch: Path) -> None:
        self._scratch = scratch
        self._start = read_at_start(os.environ)
        self._driver = Driver(_DRIVER, os.environ, str(scratch)) if hasattr(os, "fork") else None

    def close(self) -> None:
        if self._driver is not None:
            self._driver.close()

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """How a command ended that was run here and now, with the environment as it is."""
        if self._driver is None or read_at_start(os.environ) != self._start:
            return run_alone(*words)
        out, err = self._scratch / "out", self._scratch / "err"
        job = {
            "words": words,
            "cwd": os.getcwd(),
            "environment": dict(os.environ),
            "out": str(out),
            "err": str(err),
            "kill_after_s": 60,
        }
        (status,) = self._driver.ask({"jobs": [job]})
        said = (file.read_text(encoding=sys.getfilesystemencoding()) for file in (out, err))
        return subprocess.CompletedProcess(words, status, *said)


def run_alone(*words: str) -> subprocess.CompletedProcess[str]:
    """Run a command in a process that begins and ends with it."""
    return subprocess.run(
        [sys.executable, "-m", "tendwork", *words],
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        env=os.environ.copy(),
        timeout=60,
    )


def read_at_start(environment: Mapping[str, str]) -> dict[str, str]:
    """What an interpreter reads as it begins, and never again."""
    return {name: value for name, value in environment.items() if name.startswith(_READ_AT_START)}
