"""`bring` says what is not known, and `ask` takes one answer for many grafts, in a real folder."""

from __future__ import annotations

import json
import os
import pty
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from brought_orchard import BROUGHT, write_tables

from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]
ON = ("--on", BROUGHT.isoformat())


@pytest.fixture(scope="module")
def brought(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, tuple[str, ...]]:
    """The orchard as it came in today, and what `bring` said of the grafts."""
    place = tmp_path_factory.mktemp("brought")
    bench = Workbench.begin(place / "orchard", name="Test hill", timezone="UTC", latitude=52.1, longitude=-3.0)
    said: tuple[str, ...] = ()
    for kind, file in write_tables(place).items():
        said = bench.records.bring(file, kind, BROUGHT)  # type: ignore[arg-type]
    bench.close()
    return place / "orchard", said


@pytest.fixture
def orchard_path(brought: tuple[Path, tuple[str, ...]], tmp_path: Path) -> Path:
    return Path(shutil.copytree(brought[0], tmp_path / "orchard"))


def open_ones(run: Run) -> dict[str, list[str]]:
    shape: dict[str, Any] = json.loads(run("ask", "--json", *ON).stdout)
    return {one["question"]: one["grafts"] for one in shape["questions"]}


def test_bring_names_what_is_not_known_and_the_command(brought: tuple[Path, tuple[str, ...]]) -> None:
    assert brought[1][-1] == (
        "Not known: whether 39 wraps are still on and whether 30 grafts took. `tendwork ask` takes one answer for many."
    )


def test_an_answer_is_for_all_or_for_some_and_undo_takes_it_back(run: Run, orchard_path: Path) -> None:
    asked = open_ones(run)
    assert {name: len(grafts) for name, grafts in asked.items()} == {"wraps": 39, "took": 30}
    some = asked["wraps"][:2]
    assert run("ask", "wraps", "on", *some, *ON).stdout == "2 wraps noted as still on.\n"
    assert run("ask", "wraps", "off", *ON).stdout == "37 wraps noted as off.\n"
    assert run("ask", "took", "took", *ON).stdout == '30 grafts noted as "took".\n'
    assert open_ones(run) == {}
    week = run("week", *ON).stdout
    assert "Overdue" in week
    assert "Done this week" not in week  # an answer is no work that was done
    assert "are these still on" not in week
    run("undo", *ON)
    run("undo", *ON)
    assert {name: len(grafts) for name, grafts in open_ones(run).items()} == {"wraps": 37, "took": 30}
    assert {graft.wrap for graft in Workbench.open(orchard_path).records.read().grafts[:30]} == {
        "PVC tape",
        "budding rubber",
        "",
    }  # fmt: skip - what they were wrapped in is not lost


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("wrap", "on"), 'There is no question "wrap". Did you mean "wraps"?'),
        (("wraps", "maybe"), '"maybe" is no answer here. Say one of on, off.'),
        (("took", "took", "g99"), "Nothing is asked about g99. `tendwork ask` lists what is."),
    ],
)
def test_what_cannot_be_answered_is_refused_and_changes_nothing(run: Run, words: tuple[str, ...], told: str) -> None:
    done = run("ask", *words, *ON)
    assert (done.returncode, done.stderr.strip()) == (1, f"tendwork: {told}")
    assert len(open_ones(run)["wraps"]) == 39


def test_without_a_terminal_the_questions_are_printed_and_check_names_them(run: Run) -> None:
    said = run("ask", *ON).stdout
    assert "Are the wraps still on?" in said
    assert "tendwork ask took failed [GRAFT ...]" in said
    warnings = json.loads(run("check", "--json", *ON).stdout)["warnings"]
    assert any(words.startswith("39 grafts (") and "`tendwork ask wraps`" in words for words in warnings)
    assert any("`tendwork ask took`" in words for words in warnings)


def test_at_a_terminal_each_question_is_put_with_numbered_answers(orchard_path: Path) -> None:
    ours, theirs = pty.openpty()
    os.write(ours, b"4\ng41, g42\n1\n")
    done = subprocess.run(
        [sys.executable, "-m", "tendwork", "--orchard", str(orchard_path), *ON, "ask"],
        stdin=theirs, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    os.close(ours)
    os.close(theirs)
    assert done.returncode == 0, done.stderr
    for line in ("2 wraps noted as still on; 37 wraps noted as off.", '30 grafts noted as "took".'):
        assert line in done.stdout
