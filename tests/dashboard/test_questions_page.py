"""The page of questions on a real folder, by real key presses: one answer for many grafts, and undo takes it back."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from brought_orchard import BROUGHT, write_tables
from textual.widgets import OptionList, Static

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.choosing_many import ChoosingManyScreen
from tendwork.dashboard.screens.morning import MorningScreen
from tendwork.dashboard.screens.questions import QuestionsScreen
from tendwork.dashboard.widgets.first_words import FirstWords
from tendwork.planning.questions import questions_of
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio


@pytest.fixture(scope="module")
def brought_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Five trees with a hundred invented grafts that came in today, with their plan kept; only ever copied."""
    place = tmp_path_factory.mktemp("brought")
    bench = Workbench.begin(place / "orchard", name="Test hill", timezone="UTC", latitude=52.1, longitude=-3.0)
    for kind, file in write_tables(place).items():
        bench.records.bring(file, kind, BROUGHT)  # type: ignore[arg-type]
    bench.plan.of(BROUGHT)
    bench.close()
    return place / "orchard"


@pytest.fixture
def brought(brought_folder: Path, tmp_path: Path) -> Dashboard:
    return Dashboard(Workbench.open(Path(shutil.copytree(brought_folder, tmp_path / "orchard"))), BROUGHT)


def asked(app: Dashboard) -> dict[str, int]:
    return {question.name: len(question.grafts) for question in questions_of(app.state.gaps)}


def title(app: Dashboard) -> str:
    return str(app.screen.query_one("#question", Static).content)


def answers(app: Dashboard) -> list[str]:
    return [str(option.prompt).strip() for option in app.screen.query_one("#answers", OptionList).options]


async def test_a_line_on_morning_names_the_key_and_escape_leaves_all_open(brought, press, at_rest) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        assert isinstance(brought.screen, MorningScreen)  # what came in before is no reason to open a page
        line = str(brought.screen.query_one(FirstWords).content)
        assert "To answer: 39 wraps still on? 30 grafts took? (a)." in line
        await press(pilot, "a")
        assert isinstance(brought.screen, QuestionsScreen)
        assert title(brought) == "Are the wraps still on?"
        await press(pilot, "escape")
        await at_rest(pilot)
        assert (isinstance(brought.screen, MorningScreen), asked(brought)) == (True, {"wraps": 39, "took": 30})


async def test_two_keys_answer_for_all_and_undo_asks_again(brought, press, at_rest) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "a", "3", "1")
        await at_rest(pilot)
        records = brought.state.records
        assert asked(brought) == {}
        assert len([tick for tick in records.ticks if tick.outcome == "off"]) == 39
        assert len([graft for graft in records.grafts if graft.state == "took"]) == 60
        assert title(brought) == "That is all"
        await press(pilot, "u")
        await at_rest(pilot)
        assert asked(brought) == {"took": 30}
        assert title(brought) == "Did the grafts take?"
        await press(pilot, "u")
        await at_rest(pilot)
        assert asked(brought) == {"wraps": 39, "took": 30}


async def test_some_are_marked_and_the_other_answer_is_for_the_rest(brought, press, at_rest) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "a", "4")
        assert isinstance(brought.screen, ChoosingManyScreen)
        await press(pilot, "space", "space", "enter")
        await at_rest(pilot)
        said = [tick.outcome for tick in brought.state.records.ticks]
        assert (said.count("not yet"), said.count("off"), asked(brought)) == (2, 37, {"took": 30})
        assert [wrap.state for wrap in brought.state.wraps].count("late") == 2
        await press(pilot, "u")
        await at_rest(pilot)
        assert asked(brought) == {"wraps": 39, "took": 30}  # both were one act


async def test_those_of_earlier_seasons_are_answered_at_once_and_the_others_are_asked_about_on(
    brought, press, at_rest
) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "a")
        assert answers(brought)[1] == "2  the 30 set before this season are off; ask on about the others"
        await press(pilot, "2")
        await at_rest(pilot)
        assert asked(brought) == {"wraps": 9, "took": 30}
        assert answers(brought)[0] == "1  all are still on"
        await press(pilot, "1")
        await at_rest(pilot)
        assert [tick.outcome for tick in brought.state.records.ticks] == ["off"] * 30 + ["not yet"] * 9


async def test_what_nobody_knows_stays_open_and_the_next_is_asked(brought, press, at_rest) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "a", "5")
        assert title(brought) == "Did the grafts take?"
        await press(pilot, "4")
        assert (title(brought), asked(brought)) == ("That is all", {"wraps": 39, "took": 30})


async def test_jobs_that_are_never_done_are_left_out(brought, press, at_rest) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "a", "5", "4", "1")
        lines = brought.screen.query_one("#many", OptionList)
        template = str(lines.options[0].id)
        assert any(task.template == template for task in brought.state.jobs)
        await press(pilot, "space", "enter")
        await at_rest(pilot)
        assert not any(task.template == template for task in brought.state.jobs)


async def test_the_page_opens_by_itself_once_when_something_comes_in_that_leaves_something_open(
    brought, press, at_rest
) -> None:
    def add(variety: str):
        typed = {"tree": "t1", "variety": variety, "method": "cleft", "state": "set", "set_on": "2026-03-20"}
        return lambda bench, today: bench.records.entries.add("grafts", typed, today)

    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        brought.act(add("One more"))
        await at_rest(pilot)
        assert isinstance(brought.screen, QuestionsScreen)
        await press(pilot, "escape")
        brought.act(add("And another"))
        await at_rest(pilot)
        assert isinstance(brought.screen, MorningScreen)


async def test_a_wrap_that_is_asked_about_is_not_ticked_on_the_page_of_wraps(brought, press, at_rest) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "o", "space")
        assert "Nobody said yet" in str(brought.screen.query_one("#told", Static).content)
        assert brought.state.records.ticks == ()


async def test_enter_alone_answers_nothing(brought, press, at_rest) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "a", "l", "enter")
        await at_rest(pilot)
        assert asked(brought) == {"wraps": 39, "took": 30}
        await press(pilot, "down", "enter")
        await at_rest(pilot)
        assert asked(brought) == {"took": 30}


async def test_undoing_an_answer_on_morning_opens_no_page_by_itself(brought, press, at_rest) -> None:
    async with brought.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "a", "3", "1")
        await at_rest(pilot)
        await press(pilot, "escape", "u")
        await at_rest(pilot)
        assert asked(brought) == {"took": 30}
        assert isinstance(brought.screen, MorningScreen)
