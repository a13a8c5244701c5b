"""A long list on Morning, folded and unfolded by real keys and mouse. The jobs are invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.view.folding import MOST_LINES
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
LAST = "fold-19/site/2026"
TEMPLATES = "".join(
    f"""
[[template]]
id = "fold-{number:02d}"
title = "Paint post {number}"
part = "upkeep"
each = "site"
opens = {{ date = "03-02" }}
closes = {{ date = "04-{number + 1:02d}" }}
steps = ["Paint it."]
stake = "little"
"""
    for number in range(20)
)


@pytest.fixture
def long(folder: Path) -> Dashboard:
    """The app on the orchard with twenty jobs more that can wait."""
    (folder / "templates" / "long.toml").write_text(TEMPLATES, encoding="utf-8")
    return Dashboard(Workbench.open(folder), TODAY)


def jobs(app: Dashboard) -> JobList:
    return app.screen.query_one(JobList)


def to_do(app: Dashboard) -> int:
    """How many lines stand above the one that folds: the work to do now."""
    above = jobs(app).options[: jobs(app).get_option_index("fold:")]
    return sum(not option.disabled for option in above)


def fold_line(app: Dashboard) -> str:
    return next(option.prompt.plain for option in jobs(app).options if option.id == "fold:")


async def test_a_long_list_shows_a_dozen_lines_and_says_how_many_more_there_are(long, at_rest) -> None:
    async with long.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        whole = len({task.key for task in long.state.jobs})
        assert to_do(long) == MOST_LINES
        assert "e And " in fold_line(long)
        assert fold_line(long).endswith(" more that can wait")
        assert whole > MOST_LINES + 9


async def test_e_unfolds_it_and_e_again_folds_it(long, at_rest, press) -> None:
    async with long.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        before = [option.id for option in jobs(long).options]
        await press(pilot, "e")
        unfolded, line = to_do(long), fold_line(long)
        await press(pilot, "e")
        assert unfolded >= 20
        assert "e Fold again: " in line
        assert [option.id for option in jobs(long).options] == before


async def test_enter_on_the_line_unfolds_and_the_cursor_goes_on_to_the_first_of_the_rest(long, at_rest, press) -> None:
    async with long.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        shown = set(jobs(long).rows)
        await press(pilot, *["down"] * MOST_LINES)
        assert jobs(long).on_fold
        await press(pilot, "space")
        assert long.state.records.ticks == ()
        await press(pilot, "enter")
        assert jobs(long).chosen_key not in {None, *shown}


async def test_the_mouse_alone_unfolds_and_folds(long, at_rest) -> None:
    async with long.run_test(size=(120, 60)) as pilot:
        await at_rest(pilot)
        for _ in range(2):
            for _ in range(2):  # the first press chooses the line, the second does it
                if jobs(long).on_fold:
                    await pilot.click(JobList, offset=(8, jobs(long).highlighted))
                    break
                place = jobs(long).get_option_index("fold:") - round(jobs(long).scroll_y)
                await pilot.click(JobList, offset=(8, place))
                await at_rest(pilot)
            await at_rest(pilot)
        assert to_do(long) == MOST_LINES


async def test_what_is_looked_for_is_found_though_it_is_folded_away(long, at_rest, go_to, press) -> None:
    async with long.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "slash", *"post 19", "enter")
        found = jobs(long).chosen_key
        await press(pilot, "escape")
        await go_to(pilot, LAST)
        assert (found, jobs(long).chosen_key) == (LAST, LAST)


async def test_once_one_is_ticked_the_next_one_comes_up(long, at_rest, press) -> None:
    async with long.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, *["down"] * (MOST_LINES - 1))
        place = jobs(long).highlighted
        await press(pilot, "space")
        assert to_do(long) == MOST_LINES
        assert (jobs(long).highlighted, jobs(long).on_fold) == (place, False)


async def test_by_day_nothing_is_folded(long, at_rest, press) -> None:
    async with long.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "b", "e")
        assert long.notice.text == "By day all is shown."
        assert {key for row in jobs(long).rows.values() for key in row.tasks} == {task.key for task in long.state.jobs}
