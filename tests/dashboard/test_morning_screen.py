"""What Morning shows, in every size and state: the three-second answer, the first paint, names that try to break it."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from nasty_names import BRACKETS
from textual.color import Color
from textual.widgets import Static

from tendwork.dashboard.actions import EVERYWHERE, SCREENS, key_word
from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.own_choices import TERMINAL
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.widgets.job_list import JobList
from tendwork.dashboard.widgets.job_panel import JobPanel, UnitList
from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
GATE = "own-gate/site/2026"
RAFFIA = "own-unwrap/t1/2026"
BLACK = Color(0, 0, 0)
SIZES = [(80, 24), (120, 40)]


@pytest.fixture
def held_back(bench: Workbench, monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """An event without which the workbench makes no plan."""
    go = threading.Event()
    planned = bench.plan.summary

    def waiting(today: date) -> object:
        assert go.wait(20)
        return planned(today)

    monkeypatch.setattr(bench.plan, "summary", waiting)
    yield go
    go.set()


@pytest.mark.parametrize("size", SIZES)
async def test_the_day_the_place_and_the_next_job_stand_on_top(app, at_rest, seen_on, size) -> None:
    async with app.run_test(size=size) as pilot:
        await at_rest(pilot)
        lines = seen_on(app).splitlines()
        assert "Thu 12 Mar 2026  Bank [/end] Orchard" in lines[0]
        assert lines[1].startswith(" Next: ")


async def test_the_first_paint_does_not_wait_for_the_almanac(bench, held_back, seen_on, folder: Path, at_rest) -> None:
    shutil.rmtree(folder / "cache")
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        first = seen_on(app)
        held_back.set()
        await at_rest(pilot)
        assert "Thu 12 Mar 2026" in first
        assert "Working out the plan" in first
        assert "Check labels and" in seen_on(app)


async def test_the_last_plan_shows_while_the_new_one_is_made(app, held_back, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        first = seen_on(app)
        held_back.set()
        assert "Check labels and" in first


async def test_keys_work_while_the_plan_is_being_made(app, held_back, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("3")
        await pilot.pause(0.2)
        shown = seen_on(app)
        held_back.set()
        assert BRACKETS in shown


@pytest.mark.parametrize("size", SIZES)
async def test_names_from_files_are_shown_as_they_are_written(app, at_rest, seen_on, go_to, press, size) -> None:
    async with app.run_test(size=size) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "enter", "down", "down")
        shown = seen_on(app)
        assert "Loosen [/b] the␛[2J raffia" in shown
        assert BRACKETS in shown


async def test_a_bidi_override_and_an_escape_code_never_reach_the_terminal(app, at_rest, seen_on, go_to, press) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        shown = seen_on(app)
        await press(pilot, "w")
        shown += seen_on(app)
        await press(pilot, "escape", "3")
        shown += seen_on(app)
        assert not {"\u202e", "\x1b"} & set(shown)


async def test_a_name_that_looks_like_a_link_does_nothing_when_it_is_pressed(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "3")
        rows = app.screen.query_one("#trees").region
        for row in range(rows.y, rows.bottom):
            await pilot.click(offset=(rows.x + 5, row))
            await press(pilot, "escape")
        assert app.is_running


async def test_the_panel_names_the_cautions_where_it_is_low_and_gives_their_lines_where_it_is_tall(
    app, at_rest, seen_on, go_to
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        low = seen_on(app)
        await pilot.resize_terminal(120, 40)
        await at_rest(pilot)
        tall = seen_on(app)
        assert "Caution (c): " in low
        assert "Caution: Keep every part of you out of the" in tall


async def test_list_and_job_stand_side_by_side_only_where_there_is_room(app, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        jobs, panel = app.screen.query_one(JobList), app.screen.query_one(JobPanel)
        assert panel.region.y >= jobs.region.bottom
        await pilot.resize_terminal(120, 40)
        await at_rest(pilot)
        assert panel.region.x >= jobs.region.right


@pytest.mark.parametrize(
    ("key", "said"), [("w", "own-unwrap/t1/2026"), ("c", "Knives and cleft tools"), ("question_mark", "Marks of buds")]
)
async def test_a_page_opens_and_the_same_key_closes_it(app, at_rest, seen_on, go_to, press, key, said) -> None:
    async with app.run_test(size=(100, 200)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, key)
        shown = seen_on(app)
        await press(pilot, key)
        assert said in shown
        assert not isinstance(app.screen, ReadingScreen)


async def test_first_aid_stands_bold_among_the_caution_cards(app, at_rest, go_to, press) -> None:
    async with app.run_test(size=(100, 200)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "c")
        page = app.screen.query_one("#page", Static).content
        bold = [page.plain[span.start : span.end] for span in page.spans if span.style == "bold"]
        assert any("First aid:\n  - Deep cut" in text and "ask a clinician today." in text for text in bold)
        assert not any("Stop when hands are cold" in text or "Not medical advice" in text for text in bold)


async def test_the_filter_leaves_only_jobs_with_the_words(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "slash", *"gate oil", "enter")
        jobs = app.screen.query_one(JobList)
        assert [option.id for option in jobs.options if not option.disabled] == [GATE]


async def test_escape_shows_all_jobs_again(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        jobs = app.screen.query_one(JobList)
        before = jobs.option_count
        await press(pilot, "slash", *"gate", "enter", "escape")
        assert jobs.option_count == before


async def test_the_palette_goes_to_a_job_by_name(app, at_rest, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await pilot.press("ctrl+p", *"oil the gate")
        await pilot.pause(0.5)
        await press(pilot, "enter")
        await pilot.pause(0.2)
        assert app.screen.job.key == GATE


async def test_the_mouse_alone_ticks_a_job(app, at_rest, press_on) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await at_rest(pilot)
        jobs = app.screen.query_one(JobList)
        row = jobs.get_option_index(GATE) - round(jobs.scroll_y)
        await pilot.click(JobList, offset=(10, row))
        await press_on(pilot, "tick")
        await at_rest(pilot)
        assert next(task.state for task in app.state.jobs if task.key == GATE) == "done"


async def test_the_mouse_alone_ticks_one_unit(app, at_rest) -> None:
    async with app.run_test(size=(80, 30)) as pilot:
        await at_rest(pilot)
        jobs = app.screen.query_one(JobList)
        row = jobs.get_option_index(RAFFIA) - round(jobs.scroll_y)
        await pilot.click(JobList, offset=(10, row))
        await pilot.click(JobList, offset=(10, row))
        await at_rest(pilot)
        await pilot.click(UnitList, offset=(10, 2))
        await pilot.click(UnitList, offset=(10, 2))
        await at_rest(pilot)
        await pilot.click("#outcomes", offset=(5, 0))
        await at_rest(pilot)
        task = next(task for task in app.state.jobs if task.key == RAFFIA)
        assert [at for at, unit in enumerate(task.units) if unit.state == "done"] == [2]


async def test_the_mouse_alone_goes_to_another_screen(app, at_rest, press_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press_on(pilot, key_word(app.keys.action(f"{EVERYWHERE}.{SCREENS[-1]}").keys[0]))
        await pilot.pause(0.2)
        assert app.current_mode == SCREENS[-1]


@pytest.mark.parametrize(
    ("failure", "said"),
    [
        (PersonError("site.toml, line 3: is wrong."), "site.toml, line 3: is wrong."),
        (ValueError("odd"), "The plan could not be worked out (ValueError: odd). The last one stays."),
    ],
)
async def test_a_plan_that_cannot_be_made_is_one_sentence_and_the_last_one_stays(
    app, at_rest, seen_on, bench, monkeypatch, failure, said
) -> None:
    def fail(_: date) -> None:
        raise failure

    monkeypatch.setattr(bench.plan, "summary", fail)
    async with app.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        assert (app.notice.text, app.notice.trouble) == (said, True)
        assert "Oil the gate" in seen_on(app)


async def test_no_color_is_kept_from_the_start(bench, at_rest, monkeypatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await pilot.press("t")
        strips = [strip.apply_filter(app._filters[-1], BLACK) for strip in app.screen._compositor.render_strips()]
        styles = [segment.style for strip in strips for segment in strip if segment.style is not None]
        colours = [colour for style in styles for colour in (style.color, style.bgcolor)]
        assert app.theme == TERMINAL
        assert all(colour is None or colour.is_default for colour in colours)


async def test_without_colours_the_row_of_the_cursor_is_underlined(bench, at_rest, go_to, monkeypatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Dashboard(bench, TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        segments = [segment for strip in app.screen._compositor.render_strips() for segment in strip]
        underlined = "".join(segment.text for segment in segments if segment.style and segment.style.underline)
        assert "Oil the gate" in underlined


@pytest.mark.parametrize("size", [(60, 20), (80, 24)])
async def test_the_key_line_fits(app, at_rest, seen_on, size) -> None:
    async with app.run_test(size=size) as pilot:
        await at_rest(pilot)
        assert seen_on(app).splitlines()[-1].endswith("q leave ")
