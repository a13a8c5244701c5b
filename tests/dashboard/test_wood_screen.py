"""Wood: age and days left, what presses, the balance, and every act one that goes back."""

from __future__ import annotations

import shutil
from datetime import date

import pytest
from msgspec.structs import replace
from record_screens import TODAY, go, open_screen, plan_lost_lamp, record_app, write
from settling import until

from tendwork.dashboard.screens.form import FormScreen
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.workbench.bench import Workbench

__all__ = ["record_app"]

pytestmark = pytest.mark.anyio

SIZES = [(80, 24), (120, 40), (60, 20)]


def words_in(app, part: str) -> str:
    return app.screen.query_one(f"#{part}").render().plain


def bundle(app, identity: str):
    return next(wood for wood in app.state.records.wood if wood.id == identity)


@pytest.mark.parametrize("size", SIZES)
async def test_bundles_stand_with_their_sticks_and_the_time_they_keep(record_app, seen_on, size) -> None:
    async with record_app.run_test(size=size) as pilot:
        await open_screen(pilot, "4")
        shown = seen_on(record_app)
        # Cut on 20 January, 81 days before; apple wood counts for 152 days: 71 days are 10 weeks.
        (line,) = [line for line in shown.splitlines() if " w1 " in line[:8]]
        assert "Green Lamp" in line
        assert "10 weeks" in line
        assert "Old [red]Lamp[/x]" in shown


