"""What holds jobs back in a real folder: noted, shown, ticked by who is sure, and undone with what came with it."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from bench_acts import tick_job
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.orchard.outcomes import ARBORIST
from tendwork.orchard.records import Graft, Spray, Tree, Trouble
from tendwork.workbench.bench import Workbench
from tendwork.workbench.records_room import JobTick

Run = Callable[..., subprocess.CompletedProcess[str]]

MAY = date(2026, 5, 8)
TAKE = "check-take/t1/2026"
SPRAY = Spray(date(2026, 5, 7), "t1", "Invented spray", 3, 21)
"""Until 10 May nobody works in t1."""
STRIKES = Trouble(MAY, "t1", "fire blight")


@pytest.fixture
def bench(orchard_path: Path) -> Workbench:
    return Workbench.open(orchard_path)


def note(bench: Workbench, *records: Spray | Trouble | Graft | Tree) -> None:
    with bench._folder.records.act("noted for the test") as act:
        for record in records:
            act.add(record)


def watch(bench: Workbench) -> str:
    """The first round of the watch for fire blight on t1 that is to do in May; it is taken in where it is left out."""
    if any(line.template == "fire-blight-watch" for line in bench.templates.left_out(MAY)):
        bench.templates.take_in("fire-blight-watch", today=MAY)
    return next(
        task.key
        for task in bench.plan.of(MAY).plan.tasks
        if task.template == "fire-blight-watch" and task.subject == "t1"
    )


def test_a_sprayed_tree_is_held_back_in_week_why_and_json(bench: Workbench, run: Run) -> None:
    note(bench, SPRAY)
    week = json.loads(run("week", "--on", "2026-05-08", "--json").stdout)
    (task,) = [task for task in week["tasks"] if task["key"] == TAKE]
    assert task["state"] == "held"
    assert {unit["held_until"] for unit in task["units"]} == {"2026-05-11"}
    assert task["units"][0]["held_by"].startswith("Old apple was sprayed with Invented spray on 7 May")
    assert task["days"] == []
    said = run("week", "--on", "2026-05-08").stdout
    assert "\nHeld back\n" in said
    why = " ".join(run("why", TAKE, "--on", "2026-05-08").stdout.split())
    assert "Held back Old apple was sprayed with Invented spray on 7 May: its label says 3 days to return" in why
    assert {task.state for task in bench.plan.of(date(2026, 5, 11)).plan.tasks if task.key == TAKE} == {"closing"}


def test_what_is_held_back_is_ticked_only_by_who_is_sure(bench: Workbench, run: Run) -> None:
    note(bench, SPRAY)
    with pytest.raises(PersonError, match=r"Old apple was sprayed .* add --sure. Nothing was ticked."):
        tick_job(bench, TAKE, ("g1",), MAY, "took")
    assert bench.records.read().ticks == ()
    tick_job(bench, TAKE, ("g1",), MAY, "not yet")
    refused = run("tick", TAKE, "g1", "--outcome", "took", "--on", "2026-05-08")
    assert refused.returncode != 0
    assert "--sure" in refused.stderr
    assert run("tick", TAKE, "g1", "--outcome", "took", "--sure", "--on", "2026-05-08").returncode == 0
    assert next(graft for graft in bench.records.read().grafts if graft.id == "g1").state == "took"


@pytest.mark.parametrize("outcome", ["strikes", "cut out"])
def test_strikes_that_are_ticked_are_noted_on_the_tree_in_the_same_act(bench: Workbench, outcome: str) -> None:
    said = tick_job(bench, watch(bench), ("t1",), MAY, outcome)
    assert said.endswith("Noted on Old apple: fire blight; no wood or buds from there until a winter has passed.")
    assert bench.records.read().troubles == (STRIKES,)
    bench.records.undo(MAY)
    assert (bench.records.read().troubles, [tick.undone for tick in bench.records.read().ticks]) == ((), [False, True])


def test_strikes_go_with_their_own_tick_and_with_another_outcome_on_top_of_it(bench: Workbench) -> None:
    key = watch(bench)
    tick_job(bench, key, ("t1",), MAY, "strikes")
    tick_job(bench, key, ("t1",), MAY, "cut out")
    assert bench.records.read().troubles == (STRIKES,)
    tick_job(bench, key, ("t1",), MAY, "none found")
    assert bench.records.read().troubles == ()
    bench.records.untick(key, ("t1",), MAY)
    assert bench.records.read().troubles == (STRIKES,)


def test_strikes_come_in_with_ticks_from_a_file_once(bench: Workbench, tmp_path: Path) -> None:
    path = tmp_path / "ticks.csv"
    path.write_text(f"task,unit,date,outcome\n{watch(bench)},t1,2026-05-08,strikes\n")
    told = bench.records.bring(path, "ticks", MAY, dry_run=True)
    assert "Tree t1: fire blight of 2026-05-08 is noted on it." in told
    assert bench.records.read().troubles == ()
    bench.records.bring(path, "ticks", MAY, dry_run=False)
    assert bench.records.read().troubles == (STRIKES,)
    bench.records.bring(path, "ticks", MAY, dry_run=False)
    assert bench.records.read().troubles == (STRIKES,)
    bench.records.undo(MAY)
    assert (bench.records.read().troubles, [tick.undone for tick in bench.records.read().ticks]) == ((), [False, True])


def test_no_wood_is_cut_where_strikes_were_seen_though_another_tree_would_do(bench: Workbench) -> None:
    """The shipped job for wood of a variety that bears on the sick tree alone, in the winter after."""
    planned = Graft("g8", "t1", "Blue Lamp", "cleft", state="planned")
    note(bench, planned, STRIKES)
    january = date(2027, 1, 20)
    tasks = {
        unit.id: unit
        for task in bench.plan.of(january).plan.tasks
        if task.template == "collect-wood-apple-pear"
        for unit in task.units
    }
    held = tasks["blue-lamp.apple"]
    assert (held.state, held.held_until) == ("held", date(2027, 6, 1))
    assert "green-lamp.apple" not in tasks  # no tree here has it: it is asked for


def test_an_arborists_job_waits_in_sight_changes_no_graft_and_is_done_with_any_other_word(bench: Workbench) -> None:
    march = date(2027, 3, 1)
    key = next(
        task.key
        for task in bench.plan.of(march).plan.tasks
        if task.template == "winter-prune-pome" and task.subject == "t1"
    )
    before = bench.records.read().grafts
    bench.records.tick((JobTick(key, (), ARBORIST),), march)
    assert bench.records.read().grafts == before
    for day, said in (
        (march, "With an arborist since 1 Mar."),
        (date(2027, 8, 1), "With an arborist since 1 Mar; its time ended "),
        (date(2027, 11, 20), "With an arborist since 1 Mar; its time ended "),
    ):
        task = next(task for task in bench.plan.of(day).week.tasks if task.key == key)
        assert task.state == "held"
        assert task.units[0].held_by.startswith(said)
    tick_job(bench, key, (), march, "done")
    assert bench.plan.task(key, march).state == "done"


def test_check_and_morning_name_a_spray_whose_days_are_not_noted(bench: Workbench, run: Run) -> None:
    note(bench, Spray(date(2026, 5, 7), "t1", "Invented spray"))
    said = " ".join(run("check", "--on", "2026-05-08").stdout.split())
    assert (
        "Old apple (t1) was sprayed with Invented spray on 7 May, days to return and days to harvest not noted" in said
    )
    assert next(gap.kind for gap in bench.plan.of(MAY).plan.gaps) == "spray days"


SLOW = Spray(date(2026, 5, 7), "t2", "Slow", 40, 40)
"""Until 16 June nobody works in t2, and the rest of the orchard is free."""
WALK = """
[[template]]
id = "own-mow"
title = "Mow round the trees"
part = "upkeep"
each = "site"
opens = { date = "05-01" }
closes = { date = "05-20" }
lapses = { date = "05-25" }
effort = { setup_minutes = 5, minutes_each = 5 }
steps = ["Mow."]
cautions = []
source = "invented for the tests"
"""


def test_what_is_barred_of_a_job_for_the_orchard_stands_beside_it_wherever_the_job_does(
    bench: Workbench, run: Run
) -> None:
    note(bench, SLOW)
    said = "Not Wall pear before 17 Jun: sprayed with Slow on 7 May, 40 days."
    (bench.path / "templates").mkdir(exist_ok=True)
    (bench.path / "templates" / "own.toml").write_text(WALK)
    bench.refresh_files()
    key = "own-mow/site/2026"
    shape = json.loads(run("why", key, "--on", "2026-05-08", "--json").stdout)
    assert said in shape["not_now"]
    assert shape["mind"] == []
    for command in (("week",), ("why", key), ("sheet",)):
        assert said in " ".join(run(*command, "--on", "2026-05-08").stdout.split()), command
    ticked = tick_job(bench, key, ("site",), MAY)
    assert ticked.endswith(said)
    bench.records.undo(MAY)
    assert said not in tick_job(bench, key, (), MAY, "skipped")


def test_a_tick_of_a_job_that_opens_later_is_refused_while_its_tree_is_barred_today(bench: Workbench) -> None:
    note(bench, replace(SLOW, days_to_return=3))
    task = next(
        task
        for task in bench.plan.of(MAY).plan.tasks
        if task.subject == "t2" and task.state == "coming" and task.window.opens > date(2026, 5, 20)
    )
    with pytest.raises(PersonError, match=r"Wall pear was sprayed with Slow .* add --sure. Nothing was ticked."):
        tick_job(bench, task.key, (), MAY, task.outcomes[0])
    tick_job(bench, task.key, (), MAY, task.outcomes[0], sure=True)


def test_check_warns_of_two_trees_of_one_name(bench: Workbench, run: Run) -> None:
    assert "have one name" not in run("check", "--on", "2026-05-08").stdout
    note(bench, Tree("t9", "old  APPLE", "apple"))
    said = " ".join(run("check", "--on", "2026-05-08").stdout.split())
    assert 'warning: Trees t1 and t9 have one name, "Old apple": give each a name of its own' in said
