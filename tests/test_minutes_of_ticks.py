"""Minutes noted with a tick: through the commands, in a real folder, in and out as CSV, and undone."""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]

ON = "2026-02-20"
KEY, OTHER = "winter-prune-pome/t1/2026", "winter-prune-pome/t2/2026"
WALK = "check-labels-and-ties/t1/2026"


def minutes_in(path: Path) -> list[float | None]:
    bench = Workbench.open(path)
    try:
        return [tick.minutes for tick in bench.records.read().ticks]
    finally:
        bench.close()


def planned(run: Run, key: str, day: str = ON) -> float:
    made = json.loads(run("--on", day, "season", "--json").stdout)
    return next(task["minutes"] for task in made["tasks"] if task["key"] == key)


def why(run: Run, key: str) -> str:
    return " ".join(run("--on", ON, "why", key).stdout.split())


def test_noted_minutes_are_kept_said_and_move_the_time_of_other_trees(run: Run, orchard_path: Path) -> None:
    before = planned(run, OTHER)
    done = run("--on", ON, "tick", KEY, "--minutes", "220")
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip().endswith("Old apple: done. Minutes noted: 220.")
    assert minutes_in(orchard_path) == [220]
    after = planned(run, OTHER)
    assert after > before
    times = round(after / before, 2)
    assert f"Minutes by 1 note of your own, none of this tree: {times:g} times the usual." in why(run, OTHER)
    assert "by 1 note of your own:" in why(run, KEY)


def test_without_notes_the_time_is_that_of_the_rule_and_the_tree(run: Run) -> None:
    # Setting up 10 min; M25 is no stock that is known, so middle-sized; the wall pear on Quince A is, too.
    assert planned(run, KEY) == planned(run, OTHER) == 55
    said = 'Minutes of a middle-sized tree: its height is not noted and how large trees grow on "M25" is not known.'
    assert said in why(run, KEY)
    assert "notes of your own" not in why(run, KEY)


def test_undo_and_untick_take_the_minutes_back(run: Run) -> None:
    before = planned(run, OTHER)
    run("--on", ON, "tick", KEY, "--minutes", "220")
    run("--on", ON, "undo")
    assert planned(run, OTHER) == before
    run("--on", ON, "tick", KEY, "--minutes", "220")
    assert planned(run, OTHER) > before
    run("--on", ON, "untick", KEY)
    assert planned(run, OTHER) == before


def test_minutes_can_be_noted_after_the_tick_without_a_second_one(run: Run, orchard_path: Path) -> None:
    run("--on", ON, "tick", KEY, "--note", "wet")
    done = run("--on", "2026-02-21", "tick", KEY, "t1", "--minutes", "90")
    assert "done since 20 Feb already, minutes noted." in done.stdout
    assert minutes_in(orchard_path) == [None, 90]
    again = run("--on", "2026-02-21", "tick", KEY, "t1", "--minutes", "90")
    assert "nothing was changed" in again.stdout
    noted = run("--on", "2026-02-21", "tick", KEY, "t1", "--note", "dry after all")
    assert "note added" in noted.stdout
    assert minutes_in(orchard_path) == [None, 90, 90]


def test_minutes_after_the_tick_are_those_of_what_was_ticked_last(run: Run, orchard_path: Path) -> None:
    run("--on", ON, "tick", KEY)
    done = run("--on", "2026-02-21", "tick", KEY, "--minutes", "90")
    assert "done since 20 Feb already, minutes noted." in done.stdout
    assert minutes_in(orchard_path) == [None, 90]
    other = run("--on", "2026-02-21", "tick", KEY, "--minutes", "90", "--outcome", "not needed")
    assert other.returncode == 1
    assert minutes_in(orchard_path) == [None, 90]


def test_minutes_of_several_units_are_shared_among_them(run: Run, orchard_path: Path) -> None:
    assert (
        run("--on", "2026-06-20", "tick", WALK, "g1", "g2", "--outcome", "all well", "--minutes", "25").returncode == 0
    )
    assert minutes_in(orchard_path) == [12.5, 12.5]


