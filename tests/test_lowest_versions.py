"""The lowest libraries that a workflow installs are those that pyproject.toml allows."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[1]


def test_each_library_is_named_with_the_lowest_version_that_is_allowed() -> None:
    needed = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["dependencies"]
    done = subprocess.run([sys.executable, ROOT / ".ci" / "lowest"], capture_output=True, text=True, check=True)
    lowest = dict(line.split("==") for line in done.stdout.splitlines())
    for allowed in map(Requirement, needed):
        bounds = {bound.operator: bound.version for bound in allowed.specifier}
        assert lowest.pop(allowed.name) == bounds[">="]
    assert lowest == {}
