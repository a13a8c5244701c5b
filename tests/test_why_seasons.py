"""Why a job of another season stood, or will stand, where it does: the key names its season."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

TAKE = "check-take/t1/2026"
NOVEMBER = date(2026, 11, 20)  # season 2027


def kept(orchard: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in (orchard / "cache").iterdir()}


def test_why_tells_of_a_job_of_last_season_as_it_stood_on_its_last_day(run) -> None:
    assert run("tick", TAKE, "g1", "--outcome", "took", "--on", "2026-05-12").returncode == 0
    done = run("why", TAKE, "--on", "2026-11-20")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[0] == "As it stood on Sat 31 Oct 2026, the last day of season 2026."
    for words in ("See whether the grafts took, Old apple", "took 12 May", "Why", "Steps", "Caution", "Source"):
        assert words in done.stdout


def test_why_of_a_job_of_this_season_says_nothing_of_another_day(run) -> None:
    assert "As it" not in run("why", TAKE, "--on", "2026-05-12").stdout


def test_why_as_json_says_of_which_day_it_is(run) -> None:
    then, now = (json.loads(run("why", TAKE, "--on", on, "--json").stdout) for on in ("2026-11-20", "2026-05-12"))
    assert (then["key"], then["as_of"]) == (TAKE, "2026-10-31")
    assert (now["key"], now["as_of"]) == (TAKE, "2026-05-12")


def test_why_tells_of_a_job_of_the_coming_season_that_is_still_far_off(run) -> None:
    key = "cleft-apple-pear/t1/2027"
    assert key not in run("season", "--on", "2026-06-01").stdout
    done = run("why", key, "--on", "2026-06-01")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[0].startswith("As it will stand on Sun 1 Nov 2026, the first day of season 2027")


def test_the_plan_of_another_season_is_not_kept(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    bench.plan.of(NOVEMBER)
    before = kept(orchard_path)
    task, day = bench.plan.task_and_day(TAKE, NOVEMBER)
    assert (task.key, day) == (TAKE, date(2026, 10, 31))
    assert kept(orchard_path) == before
    assert bench.plan.last_plan().today == NOVEMBER


def test_a_job_of_the_coming_season_that_opens_soon_is_told_as_of_today(orchard_path: Path) -> None:
    bench, october = Workbench.open(orchard_path), date(2026, 10, 20)
    soon = next(task for task in bench.plan.of(october).plan.tasks if task.key.endswith("/2027"))
    assert bench.plan.task_and_day(soon.key, october) == (soon, october)


@pytest.mark.parametrize(
    ("key", "told"),
    [
        ("check-take/t1/2019", "Nothing is recorded of season 2019: the first record is of season 2026."),
        ("check-take/t1/0000", "Nothing is recorded of season 0: the first record is of season 2026."),
        ("check-take/t1/2029", "Season 2029 cannot be planned yet: only this one, 2027, and the next."),
        ("check-take/t9/2026", 'There is no task "check-take/t9/2026" in season 2026. Near it: check-take/t2/2026'),
        ("check-take/t9/2027", 'There is no task "check-take/t9/2027" in this season.'),
        pytest.param("check-take/t1/" + "9" * 5000, "There is no task", id="no season"),
    ],
)
def test_a_season_that_cannot_be_planned_and_a_job_that_it_does_not_have_are_a_sentence(
    orchard_path: Path, key: str, told: str
) -> None:
    with pytest.raises(PersonError) as refused:
        Workbench.open(orchard_path).plan.task_and_day(key, NOVEMBER)
    assert str(refused.value).startswith(told)


def test_a_round_of_last_season_and_the_beginning_of_a_key_are_found_too(orchard_path: Path) -> None:
    bench = Workbench.open(orchard_path)
    round_two = next(
        task.key for task in bench.plan.as_of(date(2026, 10, 31)).plan.tasks if task.key.endswith("2026.2")
    )
    assert bench.plan.task_and_day(round_two, NOVEMBER)[0].key == round_two


def test_ticks_are_only_for_the_jobs_of_the_day(run) -> None:
    done = run("tick", TAKE, "--outcome", "took", "--on", "2026-11-20")
    assert (done.returncode, "There is no task" in done.stderr) == (1, True)
