"""What is held back on Morning: under its own heading, with its reason, and ticked only after one more question."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.menu import MenuScreen
from tendwork.dashboard.screens.morning import MorningScreen
from tendwork.dashboard.screens.outcome import OutcomeScreen
from tendwork.dashboard.widgets.job_panel import JobPanel
from tendwork.orchard.records import Spray, Trouble
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
RAFFIA = "own-unwrap/t1/2026"


@pytest.fixture
def sprayed(folder: Path) -> Dashboard:
    """The app on the orchard whose tree t1 was sprayed on the day before: closed until 14 March."""
    bench = Workbench.open(folder)
    with bench._folder.records.act("sprayed") as act:
        act.add(Spray(date(2026, 3, 11), "t1", "Invented [/b] spray", 2, 9))
    return Dashboard(bench, TODAY)


@pytest.fixture
def sick(folder: Path) -> tuple[Dashboard, str]:
    """The app on the orchard whose first tree with cutting to do had fire blight last summer, and the job's key."""
    bench = Workbench.open(folder)
    key = next(
        task.key
        for task in bench.plan.of(TODAY).week.tasks
        if any("knife" in one or "saw" in one for one in task.tools) and task.place and task.state == "open"
    )
    with bench._folder.records.act("seen") as act:
        act.add(Trouble(date(2025, 7, 11), key.split("/")[1], "fire blight"))
    return Dashboard(bench, TODAY), key


def states(app: Dashboard) -> set[str]:
    return {unit.state for task in app.state.jobs if task.key == RAFFIA for unit in task.units}


async def test_a_held_job_stands_under_its_heading_with_its_reason(sprayed, go_to, at_rest, seen_with) -> None:
    async with sprayed.run_test(size=(120, 40)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        text = " ".join((await seen_with(pilot, "its label says 2 days to return")).split())
        assert "Held back" in text
        assert "from 14 Mar" in text
        assert "Invented [/b] spray on 11 Mar" in text


async def test_a_sick_tree_stands_above_the_cautions_of_a_job_that_cuts(sick, go_to, at_rest, seen_with) -> None:
    app, key = sick
    async with app.run_test(size=(120, 40)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, key)
        app.screen.query_one(JobPanel).scroll_home(animate=False)  # the chosen job is not the first of its visit
        text = " ".join((await seen_with(pilot, "do this tree last")).split())
        assert text.index("do this tree last") < text.index("Caution")


async def test_ticking_it_asks_once_more_and_n_or_escape_leaves_it(sprayed, press, go_to, at_rest) -> None:
    async with sprayed.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        for leave in ("n", "escape"):
            await press(pilot, "space")
            assert isinstance(sprayed.screen, OutcomeScreen)
            await press(pilot, "enter")
            assert isinstance(sprayed.screen, MenuScreen)
            await press(pilot, leave)
            assert isinstance(sprayed.screen, MorningScreen)
            assert states(sprayed) == {"held"}
        await press(pilot, "space", "enter", "y")
        assert states(sprayed) == {"done"}


async def test_saying_not_yet_or_skipping_it_asks_nothing(sprayed, press, go_to, at_rest) -> None:
    async with sprayed.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "space", "2")
        assert isinstance(sprayed.screen, MorningScreen)
        assert states(sprayed) == {"held"}
        assert [tick.outcome for tick in sprayed.state.records.ticks] == ["not yet"] * 12


async def test_wraps_that_are_held_ask_on_their_own_page_too(sprayed, press, at_rest) -> None:
    async with sprayed.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "o", "down", "space", "enter")
        assert isinstance(sprayed.screen, MenuScreen)
        await press(pilot, "y")
        assert [tick.outcome for tick in sprayed.state.records.ticks] == ["off"]
