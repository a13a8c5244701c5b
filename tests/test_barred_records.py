"""What is barred is said wherever it stands: wood of a sick tree, fruit that is not to be eaten yet, a sprayed tree."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.workbench import Workbench

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
