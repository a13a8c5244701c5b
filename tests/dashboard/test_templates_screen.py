"""Templates by real key presses and mouse on the sample orchard: adjusting, previewing, saving, and taking back."""

from __future__ import annotations

import shutil
import threading
import tomllib
from datetime import date, timedelta
from pathlib import Path

import msgspec
import pytest
from textual.pilot import Pilot

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.reading import ReadingScreen
from tendwork.dashboard.screens.templates import TemplatesScreen
from tendwork.dashboard.screens.templates_leaving import LeavingScreen
from tendwork.dashboard.widgets.edit_line import EditLine
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.key_line import KeyLine, KeyWord
from tendwork.dashboard.widgets.moves_table import MovesTable
from tendwork.dashboard.widgets.template_list import SITE_ROW, TemplateList
from tendwork.dashboard.widgets.template_panel import FieldList, TemplatePanel
from tendwork.demo import demo_orchard
from tendwork.errors import PersonError
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.workbench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 4, 15)
SIZES = [(80, 24), (120, 40)]
CALENDAR = "let-in-light"  # from 1 Aug, best 10 Aug, until 31 Aug; late until 10 Sep
ABSENT = "taste-quince-medlar"


@pytest.fixture(scope="module")
def made_sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    sample_folder = demo_orchard(TODAY, tmp_path_factory.mktemp("templates") / "orchard")
    bench = Workbench.open(sample_folder)
    bench.plan(TODAY)
    bench.close()
    return sample_folder


@pytest.fixture
def sample_folder(made_sample: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made_sample, tmp_path / "sample"))


@pytest.fixture
def sample(sample_folder: Path) -> Dashboard:
    return Dashboard(Workbench.open(sample_folder), TODAY)


@pytest.fixture
def visit(at_rest, press):
    """Goes to Templates, with the cursor on one of them."""

    async def visit(pilot: Pilot, template: str = CALENDAR, *keys: str) -> TemplatesScreen:
        await at_rest(pilot)
        await press(pilot, "6")
        await pilot.pause(0.1)
        await at_rest(pilot)
        screen = pilot.app.screen
        assert isinstance(screen, TemplatesScreen)
        screen.query_one(TemplateList).choose(template)
        await press(pilot, *keys)
        return screen

    return visit


def written(sample_folder: Path) -> dict:
    file = sample_folder / "adjustments.toml"
    return tomllib.loads(file.read_text("utf-8")) if file.exists() else {}


def row_of(screen: TemplatesScreen, template: str) -> str:
    return str(screen.query_one(TemplateList).get_option(template).prompt)


def on_field(screen: TemplatesScreen, field: str) -> None:
    fields = screen.query_one(FieldList)
    fields.highlighted = fields.get_option_index(field)


def draft_of(app: Dashboard, template: str = CALENDAR) -> Adjustment:
    return app.draft.now.template.get(template, Adjustment())


def written_in(change: Adjustment) -> dict:
    return msgspec.to_builtins(change)


def opening(bench: Workbench, template: str = CALENDAR) -> date:
    return next(task.window.opens for task in bench.plan(TODAY).tasks if task.template == template)


async def test_every_template_in_force_stands_in_the_list_below_the_site(app, visit, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot)
        ids = [option.id for option in screen.query_one(TemplateList).options if not option.disabled]
        assert ids[0] == SITE_ROW
        assert sorted(ids[1:]) == sorted(held.id for held in Workbench.open(folder).templates().templates)


async def test_a_row_says_what_its_template_waits_for(app, visit) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        assert "1 Aug" in row_of(await visit(pilot), CALENDAR)


async def test_an_absent_template_says_so_with_the_condition(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, ABSENT)
        row = row_of(screen, ABSENT)
        assert row.startswith(" ▫ ")
        assert row.endswith("absent")
        assert "Absent this season: No graft has the species quince or medlar." in seen_on(sample)


@pytest.mark.parametrize("size", SIZES)
async def test_the_panel_says_window_units_weather_and_effort(sample, visit, seen_on, size) -> None:
    async with sample.run_test(size=size) as pilot:
        await visit(pilot)
        words = " ".join(" ".join(line.split("▌")[-1].split()) for line in seen_on(sample).splitlines())
        assert "From 1 Aug, best 10 Aug, until 31 Aug; late until 10 Sep." in words
        assert "For each graft of apple, pear, quince or medlar, set or took, in its first 2 seasons." in words
        assert "Wants a dry day, at most 35 °C; takes 5 min to set up, 3 min each." in words


