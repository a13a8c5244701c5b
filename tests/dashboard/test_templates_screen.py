"""Templates by real key presses and mouse on the sample orchard: rows, panel, the table of moves, every size."""

from __future__ import annotations

import threading
from datetime import date

import pytest
from templates_visits import ABSENT, CALENDAR, bench_of, draft_of, on_field, row_of, visit

from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.moves_table import MovesTable
from tendwork.dashboard.widgets.template_list import SITE_ROW, TemplateList
from tendwork.dashboard.widgets.template_panel import FieldList, TemplatePanel
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 4, 15)
SIZES = [(80, 24), (120, 40)]


async def test_every_template_in_force_stands_in_the_list_below_the_site(app, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot)
        ids = [option.id for option in screen.query_one(TemplateList).options if not option.disabled]
        assert ids[0] == SITE_ROW
        assert sorted(ids[1:]) == sorted(held.id for held in Workbench.open(folder).templates.loaded().templates)


async def test_a_row_says_what_its_template_waits_for(app) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        assert "the earlier of 7 days af" in row_of(await visit(pilot), CALENDAR)
        assert "1 Nov" in row_of(await visit(pilot, "read-verdicts"), "read-verdicts")


async def test_an_absent_template_says_so_with_the_condition(sample, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, ABSENT)
        row = row_of(screen, ABSENT)
        assert row.startswith(" ▫ ")
        assert row.endswith("absent")
        assert "Absent this season: No graft has the species quince." in seen_on(sample)


@pytest.mark.parametrize("size", SIZES)
async def test_the_panel_says_window_units_weather_and_effort(sample, seen_on, size) -> None:
    async with sample.run_test(size=size) as pilot:
        await visit(pilot)
        words = " ".join(" ".join(line.split("▌")[-1].split()) for line in seen_on(sample).splitlines())
        assert (
            "From the earlier of 7 days after shoot stop and 70 days before leaf fall, best 7 days after that" in words
        )
        about = "For each graft of apple, pear, quince or medlar, set or took, but no bridge, no bud and no bench graft"
        assert about in words
        assert "Wants a dry day, at most 35 °C; takes 5 min to set up, 3 min each." in words


async def test_w_reads_the_whole_template_with_note_and_source(app, seen_on, folder) -> None:
    template = next(held for held in Workbench.open(folder).templates.loaded().templates if held.id == CALENDAR)
    async with app.run_test(size=(100, 50)) as pilot:
        await visit(pilot, CALENDAR, "w")
        assert isinstance(app.screen, ReadingScreen)
        assert template.source.split(",")[0] in seen_on(app)


async def test_the_filter_leaves_only_templates_with_the_words(sample, press) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "slash", *"quince absent", "enter")
        ids = [option.id for option in screen.query_one(TemplateList).options if not option.disabled]
        assert ABSENT in ids
        assert CALENDAR not in ids
        await press(pilot, "escape")
        assert screen.query_one(FilterLine).words == ""


@pytest.mark.parametrize("size", SIZES)
async def test_the_table_says_before_after_and_by_how_many_days(sample, seen_on, size) -> None:
    async with sample.run_test(size=size) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "opens")
        await pilot.press("plus", "plus", "plus")
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        line = next(line for line in seen_on(sample).splitlines() if "14 Aug-2 Sep" in line)
        assert line.startswith(" Cut back what shades")
        assert line.split()[-8:] == ["Aug-2", "Sep", "17", "Aug-2", "Sep", "+3", "d", "same"]


async def test_the_table_has_every_window_that_the_workbench_says_would_move(sample, sample_folder) -> None:
    bench = Workbench.open(sample_folder)
    expected = bench.plan.preview(Adjustments(SiteShift(degrees_c=2.0)), TODAY).moves
    async with sample.run_test(size=(120, 40)) as pilot:
        screen = await visit(pilot, SITE_ROW, "enter", "asterisk", "asterisk")
        shown = [option for option in screen.query_one(MovesTable).query_one("#windows").options if not option.disabled]
        assert len(shown) == len(expected) > 20


