"""Jobs left out and taken in by commands, in a real folder: what is said, what is kept, and what comes back."""

from __future__ import annotations

import json
import subprocess
import tomllib
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from msgspec.structs import replace

from tendwork.errors import PersonError
from tendwork.orchard.records import Trouble
from tendwork.workbench.bench import Workbench
from tendwork.workbench.records_room import JobTick

Run = Callable[..., subprocess.CompletedProcess[str]]
ON = ("--on", "2026-05-20")
DAY = date(2026, 5, 20)


@pytest.fixture
def said(run: Run) -> Callable[..., str]:
    """What a command says that does what it is asked."""

    def say(*words: str) -> str:
        done = run(*words, *ON)
        assert done.returncode == 0, done.stderr
        return done.stdout

    return say


@pytest.fixture
def refused(run: Run) -> Callable[..., str]:
    """What a command says that changes nothing."""

    def say(*words: str) -> str:
        done = run(*words, *ON)
        assert done.returncode == 1
        return " ".join(done.stderr.split())

    return say


def keys(said: Callable[..., str], template: str) -> set[str]:
    """The keys of its jobs this season."""
    tasks = json.loads(said("season", "--json"))["tasks"]
    return {task["key"] for task in tasks if task["template"] == template}


def written(orchard: Path) -> dict:
    return tomllib.loads((orchard / "adjustments.toml").read_text("utf-8")).get("template", {})


def dayless(week: str) -> object:
    """The week without the days of its work: where a day does as well, what was placed meanwhile stays."""
    shape = json.loads(week)
    for line in (*shape["tasks"], *shape["visits"]):
        del line["days"]
    return shape


def test_a_job_is_left_out_for_one_tree_and_comes_back(said: Callable, orchard_path: Path) -> None:
    before = dayless(said("week", "--json")), said("season", "--json")
    assert said("leave-out", "suckers", "--tree", "wall pear") == (
        "Left out for Wall pear for good: Tear off suckers at the base.\n"
        "  `tendwork take-in suckers --tree 'wall pear'` brings it back.\n"
    )
    assert written(orchard_path) == {"suckers": {"left_out": [{"tree": "t2", "on": DAY}]}}
    assert {key.split("/")[1] for key in keys(said, "suckers")} == {"t1"}
    assert said("take-in", "suckers", "--tree", "wall pear") == (
        "Taken in again for Wall pear: Tear off suckers at the base.\n"
    )
    assert (dayless(said("week", "--json")), said("season", "--json")) == before
    assert written(orchard_path) == {}


def test_a_job_is_left_out_in_this_season_and_the_next_one_asks_for_it(said: Callable, run: Run) -> None:
    assert said("leave-out", "suckers", "--season").startswith("Left out in season 2026: Tear off suckers at the base.")
    assert keys(said, "suckers") == set()
    after = json.loads(run("season", "--json", "--on", "2027-05-20").stdout)["tasks"]
    assert {"suckers/t1/2027", "suckers/t2/2027"} <= {task["key"] for task in after}
    assert run("leave-out", "--on", "2027-05-20").stdout.count("suckers") == 0


def test_a_job_is_left_out_for_good_and_the_list_says_since_when(said: Callable, orchard_path: Path) -> None:
    said("leave-out", "suckers")
    assert written(orchard_path) == {"suckers": {"off": True, "since": DAY}}
    assert keys(said, "suckers") == set()
    listed = " ".join(said("leave-out").split())
    assert listed.startswith("suckers Tear off suckers at the base Left out for good, since Wed 20 May. water-dry-site")
    assert (
        "spring-bud-cherry Bud cherry in spring Left out by default: In most places buds are set in summer, when they"
        " take more surely."
    ) in listed
    assert listed.endswith("`tendwork take-in TEMPLATE` brings one back, for one tree with --tree TREE.")
    shape = json.loads(said("leave-out", "--json"))
    assert {line["template"] for line in shape} == {
        "suckers", "fire-blight-watch", "spring-bud", "spring-bud-cherry", "bud-peach-late",
        "late-winter-prune-stone", "take-off-regrowth-stone", "water-dry-site", "clear-fallen-fruit-weekly",
    }  # fmt: skip
    (own,) = [line for line in shape if line["by"] == "person"]
    assert own == {
        "template": "suckers", "title": "Tear off suckers at the base", "by": "person", "reason": "", "tree": "",
        "season": None, "on": "2026-05-20",
    }  # fmt: skip
    assert "Left out for good, since Wed 20 May." in said("adjust")
    (row,) = [row for row in json.loads(said("adjust", "--json"))["templates"] if row["id"] == "suckers"]
    assert row["left_out"] == "Left out for good, since Wed 20 May."


