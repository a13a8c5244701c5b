"""Ticks, notes, taking back and sightings by real key presses, on a real folder."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from textual.widgets import Static

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.morning import MorningScreen
from tendwork.dashboard.screens.outcome import OutcomeScreen
from tendwork.errors import PersonError
from tendwork.planning.results import Task
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 3, 12)
GATE = "own-gate/site/2026"
RAFFIA = "own-unwrap/t1/2026"


def job(app: Dashboard, key: str) -> Task:
    return next(task for task in app.state.jobs if task.key == key)


def states(app: Dashboard, key: str = RAFFIA) -> list[str]:
    return [unit.state for unit in job(app, key).units]


async def test_space_ticks_a_job_with_one_outcome_at_once(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "space")
        assert job(app, GATE).state == "done"


async def test_a_tick_survives_a_restart(app, press, go_to, at_rest, folder: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "space", "q")
    again = Dashboard(Workbench.open(folder), TODAY)
    async with again.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        assert job(again, GATE).state == "done"


async def test_twelve_wraps_are_ticked_in_two_key_presses(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "space", "enter")
        assert states(app) == ["done"] * 12


async def test_the_notice_says_what_was_ticked(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "space")
        assert app.notice.text == "Oil the gate, the orchard: done."


async def test_enter_goes_to_the_units_and_space_ticks_the_chosen_one(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "enter", "down", "space", "enter")
        assert [at for at, state in enumerate(states(app)) if state == "done"] == [1]


async def test_after_a_unit_is_ticked_the_cursor_stands_on_the_next(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "enter", "space", "enter", "space", "enter")
        assert states(app)[:3] == ["done", "done", "closing"]


async def test_a_number_takes_an_outcome_and_not_yet_leaves_the_unit_open(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "enter", "space", "2")
        unit = job(app, RAFFIA).units[0]
        assert (unit.state, unit.outcome, app.current_mode) == ("closing", "not yet", "morning")


async def test_escape_from_the_outcomes_ticks_nothing(app, press, go_to, at_rest, bench: Workbench) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "space", "escape")
        assert bench.records.read().ticks == ()


async def test_a_note_is_kept_with_its_tick(app, press, go_to, at_rest, bench: Workbench) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "n", "tab", *"2 q[/x]", "enter")
        assert [(tick.outcome, tick.note) for tick in bench.records.read().ticks] == [("done", "2 q[/x]")]


async def test_u_takes_the_last_act_back(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "space", "enter", "u")
        assert states(app) == ["closing"] * 12


async def test_u_on_a_ticked_unit_takes_only_that_one_back(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, RAFFIA)
        await press(pilot, "space", "enter")
        await go_to(pilot, RAFFIA)
        await press(pilot, "enter", "down", "u")
        assert [at for at, state in enumerate(states(app)) if state == "closing"] == [1]


async def test_u_with_nothing_done_is_one_sentence(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "u", "u", "u")
        assert (app.notice.text, app.notice.trouble) == ("There is nothing to undo.", True)


async def test_why_a_deed_was_refused_still_stands_when_a_new_plan_is_made(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "u", "u", "u")
        app.replan()
        await at_rest(pilot)
        assert app.notice.text == "There is nothing to undo."


async def test_after_a_job_is_done_the_cursor_stands_on_the_job_that_took_its_place(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        screen = app.screen
        assert isinstance(screen, MorningScreen)
        await press(pilot, "down")
        following = screen.job.key
        await press(pilot, "up", "space", "enter")
        assert screen.job.key == following


async def test_the_cursor_stays_on_its_job_when_the_plan_is_made_again(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "r")
        assert app.screen.job.key == GATE


async def test_a_bud_stage_that_was_seen_is_recorded_on_the_day_that_was_written(app, press, at_rest, bench) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "s", "enter", "down", "tab", "down", "down", "enter")
        seen = bench.records.read().sightings[-1]
        assert (seen.species, seen.stage, seen.day) == ("apple", "green tip", date(2026, 3, 10))


async def test_a_seen_stage_moves_every_later_date_at_once(app, press, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        before = {stage.stage: stage.date for stage in app.state.stages[0].stages}
        await press(pilot, "s", "enter", "down", "enter")
        after = {stage.stage: stage.date for stage in app.state.stages[0].stages}
        later = ("half-inch green", "tight cluster", "pink", "full pink", "first bloom", "full bloom", "petal fall")
        assert [stage for stage in later if after[stage] == before[stage]] == []


async def test_a_day_that_is_still_to_come_is_not_taken(app, press, at_rest, bench) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await press(pilot, "s", "enter", "tab", "up", "enter")
        assert bench.records.read().sightings == ()


async def test_an_act_that_cannot_be_is_one_sentence_and_the_screen_lives_on(
    app, press, go_to, at_rest, bench, monkeypatch
) -> None:
    def refuse(*_: object) -> None:
        raise PersonError("records.db: can only be read.")

    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        monkeypatch.setattr(bench.records, "tick", refuse)
        await press(pilot, "space", "down")
        assert (app.notice.text, app.is_running) == ("records.db: can only be read.", True)


async def test_y_copies_the_job_as_text_and_writes_it(app, press, go_to, at_rest, folder: Path) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "y")
        assert app.clipboard.startswith("◇ Oil the gate, the orchard")
        assert (folder / "cache" / "copied.txt").read_text(encoding="utf-8").strip() == app.clipboard


async def test_minutes_are_noted_in_a_line_below_the_note(app, press, go_to, at_rest, bench: Workbench) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "n", "tab", "tab", *"12", "enter")
        await at_rest(pilot)
        (tick,) = bench.records.read().ticks
        assert (tick.outcome, tick.minutes) == ("done", 12)
        assert "Minutes noted: 12." in app.notice.text


@pytest.mark.parametrize(
    ("typed", "words"), [("x", '"x" is no number of minutes such as 40.'), ("0", "0 minutes cannot be: write more")]
)
async def test_minutes_that_cannot_be_are_refused_in_the_form_and_nothing_is_ticked(
    app, press, go_to, at_rest, bench: Workbench, typed: str, words: str
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        await go_to(pilot, GATE)
        await press(pilot, "n", "tab", "tab", typed, "enter")
        assert words in str(app.screen.query_one("#fault", Static).content)
        assert bench.records.read().ticks == ()
        await press(pilot, "backspace", "7", "enter")
        await at_rest(pilot)
        assert [tick.minutes for tick in bench.records.read().ticks] == [7]


async def test_of_several_jobs_ticked_together_no_minutes_are_asked(app, press, go_to, at_rest) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await at_rest(pilot)
        pairs = [(one.key, other.key) for one in app.state.jobs for other in app.state.jobs if one is not other]
        together = next(
            pair for pair in pairs if len({job(app, key).outcomes for key in pair}) == 1 and "site" not in "".join(pair)
        )
        for key in together:
            await go_to(pilot, key)
            await press(pilot, "m")
        await press(pilot, "n")
        assert isinstance(app.screen, OutcomeScreen)
        assert not app.screen.query("#minutes")
