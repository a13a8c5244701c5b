"""The test's side of the forking driver: commands run, killed or failed, and what came of them."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from forking import Driver

_DRIVER = Path(__file__).with_name("worst_driver.py")
KILLED = -9


@dataclass
class Ran:
    """How a command ended; `steps` are those towards the disk, where they were counted and it came to its end, which
    was `at_s` by the clock that all processes share."""

    status: int
    out: str
    err: str
    steps: int = 0
    at_s: float = 0.0

    @property
    def was_killed(self) -> bool:
        return self.status == KILLED

    def parts(self) -> list[Ran]:
        """The single commands of a run of several; one that was not ended has the status of the process."""
        errors = self.err.split("@@ ")[1:]
        found = []
        for block in self.out.split("@@ "):
            if block[:1].isdigit():
                found.append(Ran(self.status, block.partition("\n")[2], ""))
            elif block.startswith("ended"):
                found[-1].status = int(block.split()[1])
        for part, said in zip(found, errors, strict=False):
            part.err = said.partition("\n")[2]
        return found


class Forker(Driver):
    """A driver process. `scratch` takes what its children print; jobs run in it with the tests' own environment."""

    def __init__(self, scratch: Path) -> None:
        scratch.mkdir(parents=True, exist_ok=True)
        self._scratch = scratch
        home = scratch / "home"
        environment = {name: value for name, value in os.environ.items() if not name.lower().endswith("_proxy")}
        environment |= {
            "HOME": str(home),
            "XDG_DATA_HOME": str(home / "data"),
            "TENDWORK_SETTINGS": str(home / "s.toml"),
        }
        environment.pop("TENDWORK_ORCHARD", None)
        self.environment = environment
        super().__init__(_DRIVER, environment)

    def run(self, *words: str, **how: Any) -> Ran:
        return self.together(job(words, **how))[0]

    def run_in_turn(self, *commands: Sequence[str], **how: Any) -> Ran:
        """Several commands in one process, one after another."""
        return self.together({"commands": [[*words] for words in commands], **how})[0]

    def together(self, *jobs: dict[str, Any]) -> list[Ran]:
        """Jobs side by side."""
        places = [(self._scratch / f"out{at}", self._scratch / f"err{at}") for at in range(len(jobs))]
        for out, err in places:
            for file in (out, err, out.with_name(f"{out.name}.steps")):
                file.unlink(missing_ok=True)
        asked = [{**one, "out": str(out), "err": str(err)} for one, (out, err) in zip(jobs, places, strict=True)]
        statuses = self.ask({"jobs": asked})
        ran = []
        for status, (out, err) in zip(statuses, places, strict=True):
            steps, at_s = (_text(out.with_name(f"{out.name}.steps")) or "0 0").split()
            ran.append(Ran(status, _text(out), _text(err), int(steps), float(at_s)))
        return ran


def job(words: Sequence[str], **how: Any) -> dict[str, Any]:
    return {"commands": [[*words]], **how}


def _text(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8")
    except FileNotFoundError:
        return ""