def test_what_is_left_out_by_default_is_taken_in_and_left_to_its_rule_again(said: Callable, orchard_path: Path) -> None:
    before = said("season", "--json")
    assert keys(said, "fire-blight-watch") == set()
    assert said("take-in", "fire-blight-watch") == "Taken in again: Watch for fire blight from bloom on.\n"
    assert written(orchard_path) == {"fire-blight-watch": {"asked": True, "since": DAY}}
    assert {key.split("/")[1] for key in keys(said, "fire-blight-watch")} == {"t1", "t2"}
    said("leave-out", "fire-blight-watch")
    assert written(orchard_path) == {}
    assert said("season", "--json") == before


def test_a_strike_that_is_noted_asks_for_the_watch_and_one_left_out_by_the_person_stays_out(said: Callable) -> None:
    said("trouble", "t2", "fireblight")
    assert keys(said, "fire-blight-watch")
    assert "fire-blight-watch" not in said("leave-out")
    said("leave-out", "fire-blight-watch")
    assert keys(said, "fire-blight-watch") == set()


def test_ticking_what_is_left_out_says_so_and_how_to_bring_it_back(said: Callable, refused: Callable) -> None:
    said("leave-out", "suckers", "--tree", "t1")
    assert refused("tick", "suckers/t1/2026") == (
        'tendwork: There is no job suckers/t1/2026: "Tear off suckers at the base" (suckers) is left out. Left out for'
        " Old apple, for good, since Wed 20 May. `tendwork take-in suckers --tree t1` brings it back."
    )
    assert "is left out" in refused("tick", "suckers/t1")
    assert said("tick", "suckers/t2/2026") == "Tear off suckers at the base, Wall pear: done.\n"
    said("leave-out", "suckers")
    for command in ("tick", "why", "put-off"):
        more = ("2026-05-25",) if command == "put-off" else ()
        assert "`tendwork take-in suckers` brings it back." in refused(command, "suckers/t2/2026", *more)
    assert "is left out" not in refused("tick", "sucker/t1/2026")


def test_ticks_stay_and_stand_again_when_the_job_comes_back(said: Callable) -> None:
    said("tick", "suckers/t1/2026")
    before = said("season", "--json")
    said("leave-out", "suckers")
    assert keys(said, "suckers") == set()
    said("take-in", "suckers")
    assert said("season", "--json") == before
    assert '"done"' in before


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("leave-out", "sucker"), 'There is no template "sucker". Did you mean "suckers"?'),
        (("leave-out", "suckers", "--tree", "t9"), 'There is no tree "t9". Known: t1, t2. Nothing was changed.'),
        (("leave-out", "pick-mummies", "--tree", "t1"), "is no job of single trees: leave it out for this season, or"),
        (("leave-out", "spring-bud"), "is left out already. Left out by default: In most places buds are set in sum"),
        (("take-in", "suckers"), '"Tear off suckers at the base" (suckers) is not left out. Nothing was changed.'),
        (("take-in", "suckers", "--tree", "t1"), "(suckers) is not left out for Old apple. Nothing was changed."),
        (("take-in", "spring-bud", "--tree", "t1"), "cannot come back for one tree, as it is out for all."),
    ],
)
def test_what_cannot_be_left_out_or_taken_in_is_told_and_nothing_changes(
    refused: Callable, orchard_path: Path, words: tuple[str, ...], why: str
) -> None:
    assert why in refused(*words)
    assert not (orchard_path / "adjustments.toml").exists()


