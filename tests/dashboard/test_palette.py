"""The palette by real keys: every job of the plan, every tree and graft, and the keys of other screens."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace
from textual.command import CommandList

from tendwork.dashboard.commands import OrchardCommands
from tendwork.dashboard.widgets.filter_line import FilterLine
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.orchard.records import Graft, Records, Tree

TODAY = date(2026, 3, 12)

pytestmark = pytest.mark.anyio


async def choose(pilot, press, words: str) -> None:
    """Open the palette, write the words and take the first that they find."""
    await pilot.press("ctrl+p", *("space" if letter == " " else letter for letter in words))
    for _ in range(50):
        await pilot.pause(0.02)
        if pilot.app.screen.query_one(CommandList).option_count:
            break
    await press(pilot, "enter")
    await pilot.pause(0.05)
    await press(pilot)


async def test_a_job_of_a_later_month_is_found_and_shown_on_season(app, bench, at_rest, press) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        week = {task.key for task in app.state.jobs}
        later = next(task for task in bench.plan.of(TODAY).plan.tasks if task.key not in week and task.subject == "t1")
        await choose(pilot, press, later.title.lower())
        chosen = app.screen.query_one(RowList).chosen
        assert app.screen.HERE == "season"
        assert chosen.split("/")[0] == later.template


async def test_a_graft_is_found_by_its_id_and_shown_on_trees(app, at_rest, press) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        await choose(pilot, press, "(g07)")
        assert app.screen.query_one(RowList).chosen == "graft/g07"


async def test_a_tree_that_a_filter_hid_is_shown(app, at_rest, press) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        await press(pilot, "3", "slash", *"red", "enter")
        await choose(pilot, press, "(t2)")
        assert app.screen.query_one(FilterLine).words == ""
        assert app.screen.query_one(RowList).chosen == "tree/t2"


async def test_an_action_of_another_screen_leads_there_and_names_its_key(app, at_rest, press, seen_on) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        await choose(pilot, press, "trees: add")
        assert app.screen.HERE == "trees"
        assert "Here it is a: Add a graft to this tree." in seen_on(app)


async def test_a_later_round_has_no_row_and_so_its_days_are_said(app, bench, at_rest) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        later = next(task for task in bench.plan.of(TODAY).plan.tasks if task.behind)
        app.go_to("morning", later.key)
        for _ in range(3):
            await at_rest(pilot)
        assert app.screen.HERE == "season"
        assert later.title in app.notice.text


async def test_of_thousands_of_grafts_only_the_best_are_shown(app, at_rest) -> None:
    async with app.run_test(size=(100, 40)) as pilot:
        await at_rest(pilot)
        grafts = tuple(Graft(f"x{number}", "t1", f"Variety {number}") for number in range(5_000))
        app.state = replace(app.state, records=Records(trees=(Tree("t1", "Old", "apple"),), grafts=grafts))
        provider = OrchardCommands(app.screen)
        await provider.startup()
        hits = [hit.text async for hit in provider.search("variety 777")]
        assert "Variety 777 (x777), Old" in hits[:20]
        assert len(hits) < 100