async def test_w_reads_the_whole_template_with_note_and_source(app, visit, seen_on, folder) -> None:
    template = next(held for held in Workbench.open(folder).templates().templates if held.id == CALENDAR)
    async with app.run_test(size=(100, 50)) as pilot:
        await visit(pilot, CALENDAR, "w")
        assert isinstance(app.screen, ReadingScreen)
        assert template.source.split(",")[0] in seen_on(app)


async def test_the_filter_leaves_only_templates_with_the_words(sample, visit, press) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "slash", *"quince absent", "enter")
        ids = [option.id for option in screen.query_one(TemplateList).options if not option.disabled]
        assert ABSENT in ids
        assert CALENDAR not in ids
        await press(pilot, "escape")
        assert screen.query_one(FilterLine).words == ""


async def test_keys_move_the_chosen_field_by_a_day_or_a_week(app, visit) -> None:
    one, week = ("plus", "equals_sign", "right"), ("asterisk", "shift+right")
    back, week_back = ("minus", "left"), ("underscore", "shift+left")
    moved = [(keys, days) for group, days in ((one, 1), (week, 7), (back, -1), (week_back, -7)) for keys in group]
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "closes")
        days = []
        for key, _ in moved:
            before = draft_of(app).closes_later_days
            await pilot.press(key)
            days.append((key, draft_of(app).closes_later_days - before))
        assert days == moved
        assert set(written_in(draft_of(app))) == {"closes_later_days"}


async def test_from_the_list_a_key_moves_the_whole_window(app, visit) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus", "plus")
        assert draft_of(app) == Adjustment(
            opens_later_days=2, best_later_days=2, closes_later_days=2, lapses_later_days=2
        )


async def test_up_and_down_go_from_field_to_field_and_space_turns_a_yes(app, visit) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "enter", *["down"] * 6, "space")
        assert draft_of(app) == Adjustment(dry=False)


async def test_a_species_is_taken_away_by_enter(app, visit, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "species:medlar")
        await press(pilot, "enter")
        assert draft_of(app).species == ("apple", "pear", "quince")


async def test_a_key_that_cannot_change_a_field_says_why(app, visit) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "enter", "plus")
        assert app.notice.text == "This is yes or no: space or enter changes it."
        assert not app.draft.unsaved


@pytest.mark.parametrize("size", SIZES)
async def test_the_table_says_before_after_and_by_how_many_days(sample, visit, seen_on, size) -> None:
    async with sample.run_test(size=size) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "opens")
        await pilot.press("plus", "plus", "plus")
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        line = next(line for line in seen_on(sample).splitlines() if "1-31 Aug" in line)
        assert line.startswith(" Cut back what shades")
        assert line.split()[-7:] == ["1-31", "Aug", "4-31", "Aug", "+3", "d", "same"]


async def test_the_table_has_every_window_that_the_workbench_says_would_move(sample, visit, sample_folder) -> None:
    bench = Workbench.open(sample_folder)
    expected = bench.preview(Adjustments(SiteShift(degrees_c=2.0)), TODAY).moves
    async with sample.run_test(size=(120, 40)) as pilot:
        screen = await visit(pilot, SITE_ROW, "enter", "asterisk", "asterisk")
        shown = [option for option in screen.query_one(MovesTable).query_one("#windows").options if not option.disabled]
        assert len(shown) == len(expected) > 20


async def test_what_enters_this_week_is_counted_and_stands_first(sample, visit, seen_on, sample_folder) -> None:
    week_earlier = Adjustment(opens_later_days=-7, best_later_days=-7, closes_later_days=-7, lapses_later_days=-7)
    moves = Workbench.open(sample_folder).preview(Adjustments(template={"check-take": week_earlier}), TODAY).moves
    entering = sum(move.week == "enters" for move in moves)
    async with sample.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "check-take", "underscore")
        shown = seen_on(sample)
        assert f"{entering} jobs enter this week" in shown
        rows = shown.splitlines()
        head = next(number for number, line in enumerate(rows) if line.startswith(" job "))
        assert rows[head + 1].startswith(f" Enters this week  {entering}")