async def test_what_enters_this_week_is_counted_and_stands_first(sample, seen_on, sample_folder) -> None:
    week_earlier = Adjustment(opens_later_days=-7, best_later_days=-7, closes_later_days=-7, lapses_later_days=-7)
    moves = Workbench.open(sample_folder).plan.preview(Adjustments(template={"check-take": week_earlier}), TODAY).moves
    entering = sum(move.week == "enters" for move in moves)
    async with sample.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "check-take", "underscore")
        shown = seen_on(sample)
        assert f"{entering} jobs enter this week" in shown
        rows = shown.splitlines()
        head = next(number for number, line in enumerate(rows) if line.startswith(" job "))
        assert rows[head + 1].startswith(f" Enters this week  {entering}")


async def test_a_held_key_asks_for_few_previews_and_the_newest_wins(app, monkeypatch) -> None:
    asked: list[int] = []
    plans, preview = bench_of(app).plan, bench_of(app).plan.preview

    def counted(after: Adjustments, today: date):
        asked.append(after.template[CALENDAR].opens_later_days)
        return preview(after, today)

    monkeypatch.setattr(plans, "preview", counted)
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, *["plus"] * 12)
        assert asked[-1] == 12
        assert len(asked) <= 3


async def test_the_screen_does_not_wait_for_the_preview(app, monkeypatch, seen_on) -> None:
    go, begun = threading.Event(), threading.Event()
    plans, preview = bench_of(app).plan, bench_of(app).plan.preview

    def slow(after: Adjustments, today: date):
        begun.set()
        assert go.wait(20)
        return preview(after, today)

    monkeypatch.setattr(plans, "preview", slow)
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot)
        await pilot.press("plus")
        while not begun.is_set():
            await pilot.pause(0.05)
        await pilot.press("plus", "plus")
        await pilot.pause()
        shown = seen_on(app)
        go.set()
        assert draft_of(app).opens_later_days == 3
        assert "Working out what would move." in shown


async def test_the_mouse_alone_turns_a_yes(app, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        await pilot.click(FieldList, offset=(10, 0))
        await at_rest(pilot)
        assert draft_of(app).off
        assert "no, left out" in str(screen.query_one(FieldList).get_option("use").prompt)


async def test_on_a_narrow_terminal_the_fields_take_the_place_of_the_list(app, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        assert not screen.query_one(TemplateList).region
        await press(pilot, "escape")
        assert screen.query_one(TemplateList).region.height >= 8


async def test_on_a_wide_terminal_list_and_panel_stand_side_by_side(app) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        assert screen.query_one(TemplatePanel).region.x >= screen.query_one(TemplateList).region.right


@pytest.mark.parametrize("size", [*SIZES, (60, 20)])
async def test_the_field_under_the_cursor_is_always_in_sight(app, size) -> None:
    async with app.run_test(size=size) as pilot:
        screen = await visit(pilot, "choose-one-shoot", "plus", "enter")
        fields, panel = screen.query_one(FieldList), screen.query_one(TemplatePanel)
        for _ in range(fields.option_count // 3 + 1):
            line = fields.region.y + fields.highlighted
            assert panel.region.y <= line < panel.region.bottom
            await pilot.press("down", "down", "down")
            await pilot.pause()


async def test_templates_that_cannot_be_read_are_one_sentence(app, at_rest, press, seen_on, folder) -> None:
    own = folder / "templates" / "own.toml"
    own.write_text(own.read_text("utf-8").replace('part = "upkeep"', 'part = "upkep"'), encoding="utf-8")
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "6")
        await pilot.pause(0.1)
        await at_rest(pilot)
        assert "The templates cannot be read as they are." in seen_on(app)
        assert "own.toml" in seen_on(app)


async def test_y_copies_the_chosen_template_as_text(app) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "y")
        assert app.clipboard.startswith("Cut back what shades the young grafts (let-in-light)")


async def test_names_from_files_are_shown_as_they_are_written(app, seen_on) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "own-unwrap")
        shown = seen_on(app)
        assert "Loosen [/b] the␛[2J raffia" in shown
        assert "\x1b" not in shown
