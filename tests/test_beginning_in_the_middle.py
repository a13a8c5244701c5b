"""`begin`, `bring` and `week` by somebody who types in an orchard on a June day, in a real folder."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from brought_orchard import BROUGHT, write_tables

from tendwork.folder.csv_files import csv_text
from tendwork.folder.fields import KINDS
from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]
ON = ("--on", BROUGHT.isoformat())


@pytest.fixture(scope="module")
def brought(tmp_path_factory: pytest.TempPathFactory, commands: Any) -> Path:
    """The orchard on the day on which all of it came in; only ever copied."""
    folder = tmp_path_factory.mktemp("brought")
    path, tables = folder / "orchard", write_tables(folder)
    commands.run("begin", str(path), "--name", "Test hill", "--timezone", "Europe/London", "--latitude", "52.1",
                 "--longitude", "-3.0")  # fmt: skip
    for kind, file in tables.items():
        done = commands.run("--orchard", str(path), "bring", str(file), "--as", kind, *ON)
        assert done.returncode == 0, done.stderr
    return path


@pytest.fixture
def orchard_path(brought: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(brought, tmp_path / "orchard"))


def week(run: Run, *on: str) -> dict[str, Any]:
    shape: dict[str, Any] = json.loads(run("week", "--json", *(on or ON)).stdout)
    return shape


def with_state(shape: dict[str, Any], *states: str) -> list[str]:
    return [task["key"] for task in shape["tasks"] if task["state"] in states]


def as_an_older_program_kept_it(path: Path) -> None:
    """Take the days away on which records came in: what a folder of before has."""
    bench = Workbench.open(path)
    with bench._folder.records.act("older") as act:
        act._connection.execute("UPDATE trees SET known_since = NULL")
        act._connection.execute("UPDATE grafts SET known_since = NULL")
        act.changes.append(("trees", {"seq": 0}, {"seq": 0}))  # so that the content is another one
    bench.close()


def test_nothing_is_late_or_missed_on_the_day_on_which_an_orchard_comes_in(run: Run, orchard_path: Path) -> None:
    now = week(run)
    as_an_older_program_kept_it(orchard_path)
    before = week(run)
    late, was_late = with_state(now, "late", "missed"), with_state(before, "late", "missed")
    print(f"late or missed on {BROUGHT}: {len(was_late)} of {len(before['tasks'])} jobs before, "
          f"{len(late)} of {len(now['tasks'])} now")  # fmt: skip
    assert late == []
    assert len(was_late) > 30  # an older folder stays as it was
    assert not any(key.startswith("check-take") for key in with_state(now, "open", "closing"))


def test_a_week_later_what_nobody_did_is_late(run: Run) -> None:
    assert with_state(week(run, "--on", "2026-07-06"), "late")


def test_wraps_that_came_in_late_are_one_quiet_line(run: Run) -> None:
    said = " ".join(run("week", *ON).stdout.split())
    assert "Overdue" not in said
    assert said.count("are these still on?") == 1
    assert "39 grafts (" in said


def test_the_day_goes_out_and_comes_in_again_and_an_empty_one_is_from_always(
    run: Run, orchard_path: Path, tmp_path: Path
) -> None:
    run("give", str(tmp_path / "out"))
    text = (tmp_path / "out" / "grafts.csv").read_text()
    assert text.splitlines()[1].endswith(",on trial,2026-06-25")
    (tmp_path / "out" / "trees.csv").write_text(
        "id,name,species,known_since\nn1,Never asked,apple,\nn2,Long here,apple,2025-01-02\n"
    )
    run("bring", str(tmp_path / "out" / "trees.csv"), "--as", "trees", *ON)
    trees = Workbench.open(orchard_path).records.read().trees
    assert {str(tree.known_since) for tree in trees[:5]} == {"2026-06-25"}
    assert [str(tree.known_since) for tree in trees[5:]] == ["None", "2025-01-02"]


def test_a_record_that_is_changed_or_brought_again_is_known_since_the_same_day(
    run: Run, orchard_path: Path, tmp_path: Path
) -> None:
    file = tmp_path / "more.csv"
    file.write_text("id,tree,variety,note\ng1,t1,Invented 1,north side\nnew,t1,Another,\n")
    run("bring", str(file), "--as", "grafts", "--on", "2026-08-01")
    grafts = {graft.id: graft for graft in Workbench.open(orchard_path).records.read().grafts}
    assert (grafts["g1"].note, str(grafts["g1"].known_since)) == ("north side", "2026-06-25")
    assert str(grafts["new"].known_since) == "2026-08-01"


def test_what_is_added_by_hand_is_known_since_that_day_and_undo_takes_it_away(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    typed = {"tree": "t1", "variety": "By hand", "method": "cleft", "state": "set", "set_on": "2026-04-01"}
    bench.records.entries.add("grafts", typed, BROUGHT)
    assert bench.records.read().grafts[-1].known_since == BROUGHT
    bench.records.undo(BROUGHT)
    assert len(bench.records.read().grafts) == 100
    for kind in ("trees", "grafts", "wood"):
        assert csv_text(kind, ()).strip().endswith(",known_since")
    assert [kind for kind in KINDS if any(field.name == "known_since" for field in KINDS[kind].fields)] == [
        "trees", "wood", "grafts",
    ]  # fmt: skip


def test_who_comes_back_after_weeks_is_told_that_and_not_all_the_changes(run: Run) -> None:
    assert "You were away" not in run("week", *ON).stdout
    said = " ".join(run("week", "--on", "2026-08-10").stdout.split())
    assert "You were away for 7 weeks. Can still be saved: 21 wraps" in said
    assert "Since" not in said
    again = " ".join(run("week", "--on", "2026-08-10").stdout.split())
    assert "You were away for 7 weeks." in again  # all day long
    assert "Since yesterday" in run("week", "--on", "2026-08-11").stdout


def test_plans_that_the_daily_jobs_make_are_no_visit(run: Run, orchard_path: Path) -> None:
    run("week", *ON)
    bench = Workbench.open(orchard_path)
    bench.plan.of(BROUGHT.replace(month=8, day=9))
    bench.close()
    assert "You were away for 7 weeks." in run("week", "--on", "2026-08-10").stdout


@pytest.mark.parametrize("content", [b"", b"{}", b"[1]", b"\xff"])
def test_a_damaged_list_of_days_is_none(run: Run, orchard_path: Path, content: bytes) -> None:
    run("week", *ON)
    (orchard_path / "cache" / "looked.json").write_bytes(content)
    assert "You were away for 2 weeks." in run("week", "--on", "2026-07-09").stdout.replace("14 days", "2 weeks")
