"""A bench graft is made indoors and planted out, with jobs of its own, and none of a graft in a crown. Invented grafts.

Oshkosh Seed Savers, undated (after the risk of frost, early in May); Alaska Pioneer Fruit Growers, Alaska fruit
calendar, undated (bags off after two to three weeks).
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from shipped import BENCH, TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task
from tendwork.species import SPECIES, stage_named

SET_ON, TODAY = date(2026, 2, 20), date(2026, 4, 25)
OWN = ("plant-out-bench-grafts", "bags-off-bench-grafts", "water-bench-grafts", "rub-off-bench-grafts")
OF_A_LIMB = {"rub-off-weekly", "rub-off-fortnightly", "rub-off-monthly", "let-in-light"}
SEASON = Season(2026)
ALMANAC = SteadyAlmanac()


def tasks_of(method: str, today: date = TODAY) -> list[Task]:
    graft = Graft("g1", "t1", "Lamp", method, "PVC tape", state="set", set_on=SET_ON)
    records = Records((Tree("t1", "New apple", "apple"),), (graft,))
    return [task for task in plan(SiteLimits(), records, ALMANAC, TEMPLATES, today).tasks if task.season == 2026]


def ids_of(method: str) -> set[str]:
    return {task.template for task in tasks_of(method) if task.each == "graft"}


@pytest.mark.parametrize("method", [BENCH, "Bench graft", "BENCH  GRAFT"])
def test_once_made_it_has_the_jobs_of_a_whip_graft_but_those_of_a_limb_and_its_own(method: str) -> None:
    assert ids_of(method) == (ids_of("whip and tongue") - OF_A_LIMB) | set(OWN)
    assert not ids_of("whip and tongue") & set(OWN)


@pytest.mark.parametrize("species", SPECIES)
def test_a_planned_one_is_made_at_the_bench_while_its_stock_sleeps_and_never_outdoors(species: str) -> None:
    """Alaska Pioneer Fruit Growers (R. Purvis), Establishing bench grafts, undated: wood and stock fully dormant."""

    def grafting(method: str) -> dict[str, Task]:
        graft = Graft("g1", "t1", "Lamp", method, state="planned")
        records = Records((Tree("t1", "Tree", species),), (graft,))
        tasks = plan(SiteLimits(), records, ALMANAC, TEMPLATES, date(2026, 1, 10)).tasks
        return {one.template: one for one in tasks if one.part == "grafting" and one.season == 2026}

    made = grafting(BENCH)
    assert set(made) == {"make-bench-grafts"}
    assert "make-bench-grafts" not in grafting("whip and tongue")
    swollen = ALMANAC.stage(species, stage_named(species, "swollen bud") or "", SEASON).date
    assert swollen is not None
    assert made["make-bench-grafts"].window.closes < swollen


def test_it_is_planted_out_when_its_buds_move_and_no_frost_is_near() -> None:
    (job,) = [task for task in tasks_of(BENCH) if task.template == OWN[0]]
    green_tip, petal_fall = (ALMANAC.stage("apple", stage, SEASON).date for stage in ("green tip", "petal fall"))
    assert green_tip is not None
    assert petal_fall is not None
    assert green_tip <= job.window.opens < job.window.closes <= petal_fall
    (rule,) = [template for template in TEMPLATES if template.id == OWN[0]]
    assert rule.weather.frost_free_nights >= 3


def test_water_comes_every_few_days_at_first_then_weekly_and_goes_on_sparingly() -> None:
    first = [task.window for task in tasks_of(BENCH) if task.template == "water-bench-grafts"]
    then = [task.window for task in tasks_of(BENCH) if task.template == "water-in-drought"]
    assert {(later.opens - one.opens).days for one, later in pairwise(first)} == {4}
    assert {(later.opens - one.opens).days for one, later in pairwise(then)} == {7}
    later = [task.window for task in tasks_of(BENCH) if task.template == "water-young-in-autumn"]
    assert max(window.opens for window in first) <= min(window.opens for window in then) + timedelta(days=7)
    assert max(window.lapses for window in then) <= min(window.opens for window in later) <= date(2026, 9, 1)


@pytest.mark.parametrize("method", ["whip", "Whip graft", "whip and tongue graft"])
def test_a_whip_graft_is_whip_and_tongue_and_no_bench_graft(method: str) -> None:
    assert ids_of(method) == ids_of("whip and tongue")
