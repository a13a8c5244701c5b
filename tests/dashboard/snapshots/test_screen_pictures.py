"""Pictures of the screens, so that a change of their looks is seen and meant.

They change with Textual and are drawn on Python 3.11: `pytest -m snapshot` compares, with `--snapshot-update` they are
drawn again, on purpose.
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tendwork.dashboard.app import Dashboard
from tendwork.workbench.bench import Workbench
from tendwork.workbench.demo import demo_orchard

pytestmark = [
    pytest.mark.snapshot,
    pytest.mark.skipif(sys.version_info[:2] != (3, 11), reason="the pictures are drawn on Python 3.11"),
]

DAY = date(2026, 6, 10)
MODE_SECONDS = 0.2  # a mode paints a moment later by design of the library

PICTURES = [
    pytest.param((80, 24), (), id="morning narrow"),
    pytest.param((120, 40), (), id="morning wide"),
    pytest.param((80, 24), ("w",), id="why"),
    pytest.param((80, 24), ("s",), id="saw"),
    pytest.param((80, 24), ("p",), id="put off"),
    pytest.param((80, 24), ("question_mark",), id="help"),
    pytest.param((80, 24), ("2",), id="season narrow"),
    pytest.param((120, 40), ("2",), id="season wide"),
    pytest.param((120, 40), ("3", "down"), id="trees"),
    pytest.param((120, 40), ("6",), id="templates"),
    pytest.param((120, 40), ("7",), id="temperatures"),
    pytest.param((80, 24), ("8",), id="graft narrow"),
    pytest.param((120, 40), ("8", "enter"), id="graft wide"),
    pytest.param((120, 40), ("t",), id="morning in light colours"),
]


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return demo_orchard(DAY, tmp_path_factory.mktemp("pictures") / "orchard")


@pytest.mark.parametrize(("size", "keys"), PICTURES)
def test_the_screen_looks_as_it_was_drawn(
    snap_compare, monkeypatch: pytest.MonkeyPatch, sample: Path, size: tuple[int, int], keys: tuple[str, ...]
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    app = Dashboard(Workbench.open(sample), DAY)
    app.animation_level = "none"

    async def look(pilot: Pilot) -> None:
        for key in ("", *keys):
            await pilot.press(*[key] if key else [])
            await pilot.pause(MODE_SECONDS)
            await pilot.app.workers.wait_for_complete()
            await pilot.pause()

    assert snap_compare(app, terminal_size=size, run_before=look)