async def test_a_held_key_asks_for_few_previews_and_the_newest_wins(app, visit, bench_of, monkeypatch) -> None:
    asked: list[int] = []
    bench, preview = bench_of(app), bench_of(app).preview

    def counted(after: Adjustments, today: date):
        asked.append(after.template[CALENDAR].opens_later_days)
        return preview(after, today)

    monkeypatch.setattr(bench, "preview", counted)
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, *["plus"] * 12)
        assert asked[-1] == 12
        assert len(asked) <= 3


async def test_the_screen_does_not_wait_for_the_preview(app, visit, bench_of, monkeypatch, seen_on) -> None:
    go, begun = threading.Event(), threading.Event()
    bench, preview = bench_of(app), bench_of(app).preview

    def slow(after: Adjustments, today: date):
        begun.set()
        assert go.wait(20)
        return preview(after, today)

    monkeypatch.setattr(bench, "preview", slow)
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


async def test_nothing_is_written_until_it_is_saved(app, visit, seen_on, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        assert "Unsaved changes: 1 template." in seen_on(app)
        assert row_of(app.screen, CALENDAR).endswith("unsaved")
        assert written(folder) == {}


async def test_saving_writes_only_the_changed_values(app, visit, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "max_c")
        await press(pilot, "minus", "ctrl+s")
        assert written(folder) == {"template": {CALENDAR: {"max_c": 34.0}}}
        assert not app.draft.unsaved
        assert row_of(screen, CALENDAR).startswith(" ± ")
        assert row_of(screen, CALENDAR).endswith("adjusted")


async def test_after_saving_the_plan_is_new_and_why_names_the_adjustment(sample, visit, sample_folder) -> None:
    before = opening(Workbench.open(sample_folder))
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "asterisk", "ctrl+s")
        assert sample.state.plan is not None
        task = next(task for task in sample.state.plan.tasks if task.template == CALENDAR)
        assert task.window.opens == before + timedelta(days=7)
        assert any("opens 7 days later" in reason for reason in task.because)


async def test_u_takes_back_the_last_change_and_then_the_one_before(app, visit, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus", "space", "u")
        assert draft_of(app).off is False
        assert draft_of(app).opens_later_days == 1
        await press(pilot, "u")
        assert not app.draft.unsaved


async def test_u_takes_back_the_last_save_and_every_date_with_it(sample, visit, press, sample_folder) -> None:
    before = opening(Workbench.open(sample_folder))
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "asterisk", "ctrl+s", "u")
        assert written(sample_folder) == {}
        assert opening(Workbench.open(sample_folder)) == before
        await press(pilot, "u")
        assert sample.notice.text.startswith("There is nothing to take back")


async def test_o_puts_a_field_back_and_from_the_list_the_template(app, visit, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "plus", "enter")
        on_field(screen, "opens")
        await press(pilot, "o")
        assert draft_of(app) == Adjustment(best_later_days=1, closes_later_days=1, lapses_later_days=1)
        await press(pilot, "escape", "o")
        assert draft_of(app) == Adjustment()


async def test_all_own_puts_back_every_template_and_the_site(app, visit, press, folder) -> None:
    Workbench.open(folder).adjust(
        Adjustments(SiteShift(days=3.0), {CALENDAR: Adjustment(off=True), ABSENT: Adjustment(opens_later_days=1)})
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "O")
        assert written(folder) != {}
        await press(pilot, "ctrl+s")
        assert written(folder) == {}


async def test_a_template_left_out_says_so_and_gives_no_job(sample, visit) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "space", "ctrl+s")
        assert row_of(screen, CALENDAR).endswith("left out")
        assert not any(task.template == CALENDAR for task in sample.state.plan.tasks)


async def test_the_site_is_shifted_by_degrees_or_height_or_days_never_by_two(app, visit, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, SITE_ROW, "enter", "asterisk", "plus", "ctrl+s")
        assert written(folder) == {"site": {"degrees_c": 1.1}}
        await press(pilot, "down", "asterisk", "ctrl+s")
        assert written(folder) == {"site": {"elevation_m": 100.0}}
        await press(pilot, "down", "minus", "ctrl+s")
        assert written(folder) == {"site": {"days": -1.0}}


async def test_the_sites_shift_stands_on_top(app, visit, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, SITE_ROW, "enter", "asterisk", "ctrl+s", "escape")
        assert "site 1 °C colder" in seen_on(app).splitlines()[1]


