"""Ticks, unticks, other outcomes and undo on a place that had an earlier graft: each act reaches its own life alone."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from bench_acts import tick_job

from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

CLEFT, TAKE = "cleft-apple-pear/t1/2026", "check-take/t1/2026"


@pytest.fixture
def bench(orchard_path: Path, tmp_path: Path) -> Workbench:
    """g9 waits for wood of ten sticks, to be set by cleft."""
    bench = Workbench.open(orchard_path)
    bring(bench, tmp_path, "wood", "id,variety,species,sticks,cut_on\nw1,Lamp,apple,10,2026-01-05\n")
    bring(bench, tmp_path, "grafts", "id,tree,variety,method,wrap,state\ng9,t1,Lamp,cleft,raffia,planned\n")
    return bench


def bring(bench: Workbench, place: Path, kind: str, rows: str, day: date = date(2026, 11, 1)) -> tuple[str, ...]:
    file = place / "rows.csv"
    file.write_text(rows)
    return bench.records.bring(file, kind, day)


def again(bench: Workbench, place: Path) -> None:
    """Set, failed, planned again."""
    tick_job(bench, CLEFT, ("g9",), date(2026, 4, 6), "set")
    tick_job(bench, TAKE, ("g9",), date(2026, 5, 20), "failed")
    bring(bench, place, "grafts", "id,tree,variety,state\ng9,t1,Lamp,planned\n", date(2026, 5, 22))


def sticks(bench: Workbench) -> int:
    return next(bundle.sticks for bundle in bench.records.read().wood if bundle.id == "w1")


def test_untick_does_not_reach_into_an_earlier_life(bench: Workbench, tmp_path: Path) -> None:
    again(bench, tmp_path)
    assert sticks(bench) == 9
    with pytest.raises(PersonError, match="Nothing is ticked"):
        bench.records.untick(CLEFT, ("g9",), date(2026, 5, 23))
    assert sticks(bench) == 9
    assert [life.variety for life in bench.records.read().lives] == ["Lamp"]


def test_another_outcome_puts_back_the_sticks_of_its_own_life_alone(bench: Workbench, tmp_path: Path) -> None:
    again(bench, tmp_path)
    tick_job(bench, CLEFT, ("g9",), date(2026, 5, 24), "set")
    assert sticks(bench) == 8
    tick_job(bench, CLEFT, ("g9",), date(2026, 5, 24), "skipped")
    assert sticks(bench) == 9


def test_undoing_an_untick_brings_the_tick_back_with_its_own_day(bench: Workbench) -> None:
    tick_job(bench, CLEFT, ("g9",), date(2026, 4, 6), "set")
    tick_job(bench, TAKE, ("g9",), date(2026, 5, 20), "took")
    bench.records.untick(TAKE, ("g9",), date(2026, 7, 19))
    bench.records.undo(date(2026, 7, 20))
    said = tick_job(bench, TAKE, ("g9",), date(2026, 7, 20), "took")
    assert "since 20 May" in said


def test_an_earlier_life_can_be_corrected(bench: Workbench, tmp_path: Path) -> None:
    again(bench, tmp_path)
    rows = "graft,variety,method,wrap,state,set_on,ended_on,note\ng9,Lamp,cleft,film,failed,2026-04-06,2026-05-01,dry\n"
    (told, *_) = bring(bench, tmp_path, "lives", rows)
    assert told.startswith("Brought 0 new, 1 changed")
    (life,) = bench.records.read().lives
    assert (life.ended_on, life.note) == (date(2026, 5, 1), "dry")
    bench.records.undo(date(2026, 11, 2))
    (life,) = bench.records.read().lives
    assert life.ended_on == date(2026, 5, 20)


def test_a_name_that_two_units_share_is_no_name_of_one(bench: Workbench, tmp_path: Path) -> None:
    bring(bench, tmp_path, "grafts", "id,tree,variety,method,wrap,state\ng8,t1,Lamp,cleft,raffia,planned\n")
    with pytest.raises(PersonError, match="g9 and g8"):
        tick_job(bench, CLEFT, ("Lamp",), date(2026, 4, 6), "set")
    tick_job(bench, CLEFT, ("g8",), date(2026, 4, 6), "set")


def test_another_spelling_of_a_variety_has_the_same_wood(bench: Workbench, tmp_path: Path) -> None:
    bring(bench, tmp_path, "grafts", "id,tree,variety,method,wrap,state\ng8,t1,LAMP,cleft,raffia,planned\n")
    jobs = [task for task in bench.plan.of(date(2026, 1, 12)).plan.tasks if task.template == "collect-wood-apple-pear"]
    assert not [unit for task in jobs for unit in task.units if unit.variety.casefold() == "lamp"]
