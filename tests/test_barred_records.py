"""What is barred is said wherever it stands: wood of a sick tree, fruit that is not to be eaten yet, a sprayed tree."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]
TODAY = ("--on", "2026-05-06")
DAY = date(2026, 5, 6)


@pytest.fixture
def said(run: Run) -> Callable[..., str]:
    def say(*words: str) -> str:
        done = run(*TODAY, *words)
        assert (done.returncode, done.stderr) == (0, "")
        return done.stdout

    return say


def brought(said: Callable[..., str], folder: Path, kind: str, text: str) -> str:
    file = folder / f"new-{kind}.csv"
    file.write_text(text)
    return said("bring", str(file), "--as", kind)


@pytest.mark.parametrize("source", ["t1", "old APPLE"])
def test_wood_of_a_sick_tree_is_said_to_be_barred_and_is_not_free(
    said: Callable[..., str], tmp_path: Path, source: str
) -> None:
    wood = f"id,variety,species,sticks,cut_on,from\nw1,Red Lamp,apple,5,2026-02-01,{source}\n"
    brought(said, tmp_path, "wood", wood + "w2,Red Lamp,apple,2,2026-02-01,R. Dale\n")
    assert "barred" not in said("wood")
    said("trouble", "t1", "fireblight", "--on", "2026-05-04")
    told = " ".join(said("wood").split())
    assert "barred: fire blight was seen on t1 on 4 May; use none of it, and give none away; fresh," in told
    assert "! Red Lamp (w1) is barred: fire blight was seen on t1 on 4 May;" in told
    assert "Red Lamp (apple): 5 sticks are barred and not counted, for disease on their tree." in told
    shape = json.loads(said("wood", "--json"))
    assert [(one["state"], bool(one["barred"])) for one in shape["wood"]] == [("barred", True), ("fresh", False)]
    (balance,) = [one for one in shape["balance"] if one["variety"] == "Red Lamp"]
    assert (balance["held"], balance["free"], balance["barred"]) == (2, 2, 5)


BEARING = "id,tree,variety,state,ripens_from,ripens_to\ng9,t1,Grey Lamp,bearing,05-01,05-20\n"


@pytest.fixture
def sprayed(said: Callable[..., str], tmp_path: Path) -> None:
    """Grey Lamp bears on t1 and is ripe; t1 was sprayed two days ago, and its fruit may be eaten from 19 May."""
    brought(said, tmp_path, "grafts", BEARING)
    said("spray", "t1", "Wash", "--on", "2026-05-04", "--return-days", "3", "--harvest-days", "14")


WHY = "its label says 14 days to harvest, so none of its fruit is to be eaten up to and including"


@pytest.mark.usefixtures("sprayed")
def test_the_ripening_lines_say_which_fruit_must_not_be_eaten_yet_and_until_when(
    said: Callable[..., str], run: Run
) -> None:
    told = said("fruit")
    assert "! Grey Lamp" in told
    assert f"! Grey Lamp (g9): Old apple was sprayed with Wash on 4 May: {WHY} 18 May." in " ".join(told.split())
    (barred,) = json.loads(said("fruit", "--json"))["barred"]
    assert (barred["graft"], barred["tree"], barred["until"]) == ("g9", "t1", "2026-05-19")
    assert WHY in barred["why"]
    after = run("--on", "2026-05-19", "fruit").stdout
    assert "! Grey Lamp" not in after
    assert "Wash" not in after


@pytest.mark.usefixtures("sprayed")
def test_fruit_that_must_not_be_eaten_yet_is_tasted_only_by_who_is_sure(orchard_path: Path) -> None:
    bench, typed = Workbench.open(orchard_path), {"graft": "g9", "score": "4"}
    with pytest.raises(PersonError, match=f"Held back: .*{WHY}"):
        bench.records.entries.taste(typed, DAY)
    assert bench.records.read().tastings == ()
    assert WHY in bench.records.entries.against_tasting(typed, DAY)
    bench.records.entries.taste(typed, DAY, sure=True)
    assert len(bench.records.read().tastings) == 1
    assert bench.records.entries.against_tasting({**typed, "graft": "g4"}, DAY) == ""


@pytest.mark.usefixtures("sprayed")
def test_tastings_and_grafts_that_are_brought_say_what_was_barred_on_their_day(
    said: Callable[..., str], tmp_path: Path
) -> None:
    told = brought(said, tmp_path, "tastings", "date,graft,score\n2026-05-05,g9,4\n2026-05-03,g9,4\n")
    assert "Tasting of g9 on 2026-05-05: Old apple was sprayed with Wash" in told
    assert "2026-05-03" not in told
    told = brought(
        said, tmp_path, "grafts", "id,tree,variety,method,wrap,state,set_on\ng10,t1,Late,cleft,film,set,2026-05-06\n"
    )
    assert "Graft g10 set on 2026-05-06: Old apple was sprayed with Wash" in told
    assert "3 days to return" in told


@pytest.mark.usefixtures("sprayed")
def test_a_graft_on_a_sprayed_tree_is_set_only_by_who_is_sure(orchard_path: Path) -> None:
    bench, typed = Workbench.open(orchard_path), {"variety": "Green Lamp", "wrap": "film"}
    with pytest.raises(PersonError, match=r"Held back: .*3 days to return"):
        bench.records.entries.set_grafts("t1", (typed,), DAY)
    bench.records.entries.set_grafts("t1", (typed,), DAY, sure=True)
    assert next(graft.state for graft in bench.records.read().grafts if graft.id == "g3") == "set"


def test_barred_wood_is_never_chosen_for_a_graft_and_is_used_only_by_who_is_sure(
    said: Callable[..., str], orchard_path: Path, tmp_path: Path
) -> None:
    brought(said, tmp_path, "wood", "id,variety,species,sticks,cut_on,from\nw1,Red Lamp,apple,5,2026-02-01,t2\n")
    said("trouble", "t2", "fire blight", "--on", "2026-05-04")
    bench, typed = Workbench.open(orchard_path), {"variety": "Red Lamp", "method": "cleft", "wrap": "film"}
    assert "no wood of it is held" in bench.records.entries.set_grafts("t1", (typed,), DAY)
    with pytest.raises(PersonError, match=r"Held back: .*Use none of it"):
        bench.records.entries.set_grafts("t1", ({**typed, "wood": "w1"},), DAY)


@pytest.mark.usefixtures("sprayed")
def test_a_graft_that_is_noted_as_set_on_a_sprayed_tree_is_said_to_be_barred(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    typed = {"tree": "t1", "variety": "Late", "method": "cleft", "state": "set", "set_on": "2026-05-06"}
    assert "3 days to return" in bench.records.entries.add("grafts", typed, DAY)
    assert "3 days" in bench.records.entries.change("grafts", ("g3",), {"state": "set", "set_on": "2026-05-06"}, DAY)
    assert "3 days" not in bench.records.entries.change("grafts", ("g3",), {"note": "x"}, DAY)


def ticked(*rows: str) -> str:
    return "\n".join(("task,unit,date,outcome", *rows, ""))


@pytest.mark.usefixtures("sprayed")
def test_ticks_that_are_brought_say_what_barred_their_work_on_its_day_and_are_taken(
    said: Callable[..., str], orchard_path: Path, tmp_path: Path
) -> None:
    rows = ("g1,2026-05-05,took", "g2,2026-05-05,took", "g1,2026-05-03,not yet", "g2,2026-05-05,skipped")
    file = ticked(*(f"check-take/t1/2026,{row}" for row in rows), "check-take/t2/2026,g4,2026-05-05,took")
    (line,) = [line for line in brought(said, tmp_path, "ticks", file).splitlines() if "Tick" in line]
    assert line.startswith(
        "Tick of check-take/t1/2026, g1 and g2, on 2026-05-05: Old apple was sprayed with Wash on 4 May"
    )
    assert "3 days to return" in line
    assert len(Workbench.open(orchard_path).records.read().ticks) == 5
    assert "Tick" not in brought(said, tmp_path, "ticks", file).replace("unchanged ticks", "")


def test_a_tick_of_work_with_barred_wood_or_after_the_bar_is_over_is_told_apart(
    said: Callable[..., str], tmp_path: Path
) -> None:
    brought(said, tmp_path, "wood", "id,variety,species,sticks,cut_on,from\nw1,Red Lamp,apple,5,2026-02-01,t1\n")
    said("trouble", "t1", "fire blight", "--on", "2026-05-01")
    file = ticked(
        "collect-wood-apple-pear/site/2026,red-lamp.apple,2026-05-02,done",
        "collect-wood-apple-pear/site/2026,red-lamp.apple,2026-04-30,done",
    )
    told = brought(said, tmp_path, "ticks", file)
    assert "Tick of collect-wood-apple-pear/site/2026, red-lamp.apple, on 2026-05-02: Fire blight was seen" in told
    assert "2026-04-30" not in told


def test_strikes_that_one_file_tells_of_bar_the_wood_that_it_tells_of_as_well(
    said: Callable[..., str], tmp_path: Path
) -> None:
    brought(said, tmp_path, "wood", "id,variety,species,sticks,cut_on,from\nw1,Red Lamp,apple,5,2026-02-01,t1\n")
    file = ticked(
        "fire-blight-watch/t1/2026,t1,2026-05-01,strikes",
        "collect-wood-apple-pear/site/2026,red-lamp.apple,2026-05-02,done",
    )
    told = brought(said, tmp_path, "ticks", file)
    assert "Tree t1: fire blight of 2026-05-01 is noted on it." in told
    assert "Tick of collect-wood-apple-pear/site/2026, red-lamp.apple, on 2026-05-02: Fire blight was seen" in told


def test_a_tick_that_stands_twice_in_a_file_is_taken_back_in_one_go(
    said: Callable[..., str], orchard_path: Path, tmp_path: Path
) -> None:
    row = "fire-blight-watch/t1/2026,t1,2026-05-01,strikes"
    told = brought(said, tmp_path, "ticks", ticked(row, row))
    assert told.splitlines() == [
        "Brought 1 new, 0 changed and 0 unchanged ticks from new-ticks.csv.",
        "1 row of the file told of what another row tells: they are one record each.",
        "Tree t1: fire blight of 2026-05-01 is noted on it.",
    ]
    said("untick", "fire-blight-watch/t1/2026", "t1")
    held = Workbench.open(orchard_path).records.read()
    assert (standing_ticks(held.ticks), held.troubles) == ((), ())