def test_what_is_left_out_still_is_told_when_a_part_of_it_comes_back(said: Callable) -> None:
    said("leave-out", "suckers", "--tree", "t1")
    said("leave-out", "suckers", "--season")
    assert said("take-in", "suckers") == (
        "Taken in again: Tear off suckers at the base. Still left out for Old apple, for good, since Wed 20 May.\n"
    )


def test_a_tree_that_is_gone_is_named_by_check_and_can_be_taken_in(said: Callable, orchard_path: Path) -> None:
    (orchard_path / "adjustments.toml").write_text('[template.suckers]\nleft_out = [{ tree = "gone" }]\n')
    assert 'warning: adjustments.toml: there is no tree "gone", for which suckers is left out.' in said("check")
    assert said("take-in", "suckers", "--tree", "gone").startswith("Taken in again for gone")
    assert written(orchard_path) == {}


def test_what_else_is_adjusted_of_a_template_stays(said: Callable, orchard_path: Path) -> None:
    said("adjust", "suckers", "--later", "3", "--yes")
    before = said("season", "--json")
    said("leave-out", "suckers", "--tree", "t2")
    said("leave-out", "suckers")
    assert written(orchard_path)["suckers"]["opens_later_days"] == 3
    said("take-in", "suckers")
    said("take-in", "suckers")
    assert said("season", "--json") == before


def test_adjust_takes_in_what_its_rule_leaves_out(said: Callable, orchard_path: Path) -> None:
    said("adjust", "spring-bud", "--take-in", "--yes")
    assert written(orchard_path) == {"spring-bud": {"asked": True}}
    said("adjust", "spring-bud", "--leave-out", "--yes")
    assert written(orchard_path) == {"spring-bud": {"off": True}}


def test_a_file_that_cannot_be_read_is_told_and_left_as_it_is(refused: Callable, orchard_path: Path) -> None:
    text = "[template.suckers]\nleft_out = [{ tre = 't1' }]\n"
    (orchard_path / "adjustments.toml").write_text(text)
    fault = 'adjustments.toml, line 2, key "template.suckers.left_out.tre": unknown key. Did you mean "tree"?'
    assert fault in refused("leave-out", "suckers")
    assert fault in refused("week")
    assert (orchard_path / "adjustments.toml").read_text() == text


def test_the_room_gives_the_same_to_other_fronts(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    assert bench.templates.leave_out("suckers", "t1", True, today=DAY) == (
        "Left out for Old apple in season 2026: Tear off suckers at the base."
    )
    (line,) = [line for line in bench.templates.left_out(DAY) if line.by == "person"]
    assert (line.template, line.tree, line.season, line.on) == ("suckers", "t1", 2026, DAY)
    with pytest.raises(PersonError, match="is left out already"):
        bench.templates.leave_out("suckers", "t1", True, today=DAY)
    bench.templates.take_in("suckers", "t1", today=DAY)
    assert [line for line in bench.templates.left_out(DAY) if line.by == "person"] == []
    bench.close()


def test_gnawing_that_is_ticked_is_noted_of_the_tree_and_undone_with_its_tick(orchard_path: Path) -> None:
    winter = date(2026, 1, 20)
    bench = Workbench.open(orchard_path)
    young = replace(next(tree for tree in bench.records.read().trees if tree.id == "t2"), planted=2021)
    with bench._folder.records.act("the year of planting") as act:
        act.replace(young)
    key = "look-at-guards/t2/2026"
    bench.records.tick((JobTick("fit-guards/t2/2026", (), "already there"),), winter)
    bench.records.tick((JobTick(key, (), "gnawed"),), winter)
    assert bench.records.read().troubles == (Trouble(winter, "t2", "gnawed bark"),)
    bench.records.untick(key, (), winter)
    assert bench.records.read().troubles == ()
    bench.close()
