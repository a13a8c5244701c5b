"""Templates adjusted, saved, taken back and left by real key presses and mouse: nothing is kept until it is saved."""

from __future__ import annotations

from datetime import date, timedelta

import msgspec
import pytest
from settling import settled
from templates_visits import ABSENT, CALENDAR, bench_of, draft_of, on_field, row_of, visit, written

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.templates import TemplatesScreen
from tendwork.dashboard.screens.templates_leaving import LeavingScreen, LosingScreen
from tendwork.dashboard.widgets.template_list import SITE_ROW, TemplateList
from tendwork.dashboard.widgets.template_panel import FieldList
from tendwork.errors import PersonError
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)


class SilentTicker:
    """Never looks what others wrote."""

    def start(self, seconds: float, job: object, trouble: object) -> None:
        del seconds, job, trouble

    def stop(self) -> None:
        pass


def opening(bench: Workbench) -> date:
    return next(task.window.opens for task in bench.plan.of(TODAY).plan.tasks if task.template == CALENDAR)


async def test_keys_move_the_chosen_field_by_a_day_or_a_week(app) -> None:
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
        assert set(msgspec.to_builtins(draft_of(app))) == {"closes_later_days"}


async def test_from_the_list_a_key_moves_the_whole_window(app) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus", "plus")
        assert draft_of(app) == Adjustment(
            opens_later_days=2, best_later_days=2, closes_later_days=2, lapses_later_days=2
        )


async def test_up_and_down_go_from_field_to_field_and_space_turns_a_yes(app) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "enter", *["down"] * 6, "space")
        assert draft_of(app) == Adjustment(dry=False)


async def test_a_species_is_taken_away_by_enter(app, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "species:medlar")
        await press(pilot, "enter")
        assert draft_of(app).species == ("apple", "pear", "quince")


async def test_a_key_that_cannot_change_a_field_says_why(app) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "enter", "plus")
        assert app.notice.text == "This is yes or no: enter changes it."
        assert app.draft is not None
        assert not app.draft.unsaved


async def test_nothing_is_written_until_it_is_saved(app, seen_on, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        assert "Unsaved changes: 1 template." in seen_on(app)
        assert row_of(app.screen, CALENDAR).endswith("unsaved")
        assert written(folder) == {}


async def test_saving_writes_only_the_changed_values(app, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "max_c")
        await press(pilot, "minus", "ctrl+s")
        assert written(folder) == {"template": {CALENDAR: {"max_c": 34.0}}}
        assert app.draft is not None
        assert not app.draft.unsaved
        assert row_of(screen, CALENDAR).startswith(" ± ")
        assert row_of(screen, CALENDAR).endswith("adjusted")


async def test_after_saving_the_plan_is_new_and_why_names_the_adjustment(app, folder) -> None:
    before = opening(Workbench.open(folder))
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "asterisk", "ctrl+s")
        assert app.state.plan is not None
        task = next(task for task in app.state.plan.tasks if task.template == CALENDAR)
        assert task.window.opens == before + timedelta(days=7)
        assert any("opens 7 days later" in reason for reason in task.because)


async def test_u_takes_back_the_last_change_and_then_the_one_before(app, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus", "space", "u")
        assert draft_of(app).off is False
        assert draft_of(app).opens_later_days == 1
        await press(pilot, "u")
        assert app.draft is not None
        assert not app.draft.unsaved


async def test_u_takes_back_the_last_save_and_every_date_with_it(app, press, folder) -> None:
    before = opening(Workbench.open(folder))
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "asterisk", "ctrl+s", "u")
        assert written(folder) == {}
        assert opening(Workbench.open(folder)) == before
        await press(pilot, "u")
        assert app.notice.text.startswith("There is nothing to undo")


async def test_o_puts_a_field_back_and_from_the_list_the_template(app, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "plus", "enter")
        on_field(screen, "opens")
        await press(pilot, "o")
        assert draft_of(app) == Adjustment(best_later_days=1, closes_later_days=1, lapses_later_days=1)
        await press(pilot, "escape", "o")
        assert draft_of(app) == Adjustment()


async def test_all_own_puts_back_every_template_and_the_site(app, press, folder) -> None:
    Workbench.open(folder).templates.adjust(
        Adjustments(),
        Adjustments(SiteShift(days=3.0), {CALENDAR: Adjustment(off=True), ABSENT: Adjustment(opens_later_days=1)}),
        TODAY,
    )
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "O")
        assert written(folder) != {}
        await press(pilot, "ctrl+s")
        assert written(folder) == {}


async def test_a_template_left_out_says_so_and_gives_no_job(app) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "space", "ctrl+s")
        assert row_of(screen, CALENDAR).endswith("left out")
        assert not any(task.template == CALENDAR for task in app.state.plan.tasks)


async def test_the_site_is_shifted_by_degrees_or_height_or_days_never_by_two(app, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, SITE_ROW, "enter", "asterisk", "plus", "ctrl+s")
        assert written(folder) == {"site": {"degrees_c": 1.1}}
        await press(pilot, "down", "asterisk", "ctrl+s")
        assert written(folder) == {"site": {"elevation_m": 100.0}}
        await press(pilot, "down", "minus", "ctrl+s")
        assert written(folder) == {"site": {"days": -1.0}}