async def test_the_chosen_bundle_says_whence_where_and_for_whom(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        await go(pilot, "slash", *"green", "enter")
        told = " ".join(words_in(record_app, "life_text").split())
        assert told.startswith(
            "4 sticks; fresh, 12 weeks old, 10 weeks left; from R. Dale; kept fridge; 1 promised to P. Weir."
        )


async def test_the_balance_counts_needed_held_promised_and_free(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        await go(pilot, "right")
        (line,) = [line for line in seen_on(record_app).splitlines() if line.startswith("  Green Lamp")]
        # One graft is planned, which takes one stick; 4 are held, 1 promised: 4 - 1 - 1 = 2 are free.
        assert line.split()[2:] == ["✓", "1", "1", "4", "1", "2"]


async def test_what_is_missing_stands_first_on_the_balance_and_above_both_pages(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await plan_lost_lamp(pilot)
        await open_screen(pilot, "4")
        warned = words_in(record_app, "warnings")
        await go(pilot, "right")
        assert warned.startswith("Lost Lamp (apple): 1 stick missing for 1 planned graft.")
        assert record_app.screen.query_one(RowList).chosen == "apple/Lost Lamp"
        assert "Planned: g8 on Hill apple" in words_in(record_app, "life_text")


async def test_left_goes_back_a_page_and_a_press_on_a_name_goes_to_it(record_app, press_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        await go(pilot, "left")
        one = record_app.screen.page
        await press_on(pilot, "Bundles")
        await pilot.pause()
        assert (one, record_app.screen.page) == ("Balance", "Bundles")


async def test_a_bundle_is_added_changed_split_and_removed_and_all_of_it_goes_back(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        before = record_app.state.records
        await go(pilot, "a")
        await write(pilot, "New Lamp")
        await go(pilot, "enter")
        await write(pilot, "pea")
        await go(pilot, "enter")
        await write(pilot, "6")
        await go(pilot, "ctrl+s")
        added = bundle(record_app, "w4")
        await go(pilot, "slash", *"new", "enter", "l")
        await write(pilot, "2")
        await go(pilot, "enter")
        await go(pilot, "e", "tab", "tab", "tab", "tab", "tab")
        await write(pilot, "sand")
        await go(pilot, "ctrl+s")
        changed = bundle(record_app, "w4")
        await go(pilot, "x")
        assert (added.variety, added.species, added.sticks) == ("New Lamp", "pear", 6)
        assert (changed.sticks, changed.kept) == (4, "sand pit")
        assert [wood.id for wood in record_app.state.records.wood] == ["w1", "w2", "w3", "w5"]
        await go(pilot, "u", "u", "u", "u")
        assert record_app.state.records == before


async def test_marked_bundles_change_together(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        await go(pilot, "asterisk", "e", "tab", "tab", "tab")
        await write(pilot, "cellar")
        await go(pilot, "ctrl+s")
        assert {wood.kept for wood in record_app.state.records.wood} == {"cellar"}
        assert [wood.sticks for wood in record_app.state.records.wood] == [4, 2, 3]


async def test_wood_cut_in_the_future_is_refused_and_what_was_written_stays(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        await go(pilot, "slash", *"far", "enter", "e", "tab", "tab", "tab", "down", "up", "ctrl+s")
        assert isinstance(record_app.screen, FormScreen)
        assert "in the future" in words_in(record_app, "fault")
        await go(pilot, "down", "ctrl+s")
        assert bundle(record_app, "w3").cut_on == date(2026, 4, 11)


async def test_a_check_that_nothing_asks_for_is_said_and_does_nothing(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        record_app.state = replace(record_app.state, plan_day=record_app.state.today)
        await go(pilot, "k")
        assert record_app.notice.text.startswith("No check of ")
        assert record_app.state.records.ticks == ()


async def test_everything_about_a_bundle_can_be_done_by_the_mouse(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        rows = record_app.screen.query_one(RowList)
        at = rows.rows.index("w2")
        for _ in range(2):
            await pilot.click(RowList, offset=(6, at))
            await pilot.pause()
        items = record_app.screen.query_one("#items")
        await pilot.click("#items", offset=(4, items.get_option_index("remove")))
        await until(pilot, lambda: len(record_app.state.records.wood) < 3)
        assert [wood.id for wood in record_app.state.records.wood] == ["w1", "w3"]


async def test_y_copies_what_there_is_to_know_about_the_row(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        await go(pilot, "y")
        bundle = record_app.screen.row.wood
        assert record_app.clipboard.startswith(f"{bundle.variety} ({bundle.id}), {bundle.species}\n")


FEBRUARY = date(2026, 2, 19)


async def test_a_check_of_stored_wood_is_ticked_where_the_wood_is_seen(
    sample_of, tmp_path, at_rest, monkeypatch
) -> None:
    from tendwork.dashboard.app import Dashboard

    folder = shutil.copytree(sample_of(FEBRUARY), tmp_path / "orchard")
    app = Dashboard(Workbench.open(folder), FEBRUARY)
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        asked = {
            unit.id for task in app.state.jobs if task.template == "check-wood" for unit in task.units
            if unit.state in ("open", "closing", "late")
        }  # fmt: skip
        monkeypatch.setattr(Dashboard, "replan", lambda *_: None)
        await open_screen(pilot, "4")
        wanted = sorted(asked)[0]
        before = len(app.state.records.ticks)
        await go(pilot, "slash", *wanted, "enter", "k", "1")
        newest = app.state.records.ticks[before:]
        assert [(tick.unit, tick.outcome) for tick in newest] == [(wanted, "all well")]
        assert app.screen.row.checks[-1].day == FEBRUARY


async def test_a_bundle_of_a_sick_tree_is_barred_and_says_why(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        bench = record_app._bench
        bench.records.entries.note("troubles", "t1", {"what": "canker", "day": "2026-04-01"}, TODAY)
        record_app.state = replace(record_app.state, records=bench.records.read())
        await open_screen(pilot, "4")
        (line,) = [line for line in seen_on(record_app).splitlines() if " w2 " in line[:8]]
        assert "barred" in line
        await go(pilot, "slash", *"red", "enter")
        told = " ".join(words_in(record_app, "life_text").split())
        assert "barred: canker was seen on t1 on 1 Apr; use none of it, and give none away" in told


async def test_the_head_lines_are_cut_for_the_width_that_the_terminal_has_now(record_app) -> None:
    async with record_app.run_test(size=(40, 24)) as pilot:
        await plan_lost_lamp(pilot)
        await open_screen(pilot, "4")
        assert "…" in words_in(record_app, "warnings")
        await pilot.resize_terminal(180, 24)
        await until(pilot, lambda: "…" not in words_in(record_app, "warnings"))
        assert words_in(record_app, "warnings").startswith("Lost Lamp (apple): 1 stick missing for 1 planned graft.")
        assert "…" not in words_in(record_app, "warnings")
