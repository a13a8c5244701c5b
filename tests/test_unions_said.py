"""What is known against a union is said by every command that plans it, and keeps nobody from going on."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from tendwork.cli import cli
from tendwork.workbench.bench import Workbench

WINTER, DEEP_WINTER = date(2025, 12, 1), date(2026, 1, 20)
TREES = """id,name,species,stock,planted,interstem
t1,Bush quince,quince,,2010,
t2,Wall pear,pear,Quince A,2020,
t3,Bridged pear,pear,Quince A,2020,Comice
t4,Mazzard cherry,sweet cherry,Mazzard,2010,
"""
GRAFTS = """id,tree,variety,method,state,species,set_on
g1,t1,Williams,cleft,planned,pear,
g2,t1,Vranja,cleft,planned,,
g3,t2,Conference,cleft,planned,,
g4,t2,Quince,cleft,bearing,quince,2023-04-10
g5,t2,Bosc,cleft,planned,pear,
"""
WILLIAMS = "Williams (pear) on a quince limb does not last without an interstem"
ON_QUINCE_A = "Pear on Quince A takes with some varieties and not with others"


@pytest.fixture
def orchard(tmp_path: Path) -> Path:
    Workbench.begin(tmp_path / "orchard", name="Any", timezone="Europe/London", latitude=52.1, longitude=-3.0).close()
    (tmp_path / "trees.csv").write_text(TREES)
    (tmp_path / "grafts.csv").write_text(GRAFTS)
    return tmp_path


def said(place: Path, *words: str, on: date = WINTER) -> str:
    done = CliRunner().invoke(cli, ["--orchard", str(place / "orchard"), "--on", str(on), *words])
    assert done.exit_code == 0, done.output
    return done.output if "--json" in words else " ".join(done.output.split())


def brought(place: Path, on: date = WINTER) -> str:
    told = [said(place, "bring", str(place / f"{kind}.csv"), "--as", kind, on=on) for kind in ("trees", "grafts")]
    return " ".join(told)


def test_bringing_says_it_and_brings(orchard: Path) -> None:
    trial = said(orchard, "bring", str(orchard / "trees.csv"), "--as", "trees", "--dry-run")
    told = brought(orchard)
    assert f"Stock of Wall pear (t2): {ON_QUINCE_A}" in trial
    assert f"Stock of Wall pear (t2): {ON_QUINCE_A}" in told
    assert f"Union of g1: {WILLIAMS}" in told
    assert "Beurré Hardy or Comice" in told
    assert "Brought 4 new" in told
    for quiet in (
        "Bridged pear (t3): Pear",
        "Mazzard cherry (t4)",
        "Union of g2",
        "Union of g3",
        "Union of g4",
        "Union of g5",
    ):
        assert quiet not in told


def test_trees_check_wood_and_why_say_it_and_nothing_is_a_fault(orchard: Path) -> None:
    brought(orchard)
    trees, check = said(orchard, "trees"), said(orchard, "check")
    for words in (ON_QUINCE_A, WILLIAMS, "Quince on a pear limb takes, but is short-lived"):
        assert words in trees
        assert words in check
    assert check.endswith("No faults.")
    assert f"- Union of g1: {WILLIAMS}" in said(orchard, "wood")
    assert f"Union of g1: {WILLIAMS}" in said(orchard, "why", "choose-varieties")
    assert f"Union of g1: {WILLIAMS}" in said(orchard, "why", "ask-for-wood-apple-pear", on=DEEP_WINTER)


def test_json_has_the_verdict_beside_what_it_had(orchard: Path) -> None:
    brought(orchard)
    trees = json.loads(said(orchard, "trees", "--json"))["trees"]
    by_id = {tree["id"]: tree for tree in trees}
    assert by_id["t1"]["union"] is None
    assert (by_id["t2"]["union"]["verdict"], by_id["t2"]["union"]["fails_late"]) == ("depends on the variety", True)
    assert by_id["t3"]["union"]["verdict"] == "takes as a rule"
    assert [graft["union"]["fails_late"] for graft in by_id["t1"]["grafts"]] == [True, False]
    balance = json.loads(said(orchard, "wood", "--json"))["balance"]
    assert [row["variety"] for row in balance if row["unions"]] == ["Williams"]


def test_a_bridge_in_the_table_takes_the_hint_of_its_tree_away(orchard: Path) -> None:
    brought(orchard)
    (orchard / "trees.csv").write_text(
        TREES.replace("t2,Wall pear,pear,Quince A,2020,", "t2,Wall pear,pear,Quince A,2020,Comice")
    )
    assert ON_QUINCE_A not in said(orchard, "bring", str(orchard / "trees.csv"), "--as", "trees")
    assert ON_QUINCE_A not in said(orchard, "check")


def test_whoever_knows_better_goes_on(orchard: Path) -> None:
    """The graft is changed, set and kept as any other; the hint stands beside it."""
    brought(orchard)
    bench = Workbench.open(orchard / "orchard")
    told = bench.records.entries.change("grafts", ("g1",), {"variety": "Bartlett"}, WINTER)
    assert "Williams (pear) on a quince limb does not last" in told  # by the name that the table has
    set_now = bench.records.entries.change("grafts", ("g1",), {"state": "set", "set_on": "2025-11-30"}, WINTER)
    assert "Union" not in set_now
    held = next(graft for graft in bench.records.read().grafts if graft.id == "g1")
    assert (held.variety, held.state) == ("Bartlett", "set")
    assert "Union" in bench.records.entries.move(("g5",), "t1", {}, WINTER)
    bench.close()


def test_doubtful_unions_are_looked_at_once_a_winter(orchard: Path) -> None:
    brought(orchard)
    tasks = json.loads(said(orchard, "season", "--json"))["tasks"]
    found = {task["key"]: task for task in tasks if task["template"].startswith("look-at-doubtful")}
    assert set(found) == {"look-at-doubtful-unions/t2/2026", "look-at-doubtful-stocks/t2/2026"}
    assert [unit["id"] for unit in found["look-at-doubtful-unions/t2/2026"]["units"]] == ["g4"]
    for task, words in (
        ("unions", "Union of g4: Quince on a pear limb"),
        ("stocks", f"Stock of Wall pear (t2): {ON_QUINCE_A}"),
    ):
        key = f"look-at-doubtful-{task}/t2/2026"
        assert words in said(orchard, "why", key, on=DEEP_WINTER)
        assert found[key]["visit"] == "walk"
