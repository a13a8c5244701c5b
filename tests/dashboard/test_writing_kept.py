"""The dialog that writes a view to a file: by no name does it write over what tendwork keeps, asked once or twice."""

from __future__ import annotations

import random
from datetime import date
from itertools import count
from pathlib import Path

import pytest
from kept_files import content_of, fill, ways_to
from settling import settled

from tendwork.dashboard.app import Dashboard
from tendwork.folder.own_settings import settings_file
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio


async def overwritten(folder: Path, links: Path, share: int | None) -> tuple[int, list[str]]:
    """How many names were tried, each twice, and those by which anything was changed."""
    links.mkdir()
    numbers = count()
    tries = [way for kept in fill(folder, settings_file()) for way in ways_to(kept, folder, links / str(next(numbers)))]
    if share is not None:
        tries = random.Random(5).sample(tries, share)
    app = Dashboard(Workbench.open(folder), date(2026, 3, 12))
    wrong = []
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        before = content_of(folder, links, settings_file().parent)
        await pilot.press("f")
        await settled(pilot)
        for kind, name in tries:
            app.screen.query_one("#file").value = name
            await pilot.press("enter", "enter")
            await pilot.pause()
            said = str(app.screen.query_one("#fault").content)
            if content_of(folder, links, settings_file().parent) != before or "Nothing was changed" not in said:
                wrong.append(f"{kind}: {name}: {said}")
    return len(tries), wrong


async def test_a_share_of_all_names_of_kept_files_writes_over_nothing(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    _, wrong = await overwritten(folder, tmp_path / "links", 12)
    assert wrong == []


@pytest.mark.slow
async def test_no_name_of_a_kept_file_writes_over_it(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    tried, wrong = await overwritten(folder, tmp_path / "links", None)
    print(f"\n{tried} names in the dialog, each entered twice: {len(wrong)} overwrote something")
    assert wrong == []
