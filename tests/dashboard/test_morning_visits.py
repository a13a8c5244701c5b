"""Visits on Morning by real keys and mouse: ticked whole, part by part, unit by unit. The jobs are invented."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from textual.widgets import Static

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.morning import MorningScreen
from tendwork.dashboard.screens.outcome import OutcomeScreen
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.dashboard.widgets.job_panel import JobHead, UnitList
from tendwork.planning.results import Task
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
VISIT = "invented-round/t1"
TIE, LOOK, LABEL = "vis-tie/t1/2026", "vis-look/t1/2026", "vis-label/t1/2026"
TEMPLATES = """
[[template]]
id = "vis-tie"
title = "Tie the shoots in"
part = "aftercare"
visit = "invented-round"
each = "graft"
where = { species = ["apple"] }
opens = { date = "03-02" }
closes = { date = "03-20" }
effort = { setup_minutes = 3, minutes_each = 1 }
tools = ["soft ties"]
cautions = ["knife"]
steps = ["Tie them loosely."]

[[template]]
id = "vis-look"
title = "Look whether they took"
part = "aftercare"
visit = "invented-round"
each = "graft"
where = { species = ["apple"] }
opens = { date = "03-02" }
closes = { date = "03-22" }
effort = { setup_minutes = 3, minutes_each = 1 }
tools = ["soft ties", "hand lens"]
cautions = ["knife"]
steps = ["Look for green."]
outcomes = ["took", "failed"]