async def test_the_sites_shift_stands_on_top(app, seen_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, SITE_ROW, "enter", "asterisk", "ctrl+s", "escape")
        assert "site 1 °C colder" in seen_on(app).splitlines()[1]


async def test_leaving_the_screen_keeps_what_is_unsaved(app, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        await press(pilot, "1", "6")
        await pilot.pause(0.1)
        assert draft_of(app).opens_later_days == 1


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_leaving_the_program_asks_once(app, press, folder, key) -> None:
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


async def test_leaving_can_save_first(app, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        await press(pilot, "q", "enter")
    assert written(folder)["template"][CALENDAR]["opens_later_days"] == 1


async def test_nothing_unsaved_is_left_without_a_question(app, press) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus", "minus")
        await press(pilot, "q")
    assert not app.is_running


async def test_what_another_process_wrote_meanwhile_stays(app, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        Workbench.open(folder).templates.adjust(
            Adjustments(), Adjustments(template={ABSENT: Adjustment(off=True)}), TODAY
        )
        await press(pilot, "ctrl+s")
        assert set(written(folder)["template"]) == {CALENDAR, ABSENT}


async def test_another_value_of_the_same_template_that_another_process_wrote_meanwhile_stays(
    app, press, folder
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus")
        theirs = Adjustments(template={CALENDAR: Adjustment(minutes_each=7.5)})
        Workbench.open(folder).templates.adjust(Adjustments(), theirs, TODAY)
        await press(pilot, "ctrl+s")
        assert written(folder)["template"][CALENDAR] == {
            "opens_later_days": 1,
            "best_later_days": 1,
            "closes_later_days": 1,
            "lapses_later_days": 1,
            "minutes_each": 7.5,
        }


async def test_a_value_that_another_process_changed_meanwhile_is_not_written_over_unasked(bench, press, folder) -> None:
    app = Dashboard(bench, TODAY, SilentTicker())
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "opens")
        await press(pilot, "plus")
        theirs = Adjustments(template={CALENDAR: Adjustment(opens_later_days=-3)})
        Workbench.open(folder).templates.adjust(Adjustments(), theirs, TODAY)
        before = (folder / "adjustments.toml").read_bytes()
        await press(pilot, "ctrl+s")
        assert (folder / "adjustments.toml").read_bytes() == before
        assert app.notice.trouble
        assert app.notice.text.startswith(f"adjustments.toml: template.{CALENDAR}.opens_later_days has been changed")
        app._folder_turned()  # the other process is noticed: the draft is laid over what it wrote
        await settled(pilot)
        assert "is not saved yet" in app.notice.text
        await press(pilot, "ctrl+s")
        assert written(folder)["template"][CALENDAR] == {"opens_later_days": 1}


async def test_a_save_that_cannot_be_is_one_sentence_and_the_draft_stays(app, monkeypatch) -> None:
    def fail(*_: object) -> None:
        raise PersonError("adjustments.toml cannot be written: no space is left.")

    monkeypatch.setattr(bench_of(app).templates, "adjust", fail)
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, CALENDAR, "plus", "ctrl+s")
        assert (app.notice.text, app.notice.trouble) == (
            "adjustments.toml cannot be written: no space is left.",
            True,
        )
        assert app.draft is not None
        assert app.draft.unsaved


async def test_the_mouse_alone_adjusts_and_saves(app, at_rest, folder, press_on) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, "read-verdicts")
        held = screen.query_one(TemplateList)
        row = held.get_option_index("choose-varieties") - round(held.scroll_y)
        await pilot.click(TemplateList, offset=(10, row))
        await pilot.click(TemplateList, offset=(10, row))
        await at_rest(pilot)
        await pilot.click(FieldList, offset=(10, 2))
        await press_on(pilot, "much more")
        await press_on(pilot, "- less", "EditLine")
        await at_rest(pilot)
        await press_on(pilot, "save")
        await at_rest(pilot)
        assert written(folder) == {"template": {"choose-varieties": {"opens_later_days": 6}}}


async def test_without_colours_every_state_is_still_told(folder, monkeypatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Dashboard(Workbench.open(folder), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "plus", "ctrl+s")
        assert row_of(screen, CALENDAR).startswith(" ± ")
        assert row_of(screen, CALENDAR).endswith("adjusted")


async def test_a_change_that_takes_jobs_away_is_asked_about_before_it_is_saved(
    app, press, seen_on, seen_with, folder
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "species:apple")
        await press(pilot, "enter")
        assert "This takes jobs away: " in await seen_with(pilot, "This takes jobs away: ")
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, LosingScreen)
        assert "(the only one)" in seen_on(app)
        await press(pilot, "enter")
        assert (written(folder), app.notice.text) == ({}, "Nothing was saved.")
        await press(pilot, "ctrl+s", "up", "enter")
        assert "apple" not in written(folder)["template"][CALENDAR]["species"]


async def test_saving_before_leaving_asks_as_well(app, press, folder) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await visit(pilot, CALENDAR, "enter")
        on_field(screen, "species:apple")
        await press(pilot, "enter", "q", "enter")
        assert isinstance(app.screen, LosingScreen)
        await press(pilot, "escape")
        await pilot.pause(0.1)
        assert isinstance(app.screen, TemplatesScreen)
        assert written(folder) == {}
        await press(pilot, "q", "enter", "up", "enter")
    assert not app.is_running
    assert "apple" not in written(folder)["template"][CALENDAR]["species"]
