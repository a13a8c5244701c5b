"""Jobs left out and taken in by real keys: from the job itself on Morning, and from the list on Templates."""

from __future__ import annotations

from datetime import date

import pytest
from templates_visits import row_of, visit, written
from textual.widgets import Static

from tendwork.dashboard.screens.menu import MenuScreen
from tendwork.dashboard.widgets.template_list import TemplateList

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
GATE = "own-gate/site/2026"
LABELS = "check-labels-and-ties/t1/2026"
RAFFIA = "own-unwrap/t1/2026"


def jobs(app) -> set[str]:
    return {task.key for task in app.state.jobs}


def shown_templates(screen) -> list[str]:
    options = screen.query_one(TemplateList).options
    return [str(option.id) for option in options if not option.disabled]


async def test_one_key_asks_for_what_and_says_what_is_lost(app, press, go_to, at_rest, seen_on) -> None:
    async with app.run_test(size=(80, 40)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, LABELS)
        await pilot.press("l")
        await pilot.pause(0.1)
        assert isinstance(app.screen, MenuScreen)
        heading = str(app.screen.query_one(".heading", Static).render())
        assert heading == "Not here: Check labels and ties for ingrowth (or a wire or a tie cuts in)"
        for words in ("not in this season, for all trees", "never again, for all trees"):
            assert words in seen_on(app)
        await press(pilot, "escape")
        assert LABELS in jobs(app)


@pytest.mark.parametrize(
    ("key", "entry"),
    [
        ("t", {"left_out": [{"tree": "t1", "on": TODAY}]}),
        ("a", {"left_out": [{"tree": "t1", "season": 2026, "on": TODAY}]}),
        ("s", {"left_out": [{"season": 2026, "on": TODAY}]}),
        ("g", {"off": True, "since": TODAY}),
    ],
)
async def test_the_job_goes_at_once_and_u_brings_it_back(app, press, go_to, at_rest, folder, key, entry) -> None:
    async with app.run_test(size=(80, 40)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, LABELS)
        before = app.state.jobs
        await press(pilot, "l", key)
        assert LABELS not in jobs(app)
        assert written(folder)["template"] == {"check-labels-and-ties": entry}
        assert "u undoes it" in app.notice.text
        await press(pilot, "u")
        assert app.state.jobs == before
        assert written(folder) == {}


async def test_a_job_of_the_whole_orchard_is_left_out_for_the_season_or_for_good(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 40)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await pilot.press("l")
        await pilot.pause(0.1)
        assert [option.id for option in app.screen.query_one("#items").options] == ["season", "good"]
        await press(pilot, "enter")
        assert GATE not in jobs(app)


async def test_u_undoes_what_was_done_last_and_not_what_was_left_out_before_it(
    app, press, go_to, at_rest, folder
) -> None:
    async with app.run_test(size=(80, 40)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, LABELS)
        await press(pilot, "l", "g")
        await go_to(pilot, GATE)
        await press(pilot, "space")
        assert next(task for task in app.state.jobs if task.key == GATE).state == "done"
        await press(pilot, "u")
        assert next(task for task in app.state.jobs if task.key == GATE).state != "done"
        assert written(folder)["template"]["check-labels-and-ties"]["off"] is True


async def test_templates_shows_only_what_is_left_out_and_why_and_brings_it_back(app, press, folder, seen_on) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await visit(pilot, "suckers", "a")
        assert shown_templates(screen)[1:] == [
            "water-dry-site", "spring-bud-cherry", "spring-bud", "bud-peach-late", "late-winter-prune-stone",
            "take-off-regrowth-stone",
            "fire-blight-watch", "clear-fallen-fruit-weekly",
        ]  # fmt: skip
        screen.query_one(TemplateList).choose("spring-bud")
        await pilot.pause(0.1)
        assert "Left out by default: In most places" in seen_on(app)
        await press(pilot, "l")
        assert written(folder)["template"] == {"spring-bud": {"asked": True, "since": TODAY}}
        assert app.notice.text == "Taken in again: Bud in spring with stored buds."
        assert "spring-bud" not in shown_templates(screen)
        await press(pilot, "u")
        assert written(folder) == {}
        assert "spring-bud" in shown_templates(screen)
        await press(pilot, "a")
        assert len(shown_templates(screen)) > 50


async def test_templates_leaves_out_for_one_tree_and_brings_back_by_the_same_key(app, press, folder) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await visit(pilot, "suckers")
        await press(pilot, "l", "2")
        assert written(folder)["template"]["suckers"] == {"left_out": [{"tree": "t2", "on": TODAY}]}
        assert "Left out for" in row_of(screen, "suckers")
        await press(pilot, "l")
        assert written(folder) == {}
        await press(pilot, "l", "g")
        assert row_of(screen, "suckers").endswith("left out")
        assert "1 left out" not in app.notice.text
        await press(pilot, "u")
        assert written(folder) == {}


async def test_while_something_is_unsaved_nothing_is_left_out(app, folder) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "suckers", "plus", "l")
        assert app.notice.text.startswith("Something is unsaved")
        assert written(folder) == {}


async def test_space_takes_a_rule_in_that_is_left_out_by_default_once_it_is_saved(app, press, folder) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        screen = await visit(pilot, "spring-bud", "space")
        assert not row_of(screen, "spring-bud").endswith("left out")
        await press(pilot, "ctrl+s")
        assert written(folder)["template"] == {"spring-bud": {"asked": True}}
        await press(pilot, "space", "ctrl+s")
        assert written(folder) == {}
        assert row_of(screen, "spring-bud").endswith("left out")
