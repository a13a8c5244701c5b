"""Morning by real keys and mouse: the week by day, what comes short, what changed since an earlier day, and frost."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from tendwork.almanac.results import FrostNight
from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.planning.results import Short
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
GATE = "own-gate/site/2026"
RAFFIA = "own-unwrap/t1/2026"
MOVED = r"Apple green tip moved \d+ weeks earlier: seen 12 Mar\."
SIZES = [(80, 24), (120, 40)]


@pytest.fixture
def next_day(bench: Workbench) -> Dashboard:
    """The dashboard one day after the plan that the folder keeps, and after a sighting."""
    bench.records.saw("apple", "green tip", TODAY)
    return Dashboard(bench, TODAY + timedelta(days=1))


@pytest.mark.parametrize("size", SIZES)
async def test_b_shows_the_week_by_day_with_its_hours_and_today_first(app, at_rest, press, seen_on, size) -> None:
    async with app.run_test(size=size) as pilot:
        await at_rest(pilot)
        await press(pilot, "b", "home")
        first = app.screen.query_one(JobList).options[0].prompt.plain
        assert first.startswith((" Comes short", " Today, Thu 12 Mar"))
        assert "Today, Thu 12 Mar" in seen_on(app)


async def test_b_again_goes_back_to_urgency(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        jobs = app.screen.query_one(JobList)
        before = [option.id for option in jobs.options]
        await press(pilot, "b", "b")
        assert [option.id for option in jobs.options] == before


async def test_the_arrangement_stays_when_another_screen_was_seen_and_the_plan_is_made_again(
    app, at_rest, press
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "b", "3", "1", "r")
        await pilot.pause(0.2)
        assert "Today, Thu 12 Mar" in "".join(
            option.prompt.plain for option in app.screen.query_one(JobList).options if option.disabled
        )


async def test_the_cursor_stays_on_its_job_from_one_arrangement_to_the_other(app, at_rest, press, go_to) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "b")
        assert app.screen.job.key == GATE


async def test_no_job_is_lost_by_day(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "b")
        jobs = app.screen.query_one(JobList)
        shown = {key for option in jobs.options if not option.disabled for key in jobs.rows[str(option.id)].tasks}
        assert shown == {task.key for task in app.state.jobs}


async def test_a_job_is_ticked_by_day_as_well(app, at_rest, press, go_to) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "b")
        await go_to(pilot, GATE)
        await press(pilot, "space")
        assert next(task.state for task in app.state.jobs if task.key == GATE) == "done"


@pytest.mark.parametrize("size", SIZES)
async def test_what_comes_short_stands_in_a_line_and_with_its_job(app, at_rest, seen_on, go_to, size) -> None:
    async with app.run_test(size=size) as pilot:
        await at_rest(pilot)
        short = Short(GATE, 5, TODAY, "5 more minutes on 12 Mar would do.")
        app.state = replace(app.state, week=replace(app.state.week, short=(short,)))
        await at_rest(pilot)
        await go_to(pilot, GATE)
        shown = seen_on(app)
        assert "Oil the gate, the orchard, does not fit; 5 more minutes" in shown
        assert "Comes short: 5 more minutes" in shown


async def test_a_plan_of_the_same_day_gives_nothing_to_compare_with(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "d")
        assert app.notice.text == "No plan of an earlier day is held to compare with."


@pytest.mark.parametrize("size", SIZES)
async def test_the_day_after_a_line_says_what_moved_and_why(next_day, at_rest, seen_on, size) -> None:
    async with next_day.run_test(size=size) as pilot:
        await at_rest(pilot)
        line = next(line for line in seen_on(next_day).splitlines() if "Since yesterday" in line)
        assert "apple green tip" in line
        assert "seen 12 Mar" in line


async def test_d_shows_all_that_changed_and_closes_again(next_day, at_rest, press, seen_on) -> None:
    async with next_day.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        await press(pilot, "d")
        page = seen_on(next_day)
        await press(pilot, "d")
        assert re.search(MOVED, page)
        assert not isinstance(next_day.screen, ReadingScreen)


async def test_d_still_tells_it_when_the_day_was_opened_before(bench, folder, at_rest, press, seen_on) -> None:
    bench.records.saw("apple", "green tip", TODAY)
    bench.plan.of(TODAY + timedelta(days=1))  # as a round of watch does, or the first opening of the day
    again = Dashboard(Workbench.open(folder), TODAY + timedelta(days=1))
    async with again.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        await press(pilot, "d")
        assert re.search(MOVED, seen_on(again))


async def test_an_orchard_without_a_tree_says_first_how_to_add_one(tmp_path, at_rest, seen_on) -> None:
    bench = Workbench.begin(tmp_path / "new", name="New", timezone="UTC", latitude=52.1, longitude=-3.0)
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        assert " Next: record your first tree. 3 goes to Trees, n adds one there." in seen_on(app)
        assert "skip" not in seen_on(app)


async def test_the_earlier_plan_is_still_there_after_a_tick(next_day, at_rest, go_to, press) -> None:
    async with next_day.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "space")
        assert next_day.state.changed.since == TODAY


async def test_the_mouse_alone_arranges_by_day_and_opens_what_changed(next_day, at_rest, press_on) -> None:
    async with next_day.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press_on(pilot, "days")
        await at_rest(pilot)
        arranged = next_day.notice.text
        await press_on(pilot, "news")
        await at_rest(pilot)
        assert arranged == "The week day by day."
        assert isinstance(next_day.screen, ReadingScreen)


@pytest.mark.parametrize("size", SIZES)
async def test_frost_tonight_stands_right_below_the_day(app, at_rest, seen_on, size) -> None:
    night = FrostNight(TODAY, "apple", "pink", -3.0, -2.2, -3.9, "a published table")
    async with app.run_test(size=size) as pilot:
        await at_rest(pilot)
        app.state = replace(app.state, frost=(night,))
        await at_rest(pilot)
        shown = seen_on(app)
        assert shown.splitlines()[1].startswith(" Frost tonight: -3.0 °C")
        assert shown.count("Frost tonight") == 1


async def test_frost_of_a_later_night_leaves_the_top_to_the_next_job(app, at_rest, seen_on) -> None:
    night = FrostNight(TODAY + timedelta(days=2), "apple", "pink", -3.0, -2.2, -3.9, "a published table")
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        app.state = replace(app.state, frost=(night,))
        await at_rest(pilot)
        assert seen_on(app).splitlines()[1].startswith(" Next: ")
