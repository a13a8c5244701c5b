"""`undo` takes back the last thing done, whether it was on the records or on what is adjusted and left out."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from tendwork.workbench.bench import Workbench

Run = Callable[..., subprocess.CompletedProcess[str]]
ON = ("--on", "2026-04-10")
TODAY = date(2026, 4, 10)
RULE = "check-take"


@pytest.fixture
def said(run: Run) -> Callable[..., str]:
    def say(*words: str) -> str:
        done = run(*ON, *words)
        assert (done.returncode, done.stderr) == (0, "")
        return " ".join(done.stdout.split())

    return say


def standing(path: Path) -> tuple[float | None, list[str], int]:
    """The degrees by which the site is colder, the templates that are left out, and the signs of disease."""
    with closing(Workbench.open(path)) as bench:
        held = bench.templates.adjustments()
        out = [name for name, change in held.template.items() if change.off or change.left_out]
        return held.site.degrees_c, out, len(bench.records.read().troubles)


def test_acts_on_records_and_adjustments_go_back_in_the_order_in_which_they_were_done(
    said: Callable[..., str], orchard_path: Path
) -> None:
    said("trouble", "t1", "canker")
    said("adjust", "--colder", "2", "--yes")
    said("trouble", "t2", "canker")
    assert standing(orchard_path) == (2.0, [], 2)
    assert "canker seen" in said("undo")
    assert standing(orchard_path) == (2.0, [], 1)
    assert said("undo") == "Undone: what was adjusted of the site's shift."
    assert standing(orchard_path) == (None, [], 1)
    said("undo")
    assert standing(orchard_path) == (None, [], 0)


def test_leaving_out_and_taking_in_are_undone_one_by_one(said: Callable[..., str], orchard_path: Path) -> None:
    said("trouble", "t1", "canker")
    said("leave-out", RULE)
    said("take-in", RULE)
    assert said("undo").startswith("Undone: taken in again")
    assert standing(orchard_path) == (None, [RULE], 1)
    assert said("undo").startswith("Undone: left out for good")
    assert standing(orchard_path) == (None, [], 1)
    said("undo")
    assert standing(orchard_path) == (None, [], 0)


def test_what_was_changed_in_the_file_since_is_told_and_left(
    run: Run, said: Callable[..., str], orchard_path: Path
) -> None:
    said("trouble", "t1", "canker")
    said("adjust", "--colder", "2", "--yes")
    file = orchard_path / "adjustments.toml"
    file.write_text(file.read_text().replace("2", "3"))
    done = run(*ON, "undo")
    assert done.returncode != 0
    told = " ".join(done.stderr.split())
    assert "That cannot be undone: what was adjusted of the site's shift. site was changed in adjustments.toml" in told
    assert standing(orchard_path) == (3.0, [], 1)
    said("undo")
    assert standing(orchard_path) == (3.0, [], 0)


def test_what_was_taken_back_in_the_file_is_passed_over(said: Callable[..., str], orchard_path: Path) -> None:
    said("trouble", "t1", "canker")
    said("adjust", "--colder", "2", "--yes")
    (orchard_path / "adjustments.toml").unlink()
    assert "canker" in said("undo")
    assert standing(orchard_path) == (None, [], 0)


def test_what_the_screen_takes_back_is_no_act_to_undo(said: Callable[..., str], orchard_path: Path) -> None:
    said("trouble", "t1", "canker")
    with closing(Workbench.open(orchard_path)) as bench:
        bench.templates.leave_out(RULE, today=TODAY)
        bench.templates.take_in(RULE, today=TODAY, undoing=True)
        assert "canker" in bench.records.undo(TODAY)
    assert standing(orchard_path) == (None, [], 0)


def test_a_reset_where_nothing_was_adjusted_is_no_act(said: Callable[..., str]) -> None:
    said("trouble", "t1", "canker")
    assert "No window of this season moves." in said("adjust", RULE, "--reset", "--yes")
    assert said("undo") == "Undone: Old apple (t1): canker seen on 2026-04-10."
