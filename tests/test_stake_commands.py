"""`check`, `why`, `week` and `adjust` on what is at stake, in a real folder."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

Run = Callable[..., subprocess.CompletedProcess[str]]

OWN = """[[template]]
id = "mine"
title = "Mend the fence"
part = "upkeep"
each = "site"
opens = { date = "05-01" }
closes = { date = "05-05" }
"""


def own(orchard: Path, more: str = "") -> None:
    (orchard / "templates").mkdir(exist_ok=True)
    (orchard / "templates" / "own.toml").write_text(OWN + more)


def test_check_says_of_a_rule_without_a_stake_how_it_is_ordered_and_what_to_write(run: Run, orchard_path: Path) -> None:
    own(orchard_path)
    done = run("check")
    assert done.returncode == 0
    assert (
        'warning: templates/own.toml, line 2, key "template.stake": does not say what is lost if the job is missed, so '
        "it is ordered as if this year's chance were. Write one of tree, graft, year, little, and loss = the same in a "
        'few words that follow "or", such as "the tape cuts in".'
    ) in done.stdout
    own(orchard_path, 'stake = "little"\nloss = "deer come in"\n')
    assert "template.stake" not in run("check").stdout


def test_a_stake_that_is_none_is_refused_with_its_line_and_all_that_may_stand_there(
    run: Run, orchard_path: Path
) -> None:
    own(orchard_path, 'stake = "trees"\n')
    done = run("check")
    assert done.returncode == 1
    fault = 'line 8, key "template.stake": "trees" is not known here. Write one of tree, graft, year, little.'
    assert f"templates/own.toml, {fault}" in done.stdout
    done = run("week")
    assert (done.returncode, fault in done.stderr) == (1, True)


def test_week_and_why_say_the_loss_and_json_has_it(run: Run, orchard_path: Path) -> None:
    own(orchard_path, 'stake = "tree"\nloss = "deer bark the trees"\n')
    said = " ".join(run("week", "--on", "2026-05-05").stdout.split())
    assert "Next: Mend the fence, the orchard: until Tue 5 May, the last day, or deer bark the trees." in said
    assert "Pressing: a tree is at stake" in said
    why = " ".join(run("why", "mine/site/2026", "--on", "2026-05-05").stdout.split())
    assert "If missed deer bark the trees (the tree is at stake)." in why
    shape = json.loads(run("why", "mine/site/2026", "--on", "2026-05-05", "--json").stdout)
    assert (shape["stake"], shape["loss"]) == ("tree", "deer bark the trees")


def test_adjust_lists_every_rule_with_its_stake(run: Run, orchard_path: Path) -> None:
    own(orchard_path)
    listed = {item["id"]: item for item in json.loads(run("adjust", "--json").stdout)["templates"]}
    assert (listed["mine"]["stake"], listed["mine"]["loss"]) == (None, "")
    assert (listed["wraps-tape-pome"]["stake"], listed["wraps-tape-pome"]["loss"]) == ("graft", "the tape cuts in")
    lines = [line.split() for line in run("adjust").stdout.splitlines()]
    assert ["mine", "?", "Mend", "the", "fence"] in lines
    assert any(line[:2] == ["bridge-gnawed-bark", "tree"] for line in lines)


def test_an_adjusted_rule_keeps_its_stake(run: Run, orchard_path: Path) -> None:
    own(orchard_path, 'stake = "graft"\nloss = "it snaps"\n')
    assert run("adjust", "mine", "--closes-later", "1", "--on", "2026-05-05").returncode == 0
    shape = json.loads(run("why", "mine/site/2026", "--on", "2026-05-05", "--json").stdout)
    assert (shape["closes"], shape["stake"], shape["loss"]) == ("2026-05-06", "graft", "it snaps")


def test_what_is_at_stake_and_the_visit_can_be_adjusted_and_come_off_without_a_trace(run: Run) -> None:
    on = ("--on", "2026-05-05")

    def take() -> tuple[str, str, str, bool]:
        week = json.loads(run("week", "--json", *on).stdout)
        (task,) = [task for task in week["tasks"] if task["key"] == "check-take/t1/2026"]
        (visit,) = [visit for visit in week["visits"] if task["key"] in visit["tasks"]]
        return task["stake"], task["loss"], task["visit"], len(visit["tasks"]) > 1

    before = take()
    assert before == ("year", "a failed graft is found too late", "aftercare", True)
    assert run("adjust", "check-take", "--stake", "tree", "--visit", "none", *on).returncode == 0
    assert take() == ("tree", "", "", False)
    assert "Adjusted for this site: a tree at stake; done with no other job." in " ".join(run("adjust").stdout.split())
    assert run("adjust", "check-take", "--reset", *on).returncode == 0
    assert take() == before
    assert run("adjust", "check-take", "--loss", "it dries out", "--visit", "walk", *on).returncode == 0
    assert take()[:3] == ("year", "it dries out", "walk")
    assert run("adjust", "check-take", "--reset", *on).returncode == 0
    assert take() == before
    done = run("adjust", "check-take", "--visit", "My Walk", *on)
    assert done.returncode == 1
    assert 'template.check-take.visit "My Walk" is not a name of a visit. Write small letters' in done.stderr
    assert run("adjust", "check-take", "--stake", "trees", *on).returncode == 2
