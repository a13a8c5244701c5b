"""A new day: its list opens at the top, and nothing of an earlier day's plan stands under its date meanwhile."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterator
from datetime import date, timedelta

import pytest
from freezegun import freeze_time
from test_day_turns import HandTicker

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench
from tendwork.workbench.records_room import JobTick

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)  # the day of the plan that the folder keeps
LATER = date(2026, 3, 25)  # by then the labels are missed
LABELS = "check-labels-and-ties/t1/2026"
SHARPEN = "sharpen-and-disinfect/site/2026"
RAFFIA = "own-unwrap/t1/2026"


@pytest.fixture
def plan_held(bench: Workbench, monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """An event without which the workbench makes no plan."""
    go = threading.Event()
    glance = bench.plan.summary

    def waiting(today: date) -> object:
        assert go.wait(20)
        return glance(today)

    monkeypatch.setattr(bench.plan, "summary", waiting)
    yield go
    go.set()


def top_job(app: Dashboard) -> str | None:
    """The most pressing job of the first visit."""
    return next(iter(app.screen.query_one(JobList).rows.values())).tasks[0]


def chosen(app: Dashboard) -> str | None:
    """The most pressing job of the visit under the cursor."""
    row = app.screen.query_one(JobList).chosen_row
    return None if row is None else row.tasks[0]


async def test_the_first_opening_of_a_new_day_stands_at_the_top_of_its_list(bench, at_rest) -> None:
    app = Dashboard(bench, LATER)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        assert next(task.state for task in app.state.jobs if task.key == LABELS) == "missed"
        assert chosen(app) == top_job(app) != LABELS


async def test_a_cursor_moved_while_the_plan_of_the_same_day_is_updated_stays(bench, plan_held, at_rest) -> None:
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("end")
        moved_to = chosen(app)
        plan_held.set()
        await at_rest(pilot)
        assert chosen(app) == moved_to != top_job(app)


async def test_until_the_plan_of_the_day_is_there_the_one_of_an_earlier_day_is_only_named(
    bench, plan_held, at_rest, seen_on, seen_with
) -> None:
    app = Dashboard(bench, LATER)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        meanwhile = seen_on(app)
        plan_held.set()
        await at_rest(pilot)
        assert "Wed 25 Mar 2026" in meanwhile
        assert "Updating the plan for today; the last one is of Thu 12 Mar." in meanwhile
        for words in ("Oil the gate", "raffia", "Next:", "card is missing", "apple", "days left"):
            assert words not in meanwhile
        assert "Oil the gate" in await seen_with(pilot, "Next:")
        assert "Updating the plan for today" not in seen_on(app)


async def test_until_the_plan_of_the_day_is_there_season_shows_none_of_an_earlier_day(
    bench, plan_held, at_rest, seen_on, seen_with
) -> None:
    app = Dashboard(bench, LATER)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("2")
        assert "Working out the season." in await seen_with(pilot, "Working out the season.")
        await pilot.pause(0.2)
        assert app.state.plan is None
        plan_held.set()
        await at_rest(pilot)
        assert app.state.plan.today == LATER
        assert "Working out the season." not in seen_on(app)


async def test_a_bud_stage_can_be_noted_before_the_plan_of_the_day_is_there(bench, plan_held, seen_with) -> None:
    app = Dashboard(bench, LATER)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("s")
        assert "pear" in await seen_with(pilot, "Which buds did you see?")
        plan_held.set()


async def test_no_card_is_called_missing_while_the_plan_of_the_same_day_is_updated(bench, plan_held, seen_on) -> None:
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        assert app.screen.query_one(JobList).choose(RAFFIA)
        await pilot.pause()
        meanwhile = seen_on(app)
        plan_held.set()
        assert "Caution" in meanwhile
        assert "card is missing" not in meanwhile


async def test_where_the_plan_of_the_day_cannot_be_made_the_last_one_stands_under_its_own_day(
    bench, at_rest, seen_on, monkeypatch
) -> None:
    def fail(_: date) -> None:
        raise PersonError("site.toml, line 3: is wrong.")

    monkeypatch.setattr(bench.plan, "summary", fail)
    app = Dashboard(bench, TODAY + timedelta(days=1))
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        first, second, *_ = seen_on(app).splitlines()
        assert "Fri 13 Mar 2026" in first
        assert second.startswith(" Plan of Thu 12 Mar; today's could not be made. Next there: ")
        assert "site.toml, line 3: is wrong." in seen_on(app)
        assert "Check labels and" in seen_on(app)
        assert "card is missing" not in seen_on(app)
        assert re.search(r"On Thu 12 Mar, to do: \d+ jobs", seen_on(app))
        assert chosen(app) == top_job(app)


async def test_a_check_of_wood_asked_for_before_the_plan_of_the_day_is_there_is_not_called_needless(
    sample_folder, monkeypatch
) -> None:
    bench = Workbench.open(sample_folder)
    go = threading.Event()
    glance = bench.plan.summary
    monkeypatch.setattr(bench.plan, "summary", lambda today: glance(today) if go.wait(20) else None)
    app = Dashboard(bench, TODAY + timedelta(days=1))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("4")
        await pilot.pause(0.3)
        await pilot.press("k")
        await pilot.pause()
        assert app.notice.text == "The plan is being updated; ask again in a moment."
        go.set()


async def roll_over(
    bench: Workbench, at_rest, keys: tuple[str, ...], later: date = LATER
) -> tuple[str | None, str | None]:
    """Opens on 12 Mar, presses keys, lets midnights pass until `later`: the chosen job and the top one.

    The raffia is off, since it would stand on top until it is.
    """
    bench.records.tick((JobTick(RAFFIA, (), "off"),), TODAY)
    ticker = HandTicker()
    with freeze_time("2026-03-12 23:59:50", real_asyncio=True, ignore=["textual", "tendwork"]) as clock:
        app = Dashboard(bench, ticker=ticker)
        async with app.run_test(size=(80, 24)) as pilot:
            await at_rest(pilot)
            assert chosen(app) == top_job(app) == LABELS
            await pilot.press(*keys)
            clock.move_to(f"{later} 00:00:20")
            await ticker.job()
            await at_rest(pilot)
            assert app.state.today == later
            return chosen(app), top_job(app)


async def test_at_midnight_the_cursor_of_somebody_who_did_not_move_it_goes_to_the_top(bench, at_rest) -> None:
    chosen_key, top = await roll_over(bench, at_rest, ())
    assert chosen_key == top != LABELS


async def test_at_midnight_a_cursor_that_was_moved_stays_on_its_job(bench, at_rest) -> None:
    chosen_key, top = await roll_over(bench, at_rest, ("down",) * 2)
    assert chosen_key == SHARPEN != top


async def test_at_midnight_a_cursor_that_was_moved_to_a_job_missed_by_then_goes_to_the_top(bench, at_rest) -> None:
    chosen_key, top = await roll_over(bench, at_rest, ("down",), later=date(2026, 5, 2))
    assert chosen_key == top != SHARPEN
