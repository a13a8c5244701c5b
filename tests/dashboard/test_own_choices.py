"""A person's own keys and colours in the dashboard, driven by real key presses."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.own_choices import CLEAR, NIGHT, PAPER
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.screens.trees import TreesScreen
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
OWN = '[keys]\nmorning.why = "f6"\ntrees.add = "f7"\neverywhere.trees = ["f3", "3"]\npage.copy = "f8"\n'


@pytest.fixture
def file() -> Path:
    path = Path(os.environ["TENDWORK_SETTINGS"])
    path.parent.mkdir(exist_ok=True)
    return path


async def test_a_key_put_elsewhere_does_it_there_and_is_shown_there(file, bench, at_rest, press, seen_on) -> None:
    file.write_text(OWN, encoding="utf-8")
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(100, 30)) as pilot:
        await at_rest(pilot)
        assert "f6 why" in seen_on(app)
        await press(pilot, "w")
        assert not isinstance(app.screen, ReadingScreen)
        await press(pilot, "f6")
        assert "f8 copy" in seen_on(app)
        await press(pilot, "f8", "f6")
        assert app.clipboard
        await press(pilot, "question_mark")
        assert "f6" in seen_on(app)
        await press(pilot, "escape", "f3")
        assert isinstance(app.screen, TreesScreen)
        assert "f7 add" in seen_on(app)
        await press(pilot, "full_stop")
        await pilot.pause(0.2)
        assert "Add (f7)" in seen_on(app)


async def test_a_fault_is_told_in_the_notice_line_and_the_usual_keys_hold(file, bench, at_rest, press, seen_on) -> None:
    file.write_text('[keys]\nmorning.why = "f6"\nmorning.tick = "enter"\n', encoding="utf-8")
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(120, 30)) as pilot:
        await at_rest(pilot)
        said = " ".join(seen_on(app).split())
        assert 'line 3, key "keys.morning.tick": "enter" is needed for moving and writing.' in said
        assert "The usual ones hold meanwhile." in said
        await press(pilot, "w")
        assert isinstance(app.screen, ReadingScreen)


async def test_colours_stay_chosen(bench, folder, at_rest, press) -> None:
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        assert app.theme == NIGHT
        await press(pilot, "t")
        assert app.theme == PAPER
        await press(pilot, "t")
        assert app.theme == CLEAR
    assert Dashboard(Workbench.open(folder), TODAY).theme == CLEAR
