"""What a change would move and take away, told from two plans."""

from __future__ import annotations

from datetime import timedelta

from fitting import TODAY, plan_of, task
from msgspec.structs import replace

from tendwork.planning.preview import Loss, losses, moves
from tendwork.planning.results import Task, Window


def job(template: str, subject: str, round_: int = 1, season: int = 2026) -> Task:
    made = task(template, subject=subject)
    return replace(made, key=f"{template}/{subject}/{season}.{round_}", season=season)


def test_a_template_loses_the_jobs_of_this_season_that_are_there_no_more() -> None:
    before = plan_of(job("look", "t1"), job("look", "t1", 2), job("look", "t2"), job("wash", "t1"), job("cut", "t1"))
    after = plan_of(job("look", "t1", 2), job("cut", "t1"))
    assert losses(before, after, left_out=("wash",)) == (
        Loss("look", "look", gone=1, left=1),
        Loss("wash", "wash", gone=1, left=0, left_out=True),
    )


def test_a_job_of_another_season_that_goes_out_of_sight_is_no_loss() -> None:
    assert losses(plan_of(job("look", "t1", season=2025), job("cut", "t1")), plan_of(job("cut", "t1"))) == ()


def test_a_window_that_moves_is_told_with_its_days_and_the_week_and_one_that_stays_is_not() -> None:
    stays, was = job("look", "t1"), job("wash", "t1")
    later = was.window.opens + timedelta(days=30)
    window = Window(later, later, later + timedelta(days=6), later + timedelta(days=6))
    unit = replace(was.units[0], window=window, state="coming")
    will = replace(was, window=window, units=(unit,), state="coming")
    (moved,) = moves(plan_of(stays, was), plan_of(stays, will))
    assert (moved.key, moved.days, moved.week, moved.gone) == (was.key, 30, "leaves", False)
    assert (moved.before, moved.after) == ((TODAY, TODAY + timedelta(days=6)), (later, later + timedelta(days=6)))
    (back,) = moves(plan_of(will), plan_of(was))
    assert (back.days, back.week) == (-30, "enters")


def test_a_job_of_this_season_that_is_there_no_more_is_gone_and_one_of_another_only_out_of_sight() -> None:
    ours, theirs = job("look", "t1"), job("look", "t1", season=2025)
    assert [(move.days, move.gone) for move in moves(plan_of(ours, theirs), plan_of())] == [(None, False), (None, True)]
