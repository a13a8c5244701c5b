"""Season by real key presses and mouse on the sample orchard: zooms, earlier seasons, and the way to any job."""

from __future__ import annotations

import threading
from datetime import date

import pytest
from nasty_names import BRACKETS

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.widgets.season_list import SeasonList
from tendwork.view.symbols import STRIP_MARKS
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
SIZES = [(80, 24), (120, 40), (200, 60), (60, 20)]
PARTS = ("planning", "wood", "preparing", "grafting", "aftercare", "second chance", "pruning", "fruit", "upkeep")


@pytest.fixture
def visit(at_rest, press):
    """Goes to Season and presses keys there."""

    async def visit(pilot, *keys: str) -> SeasonList:
        await at_rest(pilot)
        await press(pilot, "2")
        await pilot.pause(0.1)
        await press(pilot, *keys)
        return pilot.app.screen.query_one(SeasonList) if not keys or pilot.app.screen.query(SeasonList) else None

    return visit


def line_with(text: str, word: str) -> str:
    return next(line for line in text.splitlines() if word in line)


@pytest.mark.parametrize("size", SIZES)
async def test_all_parts_buds_months_and_today_stand_on_the_first_page(sample, visit, seen_on, size) -> None:
    async with sample.run_test(size=size) as pilot:
        await visit(pilot)
        shown = seen_on(sample)
        assert "Season 2026: Nov 2025 to Oct 2026" in shown
        assert "▼ Thu 12 Mar" in shown
        if size[1] >= 24:
            assert [word for word in (*PARTS, "sweet cherry") if word[:6] not in shown] == []


@pytest.mark.parametrize("size", [(80, 24), (200, 60)])
async def test_every_line_is_as_wide_as_the_screen(sample, visit, seen_on, size) -> None:
    async with sample.run_test(size=size) as pilot:
        await visit(pilot, "a")
        assert {len(line) for line in seen_on(sample).splitlines()} == {size[0]}


async def test_today_stands_under_its_pointer_in_every_twig(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot)
        shown = seen_on(sample)
        at = line_with(shown, "▼").index("▼")
        assert line_with(shown, "    apple ")[at] == STRIP_MARKS["today"].symbol


async def test_enter_on_a_part_shows_its_jobs_and_again_hides_them(sample, visit, press) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        rows = await visit(pilot, *["down"] * 5)
        folded = len(rows.rows)
        await press(pilot, "enter")
        opened = len(rows.rows)
        await press(pilot, "enter")
        assert (rows.chosen, opened > folded, len(rows.rows)) == ("planning", True, folded)


async def test_a_shows_all_jobs_and_again_the_parts_alone(sample, visit, press) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        rows = await visit(pilot)
        folded = len(rows.rows)
        await press(pilot, "a")
        opened = len(rows.rows)
        await press(pilot, "a")
        assert opened > 100
        assert len(rows.rows) == folded


async def test_plus_zooms_to_the_month_and_the_week_and_minus_back(sample, visit, press, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "plus")
        month = seen_on(sample)
        await press(pilot, "plus")
        week = seen_on(sample)
        await press(pilot, "minus", "minus")
        assert "[month]" in month
        assert "1 Mar to " in month
        assert "9 Mar to 15 Mar 2026" in week
        assert "Mon 9" in week
        assert "[season]" in seen_on(sample)


async def test_a_week_shows_only_what_has_to_do_with_it(sample, visit) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        rows = await visit(pilot, "a", "plus", "plus")
        assert not any(row.startswith("taste-apples/") for row in rows.rows)


async def test_right_goes_to_the_next_month_and_n_back_to_today(sample, visit, press, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "plus", "right")
        later = seen_on(sample)
        await press(pilot, "n")
        assert "1 Apr to " in later
        assert "▼" not in later
        assert "1 Mar to " in seen_on(sample)


async def test_left_shows_last_season_as_it_ended(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "left")
        shown = seen_on(sample)
        assert "Season 2025: Nov 2024 to Oct 2025" in shown
        assert "as it stood on Fri 31 Oct 2025, its last day" in shown


async def test_today_and_its_kept_plan_are_as_before_after_a_look_at_last_season(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "left", "right")
        assert "▼ Thu 12 Mar" in seen_on(sample)
        assert sample._bench.plan.last_plan().today == TODAY


async def test_w_tells_why_a_job_of_last_season_stood_where_it_stood(sample, visit, press, seen_with) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "left", "a")
        await press(pilot, *["down"] * 6, "w")
        shown = await seen_with(pilot, "Steps")
        assert "As it stood on Fri 31 Oct 2025, the last day of season 2025." in shown
        assert "/2025 (planning" in shown
        assert "Why" in shown


