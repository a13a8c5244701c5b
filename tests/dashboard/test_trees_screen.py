"""Trees: any graft in three key presses, the crown from above, and every act one that goes back."""

from __future__ import annotations

from datetime import date

import msgspec
import pytest
from record_screens import TODAY, go, graft, open_screen, record_app, words_in, write
from settling import until

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.form import FormScreen
from tendwork.dashboard.widgets.crown_view import CrownPlan
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.workbench.bench import Workbench

__all__ = ["record_app"]

pytestmark = pytest.mark.anyio

SIZES = [(80, 24), (120, 40), (60, 20)]


def chosen(app) -> str:
    return app.screen.query_one(RowList).chosen or ""


@pytest.mark.parametrize("size", SIZES)
async def test_trees_and_their_grafts_stand_as_they_are_written(record_app, seen_on, size) -> None:
    async with record_app.run_test(size=size) as pilot:
        await open_screen(pilot, "3")
        shown = seen_on(record_app)
        assert "Hill apple (t1): apple on seedling, planted 1970" in shown
        assert "Old [red]Lamp[/x]" in shown


async def test_a_graft_is_found_in_three_key_presses(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "a", "k")
        assert chosen(record_app) == "graft/g1"


async def test_every_graft_of_the_orchard_is_found_by_slash_and_its_number(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        for number in "1234567":
            await go(pilot, "slash", number)
            assert chosen(record_app) == f"graft/g{number}"
            await go(pilot, "escape")


async def test_the_filter_hides_what_does_not_match_and_escape_shows_all_again(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", *"planned", "enter")
        hidden = "Long Lamp" in seen_on(record_app)
        await go(pilot, "escape")
        assert (hidden, "Long Lamp" in seen_on(record_app)) == (False, True)


async def test_a_screen_keeps_its_place_while_another_is_looked_at(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "down", "down")
        before = chosen(record_app)
        await open_screen(pilot, "1")
        await open_screen(pilot, "3")
        assert chosen(record_app) == before != "tree/t1"


async def test_o_orders_by_the_next_column_and_a_press_on_a_name_by_that_one(record_app) -> None:
    async with record_app.run_test(size=(100, 24)) as pilot:
        await open_screen(pilot, "3")
        rows = record_app.screen.query_one(RowList)
        await go(pilot, "o")
        by_variety = list(rows.rows)
        head = record_app.screen.query_one("#head")
        await pilot.click("#head", offset=(head.render().plain.index("height") + 1, 0))
        await pilot.pause()
        by_height = list(rows.rows)
        await pilot.click("#head", offset=(head.render().plain.index("height") + 1, 0))
        await pilot.pause()
        assert by_variety[:2] == ["graft/g1", "graft/g3"]
        assert by_height[:2] == ["graft/g3", "graft/g4"]
        assert list(rows.rows) == by_height[::-1]


async def test_the_life_of_the_chosen_graft_stands_beside_the_list(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "1", "enter")
        shown = seen_on(record_app)
        assert "Ashmead's Kernel (g1) on Hill apple" in shown
        assert "Fri 10 Apr 2015 set: cleft, wrapped in raffia" in shown
        assert "first tasted: ripe, 5 points of 5, eating, sharp" in shown


@pytest.mark.parametrize("size", SIZES)
async def test_the_crown_shows_the_chosen_graft_by_a_pointer(record_app, size) -> None:
    async with record_app.run_test(size=size) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "1", "enter", "p")
        plan = record_app.screen.query_one(CrownPlan)
        lit = [row for row in plan.render().plain.splitlines() if "►" in row]
        assert len(lit) == 1
        assert "►▇●" in lit[0]


async def test_arrows_in_the_crown_go_from_limb_to_limb_and_the_list_follows(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "1", "escape", "p")
        seen = []
        for key in ("right", "down", "left", "up"):
            await go(pilot, key)
            seen.append(chosen(record_app))
        assert seen == ["graft/g5", "graft/g2", "graft/g5", "graft/g1"]


async def test_a_press_on_a_limb_chooses_its_graft(record_app) -> None:
    async with record_app.run_test(size=(120, 40)) as pilot:
        await open_screen(pilot, "3")
        plan = record_app.screen.query_one(CrownPlan)
        row, column = next(
            (row, column)
            for row, cells in enumerate(plan.picture.cells)
            for column, cell in enumerate(cells)
            if cell.graft == "g4"
        )
        await pilot.click(CrownPlan, offset=(column, row))
        await pilot.pause()
        assert chosen(record_app) == "graft/g4"


async def test_a_tree_without_any_place_noted_has_a_crown_that_names_its_grafts(record_app, seen_on) -> None:
    async with record_app.run_test(size=(120, 40)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "6", "enter")
        assert "Place not noted:" in seen_on(record_app)


async def test_a_change_is_one_act_and_u_takes_it_back(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "3", "enter", "e", "tab", "tab")
        await write(pilot, "be")
        await go(pilot, "ctrl+s")
        after = graft(record_app, "g3").state
        await go(pilot, "u")
        assert (after, graft(record_app, "g3").state) == ("bearing", "took")
        assert record_app.notice.text == "Undone: Blue Lamp (g3) changed."


async def test_what_was_written_stays_when_it_is_refused(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "5", "enter", "e", "tab", "tab")
        await write(pilot, "took")
        await go(pilot, "ctrl+s")
        assert isinstance(record_app.screen, FormScreen)
        assert words_in(record_app, "fault").endswith("was never set. Give the day on which it was set.")
        assert record_app.screen.query_one("#state").value == "took"
        assert graft(record_app, "g5").state == "planned"


async def test_many_at_once_from_a_marked_selection_in_one_act(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", *"lamp apple bearing", "enter", "asterisk")
        assert "2 grafts marked" in seen_on(record_app)
        await go(pilot, "e", "tab", "tab", "tab")
        await write(pilot, "c")
        await go(pilot, "ctrl+s")
        after = [graft(record_app, identity).wrap for identity in ("g2", "g4")]
        untouched = graft(record_app, "g2").method
        await go(pilot, "u")
        assert after == ["cloth", "cloth"]
        assert untouched == "cleft"
        assert [graft(record_app, identity).wrap for identity in ("g2", "g4")] == ["raffia", "film"]


async def test_marks_go_once_the_act_is_done(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "down", "space", "space", "v", "3")
        assert [one.id for one in record_app.screen.grafts()] == [chosen(record_app).split("/")[1]]


async def test_marked_grafts_move_to_another_tree_and_back(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "2", "enter", "space", "escape")
        await go(pilot, "slash", "3", "enter", "space")
        await go(pilot, "m", "2")
        moved = [graft(record_app, identity).tree for identity in ("g2", "g3")]
        await go(pilot, "u")
        assert moved == ["t2", "t2"]
        assert [graft(record_app, identity).tree for identity in ("g2", "g3")] == ["t1", "t1"]


async def test_a_graft_moves_within_its_crown_by_letters(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "3", "enter", "m", "tab")
        await write(pilot, "NW")
        await go(pilot, "ctrl+s")
        assert (graft(record_app, "g3").facing, graft(record_app, "g3").height_m) == (315, 1.2)


async def test_a_graft_is_split_into_two(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "1", "enter", "l")
        await write(pilot, "E")
        await go(pilot, "enter", "1", "enter", "1", "enter")
        second = graft(record_app, "g8")
        assert (second.variety, second.facing, second.height_m) == ("Ashmead's Kernel", 90, 1.0)


async def test_a_new_tree_and_a_new_graft_on_it(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "n")
        await write(pilot, "Young plum")
        await go(pilot, "enter")
        await write(pilot, "plu")
        await go(pilot, "ctrl+s", "end", "a")
        await write(pilot, "Egg plum")
        await go(pilot, "ctrl+s")
        assert [(tree.id, tree.name, tree.species) for tree in record_app.state.records.trees[2:]] == [
            ("t3", "Young plum", "plum")
        ]
        added = graft(record_app, "g8")
        assert (added.tree, added.variety, added.state) == ("t3", "Egg plum", "planned")


async def test_a_tree_that_carries_grafts_is_not_removed(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "x")
        assert record_app.notice.text.startswith("Hill apple carries Ashmead's Kernel (g1)")
        assert record_app.notice.text.endswith("Move or remove its grafts first.")
        assert len(record_app.state.records.trees) == 2


async def test_undo_goes_back_through_a_whole_day(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        before = record_app.state.records
        await go(pilot, "slash", "3", "enter", "v", "3")
        await go(pilot, "k", "4")
        await go(pilot, "l", "ctrl+s")
        await go(pilot, "escape", "slash", "7", "enter", "x", "escape")
        await go(pilot, "asterisk", "v", "2")
        acts = 5
        assert record_app.state.records != before
        for _ in range(acts):
            await go(pilot, "u")
        undone = record_app.state.records
        assert (undone.trees, undone.grafts, undone.wood, undone.tastings) == (
            before.trees, before.grafts, before.wood, before.tastings,
        )  # fmt: skip


async def test_everything_can_be_done_by_the_mouse_through_the_menu(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        rows = record_app.screen.query_one(RowList)
        at = rows.rows.index("graft/g3")
        await pilot.click(RowList, offset=(6, at))
        await pilot.pause()
        await pilot.click(RowList, offset=(6, at))
        await pilot.pause()
        items = record_app.screen.query_one("#items")
        await pilot.click("#items", offset=(4, items.get_option_index("judge")))
        await pilot.pause()
        await pilot.click("#items", offset=(4, 2))
        await until(pilot, lambda: graft(record_app, "g3").verdict == "cut")
        assert graft(record_app, "g3").verdict == "cut"


async def test_a_press_at_the_edge_of_a_row_marks_it(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        rows = record_app.screen.query_one(RowList)
        for identity in ("graft/g3", "graft/g4"):
            await pilot.click(RowList, offset=(0, rows.rows.index(identity)))
            await pilot.pause()
        assert [one.id for one in record_app.screen.grafts()] == ["g3", "g4"]


async def test_y_copies_the_life_of_the_graft(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "1", "enter", "y")
        assert record_app.clipboard.startswith("Ashmead's Kernel (g1) on Hill apple\nBearing, keep; cleft, raffia")


async def test_y_on_a_tree_copies_its_crown(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "y")
        lines = record_app.clipboard.splitlines()
        assert lines[0].startswith("Hill apple (t1): apple")
        assert any(line.strip() == "N" for line in lines)
        assert "from the trunk" in record_app.clipboard


async def test_a_day_in_the_future_is_refused_by_the_tasting_and_its_note_stays(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "1", "enter", "k", "tab", "tab", "tab")
        await write(pilot, "late")
        await go(pilot, "tab", "up", "enter", "4")
        note = record_app.screen.query_one("#note").value
        await go(pilot, "tab", "tab", "tab", "tab", "down", "enter", "4")
        assert note == "late"
        newest = record_app.state.records.tastings[-1]
        assert (newest.graft, newest.score, newest.note, newest.day) == ("g1", 4, "late", date(2026, 4, 11))


async def test_a_key_pressed_twice_saves_once(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "n")
        await write(pilot, "Twin")
        await go(pilot, "tab")
        await write(pilot, "plum")
        await pilot.press("ctrl+s", "ctrl+s", "ctrl+s")
        await until(pilot, lambda: any(tree.name == "Twin" for tree in record_app.state.records.trees))
        assert [tree.name for tree in record_app.state.records.trees].count("Twin") == 1


async def test_an_orchard_without_trees_says_how_they_come_in(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        record_app.state = type(record_app.state)(TODAY, "Bare", "", "metric")
        await pilot.pause()
        assert "No tree is recorded yet. Add one with n" in seen_on(record_app)
        await go(pilot, "a")
        assert isinstance(record_app.screen, FormScreen)


async def test_feet_that_were_not_touched_stay_as_they_were(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        record_app.state = msgspec.structs.replace(record_app.state, units="us")
        await go(pilot, "slash", "1", "enter", "m")
        shown = record_app.screen.query_one("#height_m").value
        await go(pilot, "tab")
        await write(pilot, "W")
        await go(pilot, "ctrl+s")
        # 3 m are 9.8 ft, and 9.8 ft would be 2.99 m.
        assert shown == "9.8 ft"
        assert (graft(record_app, "g1").facing, graft(record_app, "g1").height_m) == (270, 3.0)


async def test_without_colours_the_row_of_the_cursor_is_underlined(record_folder, monkeypatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    monkeypatch.setattr(Dashboard, "replan", lambda *_: None)
    app = Dashboard(Workbench.open(record_folder), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "slash", "1", "enter")
        segments = [segment for strip in app.screen._compositor.render_strips() for segment in strip]
        underlined = "".join(segment.text for segment in segments if segment.style and segment.style.underline)
        assert "Ashmead's Kernel" in underlined