@pytest.mark.parametrize("minutes", ["0", "-3", "1441", "nan", "inf", "-inf"])
def test_minutes_that_cannot_be_are_refused_and_nothing_is_ticked(run: Run, orchard_path: Path, minutes: str) -> None:
    done = run("--on", ON, "tick", KEY, "--minutes", minutes)
    assert done.returncode == 1
    assert "minutes cannot be: write more than 0, and no more than the 1440 of a day." in done.stderr
    assert minutes_in(orchard_path) == []


def test_minutes_that_are_no_number_are_refused(run: Run, orchard_path: Path) -> None:
    done = run("--on", ON, "tick", KEY, "--minutes", "an hour")
    assert done.returncode == 2
    assert "'an hour' is not a number" in done.stderr
    assert minutes_in(orchard_path) == []


@pytest.mark.parametrize("outcome", ["skipped", "not yet", "not needed"])
def test_what_was_not_done_took_no_minutes(run: Run, orchard_path: Path, outcome: str) -> None:
    done = run("--on", ON, "tick", KEY, "--outcome", outcome, "--minutes", "30")
    assert done.returncode == 1
    assert f'not with "{outcome}"' in done.stderr
    assert minutes_in(orchard_path) == []


def test_minutes_go_out_and_come_in_as_csv(run: Run, orchard_path: Path, tmp_path: Path) -> None:
    other = Path(shutil.copytree(orchard_path, tmp_path / "other"))
    run("--on", ON, "tick", KEY, "--minutes", "97,5")
    run("--on", ON, "give", str(tmp_path / "out"))
    ticks = tmp_path / "out" / "ticks.csv"
    assert ticks.read_text() == f"date,task,unit,outcome,note,undone,minutes\n{ON},{KEY},t1,done,,,97.5\n"
    assert "0 new" in run("--on", ON, "bring", str(ticks), "--as", "ticks").stdout
    assert minutes_in(orchard_path) == [97.5]
    run("--on", ON, "bring", str(ticks), "--as", "ticks", orchard=other)
    assert minutes_in(other) == [97.5]


@pytest.mark.parametrize("last", ["", ",minutes"])
def test_a_file_without_minutes_takes_none_away(run: Run, orchard_path: Path, tmp_path: Path, last: str) -> None:
    run("--on", ON, "tick", KEY, "--minutes", "97")
    ticks = tmp_path / "ticks.csv"
    ticks.write_text(f"date,task,unit,outcome{last}\n{ON},{KEY},t1,done{',' if last else ''}\n")
    assert "0 new" in run("--on", ON, "bring", str(ticks), "--as", "ticks").stdout
    assert minutes_in(orchard_path) == [97]


@pytest.mark.parametrize("minutes", ["0", "-3", "1441", "an hour"])
def test_minutes_of_a_file_that_cannot_be_are_named_with_their_line(run: Run, tmp_path: Path, minutes: str) -> None:
    ticks = tmp_path / "ticks.csv"
    ticks.write_text(f"date,task,unit,minutes\n{ON},{KEY},t1,{minutes}\n")
    done = run("--on", ON, "bring", str(ticks), "--as", "ticks")
    assert done.returncode == 1
    assert 'line 2, key "minutes"' in done.stderr


def test_minutes_of_a_file_beside_what_was_not_done_are_told(run: Run, tmp_path: Path) -> None:
    ticks = tmp_path / "ticks.csv"
    ticks.write_text(f"date,task,unit,outcome,minutes\n{ON},{KEY},t1,skipped,30\n")
    done = run("--on", ON, "bring", str(ticks), "--as", "ticks")
    said = " ".join(done.stdout.split())
    assert 'line 2, key "minutes": Minutes beside "skipped" count for nothing' in said


def test_the_week_the_reasons_and_the_season_say_the_same_minutes(run: Run) -> None:
    run("--on", ON, "tick", KEY, "--minutes", "220")
    (task,) = [task for task in json.loads(run("--on", ON, "week", "--json").stdout)["tasks"] if task["key"] == OTHER]
    assert task["minutes"] == planned(run, OTHER) > 55
    hours, minutes = divmod(-int(-task["minutes"] // 1), 60)
    said = f"{hours} h {minutes:02d}"
    assert said in why(run, OTHER)
    assert sum(day["minutes"] for day in task["days"]) in (0, pytest.approx(task["minutes"]))
    assert said in " ".join(run("--on", ON, "season").stdout.split())