async def test_a_step_taken_while_an_earlier_season_is_read_starts_where_the_last_one_goes(
    sample, visit, press, seen_on, monkeypatch
) -> None:
    slow, as_of = threading.Event(), sample._bench.plan.as_of

    def waiting(day: date) -> object:
        assert slow.wait(20)
        return as_of(day)

    monkeypatch.setattr(sample._bench.plan, "as_of", waiting)
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot)
        await pilot.press("left")
        await pilot.pause()
        await pilot.press("right")
        await pilot.pause()
        slow.set()
        await press(pilot)
        assert "▼ Thu 12 Mar" in seen_on(sample)
        assert sample.notice.text == ""


async def test_no_season_is_shown_before_the_records_nor_after_this_one(app, visit, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "right")
        after = app.notice.text
        await press(pilot, "left")
        assert after == "The season after this one is planned when it begins."
        assert app.notice.text == "Nothing is recorded of an earlier season."


async def test_a_job_of_this_week_is_found_by_words_and_enter_goes_to_it_in_morning(sample, visit) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "slash", *"above", "enter", "down", "enter")
        await pilot.pause(0.2)
        assert (sample.current_mode, sample.screen.job.template) == ("morning", "head-back-above-bud")


async def test_enter_on_a_job_of_another_time_says_why(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "slash", *"taste the pears", "enter", "down", "enter")
        assert isinstance(sample.screen, ReadingScreen)
        assert "taste-pears/" in seen_on(sample)


async def test_w_on_a_twig_shows_all_its_stages(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "w")
        assert "full bloom" in seen_on(sample)


async def test_escape_takes_the_filter_away(sample, visit, press) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        rows = await visit(pilot)
        before = len(rows.rows)
        await press(pilot, "slash", *"zzz", "enter")
        none = len(rows.rows)
        await press(pilot, "escape")
        assert (none, len(rows.rows)) == (0, before)


async def test_the_view_as_text_is_the_strip(sample, visit) -> None:
    async with sample.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "plus", "a")
        lines = sample.screen.view_text().splitlines()
        assert lines[0].startswith("1 Mar to ")
        assert any("Cleft graft" in line and "▲" in line for line in lines)
        assert max(map(len, lines)) <= 80


async def test_y_copies_the_job_under_the_cursor(sample, visit, press) -> None:
    async with sample.run_test(size=(120, 40)) as pilot:
        rows = await visit(pilot, "a")
        rows.choose(next(row for row in rows.rows if row.startswith("suckers/")))
        await press(pilot, "y")
        assert "sucker" in sample.clipboard.splitlines()[0]


async def test_all_of_it_works_by_mouse_alone(sample, visit, at_rest, seen_on, press_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        rows = await visit(pilot)
        await press_on(pilot, "month")
        await at_rest(pilot)
        assert "[month]" in seen_on(sample)
        place = rows.rows.index("wood")
        await pilot.click(rows, offset=(20, place))
        await pilot.click(rows, offset=(20, place))
        await at_rest(pilot)
        assert rows.rows[place + 1].count("/") == 2


async def test_the_margin_of_a_part_folds_it_at_the_first_press(sample, visit, at_rest) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        rows = await visit(pilot)
        before = len(rows.rows)
        await pilot.click(rows, offset=(1, rows.rows.index("fruit")))
        await at_rest(pilot)
        assert len(rows.rows) > before


async def test_without_colours_every_state_is_still_told(visit, seen_on, monkeypatch, sample_folder) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Dashboard(Workbench.open(sample_folder), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot)
        shown = seen_on(app)
        assert "[season]" in shown
        assert "◇ grafting" in shown


async def test_names_from_files_are_inert(app, visit, seen_on) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "a")
        shown = seen_on(app)
        assert "Loosen [/b] the␛[2J raffia" in shown
        assert BRACKETS in shown


async def test_a_tick_in_morning_is_seen_in_season(app, visit, press, go_to, seen_on) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "slash", *"oil", "enter")
        await go_to(pilot, "own-gate/site/2026")
        await press(pilot, "space", "2")
        await pilot.pause(0.1)
        assert "✓ Oil the gate" in seen_on(app)


async def test_h_reads_the_report_of_the_last_crop_and_of_an_earlier_season_its_own(
    sample, visit, press, seen_on
) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "h")
        await pilot.pause(0.5)
        assert isinstance(sample.screen, ReadingScreen)
        assert "Report of season 2025" in seen_on(sample)  # in March 2026 the last crop is that of 2025
        await press(pilot, "escape", "left", "left")
        await pilot.pause(0.5)
        await press(pilot, "h")
        await pilot.pause(0.5)
        assert isinstance(sample.screen, ReadingScreen)
        assert "Report of season 2024" in seen_on(sample)
        await press(pilot, "h")
        assert not isinstance(sample.screen, ReadingScreen)
