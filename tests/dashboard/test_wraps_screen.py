"""The wraps that are still on, on a page of Morning: marked, ticked and undone at once, and noted where nobody did."""

from __future__ import annotations

import pytest
from textual.widgets import OptionList, Static

from tendwork.dashboard.screens.outcome import OutcomeScreen
from tendwork.dashboard.screens.wraps import WrapsScreen
from tendwork.view.text import plain

pytestmark = pytest.mark.anyio


def on(app) -> list[str]:
    return [wrap.graft for wrap in app.state.wraps]


def lines(app) -> list[str]:
    return [str(option.prompt) for option in app.screen.query_one("#wraps", OptionList).options]


async def test_o_shows_every_wrap_under_its_tree_with_days_and_heat(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "o")
        assert isinstance(app.screen, WrapsScreen)
        assert len(on(app)) == 12
        assert lines(app)[0].strip() == f"{plain(app.state.wraps[0].tree_name)}  12 wraps"
        assert "raffia" in lines(app)[1]
        assert "11 days" in lines(app)[1]
        assert "heat not known" in lines(app)[1]  # no temperatures are on file
        assert str(app.screen.query_one("#wraps_said", Static).content) == "Wraps still on: 12, the oldest since 1 Mar."


async def test_marked_wraps_are_ticked_in_one_act_and_u_undoes_them_together(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "o", "m", "m", "m", "space")
        assert isinstance(app.screen, OutcomeScreen)
        await press(pilot, "1")
        await at_rest(pilot)
        assert len(on(app)) == 9
        assert isinstance(app.screen, WrapsScreen)
        assert len([tick for tick in app.state.records.ticks if tick.outcome == "off"]) == 3
        await press(pilot, "u")
        await at_rest(pilot)
        assert len(on(app)) == 12
        assert "3 ticks" in str(app.screen.query_one("#told", Static).content)


async def test_the_heading_of_a_tree_stands_for_all_its_wraps(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "o", "home", "space", "1")
        await at_rest(pilot)
        assert on(app) == []
        assert str(app.screen.query_one("#wraps_said", Static).content).startswith("No wrap is on")
        await press(pilot, "space", "m", "n", "escape")
        assert not isinstance(app.screen, WrapsScreen)


async def test_escape_takes_the_marks_away_first(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "o", "m", "escape")
        assert isinstance(app.screen, WrapsScreen)
        await press(pilot, "escape")
        assert not isinstance(app.screen, WrapsScreen)


async def test_what_a_graft_is_wrapped_in_is_noted_with_one_key(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        chosen = on(app)[0]
        await press(pilot, "o", "n", "n")
        await at_rest(pilot)
        (graft,) = [graft for graft in app.state.records.grafts if graft.id == chosen]
        assert graft.wrap == "none"
        assert chosen not in on(app)


async def test_not_yet_keeps_the_cursor_where_it_was(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "o", "down", "down", "space", "2")
        await at_rest(pilot)
        held = app.screen.query_one("#wraps", OptionList)
        assert held.highlighted_option.id == on(app)[2]
        assert len(on(app)) == 12


async def test_m_again_marks_one_more_whatever_heading_stands_between(app, bench, tmp_path, press, at_rest) -> None:
    file = tmp_path / "more.csv"
    file.write_text("id,tree,variety,method,wrap,state,set_on\ntree:t1,t2,Far,cleft,raffia,set,2026-03-02\n")
    bench.records.bring(file, "grafts", app.state.today)
    async with app.run_test(size=(80, 40)) as pilot:
        await at_rest(pilot)
        await press(pilot, "o", "home", *["m"] * 2)
        held = app.screen.query_one("#wraps", OptionList)
        assert held.highlighted_option.id == "tree:t1"
        assert str(app.screen.query_one("#wraps_said", Static).content).endswith("13 marked.")
