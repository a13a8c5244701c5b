"""Many jobs in one act, and the cursor after it: by real key presses on a real folder."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.dashboard.screens.menu import MenuScreen
from tendwork.dashboard.screens.outcome import OutcomeScreen
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.orchard.standing_ticks import standing_ticks

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
GATE = "own-gate/site/2026"
RAFFIA = "own-unwrap/t1/2026"


def standing(bench) -> list[tuple[str, str]]:
    return [(tick.task, tick.outcome) for tick in standing_ticks(bench.records.read().ticks)]


def keys_of(app) -> list[str]:
    return [str(option.id) for option in app.screen.query_one(JobList).options if not option.disabled]


async def mark(pilot, go_to, press, *keys: str) -> None:
    for key in keys:
        await go_to(pilot, key)
        await press(pilot, "m")


async def test_u_undoes_marked_jobs_of_several_kinds_together_and_says_how_many(
    app, bench, press, go_to, at_rest
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await mark(pilot, go_to, press, RAFFIA, GATE)
        await press(pilot, "space", "enter")
        ticked = len(standing(bench))
        said = app.notice.text
        await press(pilot, "u")
        assert (ticked, said) == (13, "13 ticks in 2 jobs: off and done.")
        assert (standing(bench), app.notice.text) == ([], "Undone: 13 ticks in 2 jobs: off and done.")


async def test_u_on_one_of_the_jobs_that_were_ticked_together_undoes_them_all(
    app, bench, press, go_to, at_rest
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await mark(pilot, go_to, press, RAFFIA, GATE)
        await press(pilot, "space", "enter")
        await go_to(pilot, GATE)
        await press(pilot, "u")
        assert standing(bench) == []


async def test_escape_from_the_second_question_ticks_nothing_of_the_first(app, bench, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await mark(pilot, go_to, press, GATE, RAFFIA)
        await press(pilot, "space", "escape")
        assert bench.records.read().ticks == ()


async def test_marked_jobs_are_skipped_in_one_act(app, bench, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await mark(pilot, go_to, press, RAFFIA, GATE)
        await press(pilot, "x", "enter")
        skipped = {word for _, word in standing(bench)}
        await press(pilot, "u")
        assert (skipped, standing(bench)) == ({"skipped"}, [])


async def test_marked_jobs_are_put_off_in_one_act(app, bench, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await mark(pilot, go_to, press, RAFFIA, GATE)
        await press(pilot, "p", "enter")
        put_off = len(standing(bench))
        await press(pilot, "u")
        assert (put_off, standing(bench)) == (2, [])


async def test_after_u_the_cursor_stands_on_the_line_on_which_it_stood(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "down")
        before, place = keys_of(app), app.screen.query_one(JobList).highlighted
        await press(pilot, "space")
        while isinstance(app.screen, (OutcomeScreen, MenuScreen)):
            await press(pilot, "enter")
        await press(pilot, "u")
        assert keys_of(app) == before
        assert app.screen.query_one(JobList).highlighted == place


async def test_after_the_last_job_that_is_to_do_the_cursor_is_on_no_job_that_was_done_before(
    app, bench, press, go_to, at_rest
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "space")
        last = [row for row in app.screen.query_one(JobList).rows.values() if row.state == "open"][-1]
        await go_to(pilot, last.key)
        await press(pilot, "space")
        while isinstance(app.screen, (OutcomeScreen, MenuScreen)):
            await press(pilot, "enter")
        assert app.screen.job.state not in ("done", "skipped")
        await press(pilot, "u")
        assert [key for key, _ in standing(bench)] == [GATE]


async def test_after_u_of_marked_jobs_the_cursor_stands_on_the_line_on_which_it_stood(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "m", "down", "m", "down", "m")
        place, key = app.screen.query_one(JobList).highlighted, app.screen.job.key
        await press(pilot, "space")
        while isinstance(app.screen, (OutcomeScreen, MenuScreen)):
            await press(pilot, "enter")
        await press(pilot, "u")
        assert (app.screen.query_one(JobList).highlighted, app.screen.job.key) == (place, key)
