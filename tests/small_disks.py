"""A file system of its own with little room, where one may be mounted; elsewhere the test is skipped."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest


@contextmanager
def small_disk_in(folder: Path, kilobytes: int) -> Iterator[Path]:
    """A small disk in memory, in a folder, until the context ends."""
    place = folder / "small"
    place.mkdir()
    options = ["-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", str(place)]
    try:
        made = subprocess.run(["mount", *options], capture_output=True, check=False)
    except OSError:
        pytest.skip("mount is not to be had here")
    if made.returncode:
        pytest.skip("no file system can be mounted here")
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", str(place)], check=True)