[[template]]
id = "vis-label"
title = "Hang the label up"
part = "aftercare"
visit = "invented-round"
each = "tree"
where = { species = ["apple"] }
opens = { date = "03-02" }
closes = { date = "03-24" }
effort = { setup_minutes = 1 }
steps = ["By its wire."]
"""


@pytest.fixture
def visited(folder: Path) -> Dashboard:
    """The app on the orchard with three jobs on its tree t1 that one walk does."""
    (folder / "templates" / "visits.toml").write_text(TEMPLATES, encoding="utf-8")
    return Dashboard(Workbench.open(folder), TODAY)


def job(app: Dashboard, key: str) -> Task:
    return next(task for task in app.state.jobs if task.key == key)


def states(app: Dashboard) -> list[set[str]]:
    return [{unit.state for unit in job(app, key).units} for key in (TIE, LOOK, LABEL)]


def morning(app: Dashboard) -> MorningScreen:
    assert isinstance(app.screen, MorningScreen)
    return app.screen


def line(app: Dashboard) -> str:
    """The line of the panel on which the cursor is."""
    option = app.screen.query_one(UnitList).highlighted_option
    return "" if option is None else option.prompt.plain


def row(app: Dashboard) -> str:
    """The line of the list on which the cursor is."""
    return app.screen.query_one(JobList).highlighted_option.prompt.plain


async def to_line(pilot, words: str) -> None:
    """Goes down in the panel to the line with these words."""
    for _ in range(40):
        if words in line(pilot.app):
            return
        await pilot.press("down")
    raise AssertionError(f"no line has {words!r}")


@pytest.mark.parametrize("size", [(60, 24), (80, 24), (120, 40)])
async def test_a_row_says_how_many_more_jobs_there_are_whatever_the_width(visited, at_rest, go_to, size) -> None:
    async with visited.run_test(size=size) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        assert ", 2 more " in row(visited)
        assert row(visited).startswith(" ◇ Ti")


async def test_one_key_ticks_the_whole_visit_and_asks_for_a_finding_once(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "space")
        assert isinstance(visited.screen, OutcomeScreen)
        await press(pilot, "1")
        assert isinstance(visited.screen, MorningScreen)
        assert states(visited) == [{"done"}] * 3


async def test_escape_from_the_question_ticks_no_part_and_says_so(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "space", "escape")
        assert visited.notice.text == "Nothing was ticked, as one of the questions was left."
        assert states(visited) == [{"open"}] * 3
        assert morning(visited).visit.key == VISIT


async def test_u_undoes_a_visit_that_was_ticked_and_has_the_cursor_back(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "space", "1")
        elsewhere = morning(visited).visit.key
        await press(pilot, "u")
        assert elsewhere != VISIT
        assert states(visited) == [{"open"}] * 3
        assert morning(visited).visit.key == VISIT


async def test_u_on_a_done_visit_undoes_all_of_it_only_where_one_act_ticked_it(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, TIE)
        await press(pilot, "space")
        await go_to(pilot, LABEL)
        await press(pilot, "space")
        done = next(key for key, held in rows_of(visited) if {TIE, LABEL} <= set(held))
        await go_to(pilot, done)
        await press(pilot, "u")
        assert visited.notice.text.startswith("These jobs were not ticked together")
        assert states(visited) == [{"done"}, {"open"}, {"done"}]


async def test_u_on_a_done_visit_undoes_all_that_one_act_ticked(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        for key in (TIE, LABEL):
            await go_to(pilot, key)
            await press(pilot, "m")
        await press(pilot, "space")
        assert states(visited) == [{"done"}, {"open"}, {"done"}]
        await go_to(pilot, next(key for key, held in rows_of(visited) if {TIE, LABEL} <= set(held)))
        await press(pilot, "u")
        assert states(visited) == [{"open"}] * 3


async def test_l_leaves_out_one_job_and_on_a_line_of_several_says_how_to_choose_it(
    visited, at_rest, go_to, press
) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "l")
        assert visited.notice.text.startswith("This line joins several jobs: go into it with enter")
        await go_to(pilot, LABEL)
        await press(pilot, "l", "enter")
        assert all(task.key != LABEL for task in visited.state.jobs)
        assert any(task.key == TIE for task in visited.state.jobs)


async def test_in_a_narrow_panel_no_word_that_can_be_pressed_is_cut(visited, at_rest, go_to) -> None:
    async with visited.run_test(size=(112, 40)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        head = visited.screen.query_one(JobHead)
        lines = head.line().plain.splitlines()
        assert [word for word in ("put off", "not here") if not any(word in held for held in lines)] == []
        assert max(map(len, lines)) <= head.content_size.width


def rows_of(app: Dashboard) -> list[tuple[str, tuple[str, ...]]]:
    """The visits of the list, each with the keys of its jobs."""
    return [(held.key, held.tasks) for held in app.screen.query_one(JobList).rows.values()]


async def test_enter_goes_to_the_parts_and_space_ticks_one_of_them(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "enter")
        assert "Tie the shoots in" in line(visited)
        await to_line(pilot, "Hang the label up")
        await press(pilot, "space")
        assert states(visited) == [{"open"}, {"open"}, {"done"}]


async def test_space_on_a_unit_ticks_that_unit_alone_and_the_cursor_goes_on(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "enter", "down", "down", "space", "space")
        ticked = [at for at, unit in enumerate(job(visited, TIE).units) if unit.state == "done"]
        assert ticked == [1, 2]
        assert states(visited)[1:] == [{"open"}, {"open"}]


async def test_after_a_part_is_ticked_the_cursor_stays_in_the_visit_on_the_next_part(
    visited, at_rest, go_to, press
) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "enter", "space")
        assert states(visited) == [{"done"}, {"open"}, {"open"}]
        assert "Look whether they took" in line(visited)
        assert morning(visited).visit.first.key == LOOK


async def test_once_all_of_it_is_ticked_the_cursor_is_in_the_list_again(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "enter", "space", "space", "1")  # the second asks how it went
        assert morning(visited).visit.parts == (job(visited, LABEL),)
        await press(pilot, "space")
        assert states(visited) == [{"done"}] * 3
        assert visited.screen.query_one(JobList).has_focus


async def test_a_visit_of_which_one_part_is_left_keeps_the_cursor(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        for key in (TIE, LABEL):
            await go_to(pilot, key)
            await press(pilot, "space", "escape")
        assert morning(visited).visit.key == LOOK


async def test_the_palette_and_season_go_to_the_part_of_its_visit(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, LABEL)
        assert (morning(visited).visit.key, morning(visited).job.key) == (VISIT, LABEL)
        assert "Hang the label up" in line(visited)
        await press(pilot, "escape")
        assert morning(visited).job.key == TIE


async def test_p_puts_the_whole_visit_off_and_u_takes_it_back(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "p", "enter")
        put_off = [job(visited, key).put_off for key in (TIE, LOOK, LABEL)]
        await press(pilot, "u")
        assert put_off == [TODAY + timedelta(days=1)] * 3
        assert [job(visited, key).put_off for key in (TIE, LOOK, LABEL)] == [None] * 3


async def test_p_on_a_part_puts_that_part_off(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, LABEL)
        await press(pilot, "p", "enter")
        assert [job(visited, key).put_off is None for key in (TIE, LOOK, LABEL)] == [True, True, False]


async def test_x_skips_the_whole_visit_with_one_reason(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "x", *"rain", "enter")
        assert states(visited) == [{"skipped"}] * 3
        assert {tick.note for tick in visited.state.records.ticks} == {"rain"}
        assert len(visited.state.records.ticks) == 25


async def test_marks_are_of_units_whatever_they_were_made_on(visited, at_rest, go_to, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "enter", "down", "m", "m")
        await to_line(pilot, "Hang the label up")
        await press(pilot, "m")
        assert visited.notice.text.startswith("3 units marked")
        await press(pilot, "escape")
        assert row(visited).startswith("*◇")
        await press(pilot, "space")
        ticked = [at for at, unit in enumerate(job(visited, TIE).units) if unit.state == "done"]
        assert (ticked, job(visited, LABEL).state) == ([0, 1], "done")


async def test_cautions_and_tools_stand_once_and_the_steps_are_those_of_the_part(
    visited, at_rest, go_to, press, seen_on
) -> None:
    async with visited.run_test(size=(120, 90)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        shown = seen_on(visited)
        assert (shown.count("soft ties"), shown.count("Caution too (c):")) == (1, 1)
        assert "Tie them loosely." in shown
        await press(pilot, "c")
        titles = [
            text for text in visited.screen.query_one("#page", Static).content.plain.splitlines() if "Knives" in text
        ]
        await press(pilot, "c", "enter")
        assert len(titles) == 1
        await to_line(pilot, "Hang the label up")
        await pilot.pause()
        shown = seen_on(visited)
        assert "By its wire." in shown
        assert "Tie them loosely." not in shown


async def test_w_and_y_are_about_all_parts_and_inside_about_the_one_under_the_cursor(
    visited, at_rest, go_to, press
) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, VISIT)
        await press(pilot, "y")
        assert [key in visited.clipboard for key in (TIE, LOOK, LABEL)] == [True] * 3
        await go_to(pilot, LABEL)
        await press(pilot, "y")
        assert [key in visited.clipboard for key in (TIE, LOOK, LABEL)] == [False, False, True]


async def test_the_filter_finds_a_part_and_takes_the_cursor_along(visited, at_rest, press) -> None:
    async with visited.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "slash", *"hang the", "enter")
        assert morning(visited).visit.key == LABEL
        await press(pilot, "escape")
        assert morning(visited).visit.key == VISIT


async def test_the_mouse_alone_ticks_a_part_and_the_first_press_only_chooses_it(visited, at_rest, press) -> None:
    async with visited.run_test(size=(80, 40)) as pilot:
        await at_rest(pilot)
        await press(pilot, "slash", *"t1", "enter")  # so that all of the lines are in sight
        jobs = visited.screen.query_one(JobList)
        await pilot.click(JobList, offset=(10, jobs.get_option_index(VISIT) - round(jobs.scroll_y)))
        await at_rest(pilot)
        assert morning(visited).visit.key == VISIT
        await pilot.click(UnitList, offset=(10, 0))
        await at_rest(pilot)
        assert states(visited) == [{"open"}] * 3
        await pilot.click(UnitList, offset=(10, 0))
        await at_rest(pilot)
        assert states(visited) == [{"done"}, {"open"}, {"open"}]
