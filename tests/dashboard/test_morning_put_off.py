"""Jobs put off to another day, or planned for one, by real keys and mouse; what is left for today then."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from msgspec.structs import replace

from tendwork.dashboard.screens.putting_off import PuttingOffScreen
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.planning.results import Task
from tendwork.view.text import plain

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
DAY = timedelta(days=1)
GATE = "own-gate/site/2026"
RAFFIA = "own-unwrap/t1/2026"


def job(app, key: str = GATE) -> Task:
    return next(task for task in app.state.jobs if task.key == key)


async def test_p_and_enter_leave_the_job_until_tomorrow(app, press, go_to, at_rest, seen_on) -> None:
    async with app.run_test(size=(80, 60)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "p", "enter")
        assert job(app).put_off == TODAY + DAY
        assert all(day > TODAY for day, _ in job(app).days)
        assert "Put off" in seen_on(app)
        assert "to Fri 13 Mar" in seen_on(app)


async def test_f_plans_the_job_for_just_that_day(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "p", "down", "down", "f")
        assert [day for day, _ in job(app).days] == [TODAY + 3 * DAY]


async def test_what_is_put_off_is_not_next_any_more(app, press, go_to, at_rest, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        before = seen_on(app).splitlines()[1]
        await go_to(pilot, next(task.key for task in app.state.jobs if plain(task.title) in before))
        await press(pilot, "p", "enter")
        assert seen_on(app).splitlines()[1] != before


async def test_the_cursor_goes_on_to_the_next_job(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "p", "enter")
        assert app.screen.query_one(JobList).chosen_key != GATE


async def test_u_takes_it_back(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "p", "enter", "u")
        assert job(app).put_off is None


async def test_today_among_the_days_calls_it_back(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "p", "enter")
        await go_to(pilot, GATE)
        await press(pilot, "p", "home", "enter")
        assert job(app).put_off is None


async def test_all_marked_jobs_are_put_off_at_once(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "m")
        await go_to(pilot, RAFFIA)
        await press(pilot, "m", "p", "enter")
        assert [job(app, key).put_off for key in (GATE, RAFFIA)] == [TODAY + DAY] * 2


async def test_no_day_is_offered_on_which_the_job_is_worth_nothing(app, press, go_to, at_rest, seen_on) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await at_rest(pilot)
        last = replace(job(app).window, closes=TODAY + 2 * DAY, lapses=TODAY + 2 * DAY)
        jobs = tuple(replace(task, window=last) if task.key == GATE else task for task in app.state.jobs)
        app.state = replace(app.state, jobs=jobs)
        await go_to(pilot, GATE)
        await press(pilot, "p", "end")
        shown = seen_on(app)
        assert "the last day that it is worth doing" in shown
        assert "Sun 15 Mar" not in shown


async def test_a_job_with_no_later_day_is_refused_with_a_sentence(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await at_rest(pilot)
        last = replace(job(app).window, closes=TODAY, lapses=TODAY)
        jobs = tuple(replace(task, window=last) if task.key == GATE else task for task in app.state.jobs)
        app.state = replace(app.state, jobs=jobs)
        await go_to(pilot, GATE)
        await press(pilot, "p")
        assert not isinstance(app.screen, PuttingOffScreen)
        assert app.notice.text.startswith("No later day is left")


async def test_a_job_put_off_and_yet_done_today_is_done(app, press, go_to, at_rest, seen_on) -> None:
    async with app.run_test(size=(80, 60)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "p", "enter")
        await go_to(pilot, GATE)
        await press(pilot, "space")
        row = next(line for line in seen_on(app).splitlines() if "Oil the gate" in line and "done" in line)
        assert "to Fri" not in row


async def test_escape_leaves_all_as_it_was(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "p", "escape")
        assert job(app).put_off is None
        assert not isinstance(app.screen, PuttingOffScreen)


async def test_the_mouse_alone_puts_a_job_off(app, go_to, at_rest, press_on) -> None:
    async with app.run_test(size=(100, 30)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press_on(pilot, "put off")
        await at_rest(pilot)
        await press_on(pilot, "not before this day")
        await at_rest(pilot)
        assert job(app).put_off == TODAY + DAY
