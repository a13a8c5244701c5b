"""Wood that others are to give: what was asked, what was answered and what came, by keys and by mouse."""

from __future__ import annotations

from datetime import date

import pytest
from record_screens import TODAY, go, open_screen, plan_lost_lamp, record_app, write
from settling import until

from tendwork.dashboard.widgets.row_list import RowList

__all__ = ["record_app"]

pytestmark = pytest.mark.anyio

SIZES = [(80, 24), (120, 40), (60, 20)]


def bundle(app, identity: str):
    return next(wood for wood in app.state.records.wood if wood.id == identity)


def line_of(shown: str, identity: str) -> str:
    (line,) = [line for line in shown.splitlines() if f" {identity} " in line[:8]]
    return line


@pytest.mark.parametrize("size", SIZES)
async def test_w_notes_the_asking_and_v_the_answer_and_the_row_says_so(record_app, seen_on, size) -> None:
    async with record_app.run_test(size=size) as pilot:
        await open_screen(pilot, "4")
        assert "to ask" in line_of(seen_on(record_app), "w3")
        await go(pilot, "slash", *"far", "enter", "w", "ctrl+s")
        assert (bundle(record_app, "w3").asked_on, bundle(record_app, "w3").came_from) == (TODAY, "A. Holt")
        assert "asked" in line_of(seen_on(record_app), "w3")
        await go(pilot, "v")
        await write(pilot, "pro")
        await go(pilot, "ctrl+s")
        assert bundle(record_app, "w3").answer == "promised"
        assert "coming" in line_of(seen_on(record_app), "w3")
        told = " ".join(record_app.screen.query_one("#life_text").render().plain.split())
        assert told.startswith("3 sticks; not cut yet; from A. Holt; asked for Sat 11 Apr, promised")
        await go(pilot, "u", "u")
        assert bundle(record_app, "w3").asked_on is None
        assert "to ask" in line_of(seen_on(record_app), "w3")


async def test_what_came_has_a_day_and_what_is_said_of_its_mother_tree(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        await go(pilot, "slash", *"far", "enter", "w", "ctrl+s", "v", "tab", "tab", "down", "tab")
        await write(pilot, "14")
        await go(pilot, "tab")
        await write(pilot, "said")
        await go(pilot, "ctrl+s")
        held = bundle(record_app, "w3")
        assert (held.cut_on, held.mother_years, held.mother_health) == (TODAY, 14, "said healthy")
        assert "fresh" in line_of(seen_on(record_app), "w3")
        told = " ".join(record_app.screen.query_one("#life_text").render().plain.split())
        assert "mother tree 14 years old, said healthy" in told
        assert "take wood from the youngest healthy source" in told


async def test_on_the_balance_w_asks_for_what_a_variety_is_short_of(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await plan_lost_lamp(pilot)
        await open_screen(pilot, "4")
        await go(pilot, "right", "w")
        await write(pilot, "S. Mill")
        await go(pilot, "ctrl+s")
        new = record_app.state.records.wood[-1]
        assert (new.variety, new.species, new.sticks, new.came_from, new.asked_on, new.cut_on) == (
            "Lost Lamp", "apple", 1, "S. Mill", TODAY, None,
        )  # fmt: skip


async def test_of_marked_bundles_those_not_here_yet_are_asked_for_and_keep_whose_they_are(
    record_app,
) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        before = record_app.state.records
        await go(pilot, "asterisk", "w", "ctrl+s")
        held = record_app.state.records.wood
        assert [wood.asked_on for wood in held] == [None if wood.cut_on else TODAY for wood in held]
        assert [wood.id for wood in held if wood.asked_on] == ["w3"]
        assert [wood.came_from for wood in record_app.state.records.wood] == ["R. Dale", "t1", "A. Holt"]
        await go(pilot, "u")
        assert record_app.state.records == before


async def test_the_asking_is_noted_by_the_mouse_alone(record_app, press_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        at = record_app.screen.query_one(RowList).rows.index("w3")
        await pilot.click(RowList, offset=(6, at))  # the row has the cursor already, so that a press opens its menu
        await pilot.pause()
        items = record_app.screen.query_one("#items")
        await pilot.click("#items", offset=(4, items.get_option_index("ask")))
        await pilot.pause()
        await press_on(pilot, "save")
        await until(pilot, lambda: bundle(record_app, "w3").asked_on is not None)
        assert bundle(record_app, "w3").asked_on == date(2026, 4, 11)


async def test_of_wood_that_arrived_no_answer_is_asked(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "4")
        await go(pilot, "slash", *"far", "enter", "w", "ctrl+s", "v", "tab", "tab", "down", "ctrl+s", "v")
        assert bundle(record_app, "w3").cut_on == TODAY
        assert "The answer about" not in seen_on(record_app)
        assert "This wood is here already" in seen_on(record_app)