async def test_leaving_the_screen_keeps_what_is_unsaved(app, visit, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        await press(pilot, "1", "6")
        await pilot.pause(0.1)
        assert draft_of(app).opens_later_days == 1


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_leaving_the_program_asks_once(app, visit, press, folder, key) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        await press(pilot, "1", key)
        assert isinstance(app.screen, LeavingScreen)
        await press(pilot, "escape")
        await pilot.pause(0.1)
        assert isinstance(app.screen, TemplatesScreen)
        await press(pilot, key, "down", "enter")
    assert not app.is_running
    assert written(folder) == {}


async def test_leaving_can_save_first(app, visit, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        await press(pilot, "q", "enter")
    assert written(folder)["template"][CALENDAR]["opens_later_days"] == 1


async def test_nothing_unsaved_is_left_without_a_question(app, visit, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus", "minus")
        await press(pilot, "q")
    assert not app.is_running


async def test_what_another_process_wrote_meanwhile_stays(app, visit, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        Workbench.open(folder).adjust(Adjustments(template={ABSENT: Adjustment(off=True)}))
        await press(pilot, "ctrl+s")
        assert set(written(folder)["template"]) == {CALENDAR, ABSENT}


async def test_a_save_that_cannot_be_is_one_sentence_and_the_draft_stays(app, visit, bench_of, monkeypatch) -> None:
    def fail(_: Adjustments) -> None:
        raise PersonError("adjustments.toml cannot be written: no space is left.")

    monkeypatch.setattr(bench_of(app), "adjust", fail)
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus", "ctrl+s")
        assert (app.notice.text, app.notice.trouble) == (
            "adjustments.toml cannot be written: no space is left.",
            True,
        )
        assert app.draft.unsaved


async def test_the_mouse_alone_adjusts_and_saves(app, visit, at_rest, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, "read-verdicts")
        held = screen.query_one(TemplateList)
        row = held.get_option_index("choose-varieties") - round(held.scroll_y)
        await pilot.click(TemplateList, offset=(10, row))
        await pilot.click(TemplateList, offset=(10, row))
        await at_rest(pilot)
        await pilot.click(FieldList, offset=(10, 2))
        await pilot.click(word(screen.query_one(EditLine), "much more"))
        await pilot.click(word(screen.query_one(EditLine), "less"))
        await at_rest(pilot)
        await pilot.click(word(screen.query_one(KeyLine), "save"))
        await at_rest(pilot)
        assert written(folder) == {"template": {"choose-varieties": {"opens_later_days": 6}}}


async def test_the_mouse_alone_turns_a_yes(app, visit, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        await pilot.click(FieldList, offset=(10, 0))
        await at_rest(pilot)
        assert draft_of(app).off
        assert "no, left out" in str(screen.query_one(FieldList).get_option("use").prompt)


async def test_on_a_narrow_terminal_the_fields_take_the_place_of_the_list(app, visit, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        assert not screen.query_one(TemplateList).region
        await press(pilot, "escape")
        assert screen.query_one(TemplateList).region.height >= 8


async def test_on_a_wide_terminal_list_and_panel_stand_side_by_side(app, visit) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        assert screen.query_one(TemplatePanel).region.x >= screen.query_one(TemplateList).region.right


@pytest.mark.parametrize("size", [*SIZES, (60, 20)])
async def test_the_field_under_the_cursor_is_always_in_sight(app, visit, size) -> None:
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


async def test_y_copies_the_chosen_template_as_text(app, visit) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "y")
        assert app.clipboard.startswith("Cut back what shades the young grafts (let-in-light)")


async def test_names_from_files_are_shown_as_they_are_written(app, visit, seen_on) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "own-unwrap")
        shown = seen_on(app)
        assert "Loosen [/b] the␛[2J raffia" in shown
        assert "\x1b" not in shown


async def test_without_colours_every_state_is_still_told(folder, visit, monkeypatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Dashboard(Workbench.open(folder), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "plus", "ctrl+s")
        assert row_of(screen, CALENDAR).startswith(" ± ")
        assert row_of(screen, CALENDAR).endswith("adjusted")


@pytest.fixture
def bench_of():
    return lambda app: app._bench


def word(line: EditLine | KeyLine, label: str) -> KeyWord:
    return next(held for held in line.query(KeyWord) if held._action.label == label)
