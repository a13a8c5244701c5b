"""The process that runs commands, and the orchards that they run on, made once."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

if sys.platform == "win32":
    collect_ignore_glob = ["test_*.py"]  # neither fork nor SIGKILL is there
else:
    from invented_service import answering
    from small_disks import small_disk_in
    from worst_acts import World
    from worst_forking import Forker
    from worst_orchard import DAY, begin_orchard, copy_orchard

    @pytest.fixture(scope="session")
    def forker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Forker]:
        """The driver, for all tests of a run."""
        running = Forker(tmp_path_factory.mktemp("said"))
        yield running
        running.close()

    @pytest.fixture(scope="session")
    def records_base(forker: Forker, tmp_path_factory: pytest.TempPathFactory) -> Path:
        """An orchard with a few jobs and two copies of its records; never written to again."""
        place = tmp_path_factory.mktemp("bases")
        begin_orchard(place / "base")
        world = World(place, forker, "warm")
        copy_orchard(place / "base", world.orchard)
        forker.warm([*world.where, "week"], [*world.where, "check"])
        return place / "base"

    @pytest.fixture(scope="session")
    def fetch_base(forker: Forker, records_base: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
        """The same with a weather service on loopback, fetched from three days ago."""
        place = tmp_path_factory.mktemp("fetching")
        with answering() as service:
            copy_orchard(records_base, place / "base")
            with (place / "base" / "site.toml").open("a") as site:
                site.write(f'\n[[temperatures]]\nservice = "open-meteo"\nurl = "{service.url}"\n')
            where = ["--orchard", str(place / "base"), "--on", (DAY - timedelta(days=3)).isoformat()]
            ran = forker.run(*where, "temps", "fetch")
            assert ran.status == 0, ran
            yield place / "base"

    @pytest.fixture
    def quick_place(tmp_path: Path) -> Iterator[Path]:
        """A folder in memory where there is one: a killed process needs no real disk to be killed on."""
        memory = Path("/dev/shm")
        if not os.access(memory, os.W_OK):
            yield tmp_path
            return
        with tempfile.TemporaryDirectory(dir=memory) as place:
            yield Path(place)

    @pytest.fixture
    def small_disk(tmp_path: Path) -> Iterator[Path]:
        with small_disk_in(tmp_path, 12 * 1024) as place:
            yield place
