"""Trees: signs of disease and sprays by real key presses, each one act, shown with their tree, refused in words."""

from __future__ import annotations

from datetime import date

import pytest
from record_screens import TODAY, go, open_screen, record_app, words_in, write
from settling import until

from tendwork.dashboard.screens.form import FormScreen
from tendwork.dashboard.screens.menu import MenuScreen
from tendwork.orchard.records import Spray, Trouble

__all__ = ["record_app"]

pytestmark = pytest.mark.anyio


async def test_a_sign_of_disease_is_noted_with_d_shown_with_its_tree_and_undone(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "d")
        await write(pilot, "fire")
        await go(pilot, "enter", "up", "down", "down", "enter")
        await write(pilot, "one shoot")
        await go(pilot, "ctrl+s")
        noted = record_app.state.records.troubles
        said, shown = record_app.notice.text, seen_on(record_app)
        await go(pilot, "u")
        assert noted == (Trouble(date(2026, 4, 10), "t1", "fire blight", "one shoot"),)
        assert said == "Hill apple (t1): fire blight seen on 2026-04-10."
        assert "Fri 10 Apr 2026 fire blight seen (one shoot)" in shown
        assert record_app.state.records.troubles == ()


async def test_a_spray_on_the_trees_of_marked_grafts_is_one_act_and_takes_the_marks_away(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", *"lamp bearing", "enter", "asterisk", "w")
        offered = record_app.screen.query_one("#tree").value
        await write(pilot, "Invented wash")
        await go(pilot, "enter", "2", "enter", "1", "4", "ctrl+s")
        noted = record_app.state.records.sprays
        marked = record_app.screen.marked
        await go(pilot, "u")
        assert offered == "t1, t2"
        assert noted == tuple(Spray(TODAY, tree, "Invented wash", 2, 14) for tree in ("t1", "t2"))
        assert not marked
        assert record_app.state.records.sprays == ()


async def test_a_spray_without_days_says_all_that_follows_on_the_screen_and_is_completed_by_the_same_again(
    record_app, seen_on
) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "3", "enter", "w")
        await write(pilot, "Invented wash")
        await go(pilot, "ctrl+s")
        shown = " ".join(seen_on(record_app).split())
        await go(pilot, "w")
        await write(pilot, "inv")
        await go(pilot, "enter", "0", "enter", "7", "ctrl+s")
        assert "not known, so the trees and their fruit stay barred until you note" in shown
        assert "the same product and day again with the days from the label." in shown
        assert record_app.state.records.sprays == (Spray(TODAY, "t1", "Invented wash", 0, 7),)


async def test_the_menu_of_a_tree_has_both(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "enter")
        assert isinstance(record_app.screen, MenuScreen)
        shown = seen_on(record_app)
        assert "d  Record a sign of disease" in shown
        assert "w  Record a spray" in shown
        await go(pilot, "w")
        assert isinstance(record_app.screen, FormScreen)
        assert "Spray" in seen_on(record_app)


@pytest.mark.parametrize(
    ("keys", "fault"),
    [
        (("tab", "minus", "1"), "Days to return -1 is not between 0 and 365."),
        (("tab", "tab", "x"), 'Days to harvest "x" is not a number.'),
        (("tab", "tab", "tab", "up"), "The spray of 2026-04-12 is in the future. Mend the date."),
        (("shift+tab", "9"), 'There is no tree "9". `tendwork trees` lists them.'),
        (("shift+tab", "backspace"), "Name the tree, by its id or its name."),
    ],
)
async def test_what_cannot_be_is_said_in_the_form_and_what_was_written_stays(record_app, keys, fault) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "w")
        await write(pilot, "Wash")
        await go(pilot, *keys, "ctrl+s")
        assert isinstance(record_app.screen, FormScreen)
        assert words_in(record_app, "fault") == fault
        assert record_app.screen.query_one("#product").value == "Wash"
        assert record_app.state.records.sprays == ()


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_every_line_of_the_spray_form_can_be_read_whole(record_app, seen_on, size) -> None:
    async with record_app.run_test(size=size) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "w")
        shown = seen_on(record_app)
        for label in ("trees", "product", "days to return", "days to harvest", "sprayed on", "note"):
            assert label in shown


async def test_the_height_of_a_tree_is_written_in_feet_and_shown_in_the_orchards_units(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home")
        assert "How high its crown reaches is not noted." in seen_on(record_app)
        await go(pilot, "e", *("tab",) * 6)
        await write(pilot, "10 ft")
        await go(pilot, "ctrl+s")
        await until(pilot, lambda: record_app.state.records.trees[0].height_m == 3.05)
        assert "Its crown reaches 3.05 m." in seen_on(record_app)
        await go(pilot, "e", *("tab",) * 6, "end", *("backspace",) * 4, "ctrl+s")
        assert record_app.state.records.trees[0].height_m is None


async def test_an_orchard_without_trees_has_nothing_to_note_on(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        record_app.state = type(record_app.state)(TODAY, "Bare", "", "metric")
        await pilot.pause()
        await go(pilot, "w", "d")
        assert not isinstance(record_app.screen, FormScreen)


async def test_up_and_down_leaf_through_the_words_of_a_line_and_leave_a_line_without_any(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "d")
        line = record_app.screen.query_one("#what")
        words, seen = line.choices, []
        for key in ("down", "down", "up", "up", "down"):
            await go(pilot, key)
            seen.append(line.value)
        assert len(words) > 2
        assert seen == [words[0], words[1], words[0], words[-1], words[0]]
        await go(pilot, "tab", "tab", "up")
        assert record_app.screen.focused.id == "day"
