"""Buds of spring and June are cared for in the summer in which they grow, summer buds in the spring that wakes them.

A bud's shoot is tied at 10 to 15 cm and makes 80 to 120 cm by autumn (T. Neder, Kleingartenmagazin, 2018); June buds
are set from late May to late June (Galveston County, GC-310; American Horticultural Manual), summer buds are headed
back the next spring (Real English Fruit). The buds are invented.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac
from timing_orchard import almanac_of

from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.rough_dates import RoughDate
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task

CARE = ("rub-off-beside-buds", "stake-bud-shoots")
HEADING = "head-back-above-bud"


def jobs_of(
    set_on: date | RoughDate, today: date, site: str = "warm", species: str = "peach", south: bool = False
) -> dict[str, Task]:
    """The first rounds of the bud's jobs of today's season."""
    bud = Graft("g", "t", "Lamp", "T-bud", "PVC tape", state="took", set_on=set_on)
    records = Records((Tree("t", "Tree", species, planted=2000),), (bud,))
    almanac = SteadyAlmanac() if south else almanac_of(site, today)
    made = plan(SiteLimits(south=south), records, almanac, TEMPLATES, today)
    return {task.template: task for task in made.tasks if task.season == made.season and task.round == 1}


@pytest.mark.parametrize(
    ("site", "species", "set_on"),
    [
        ("warm", "peach", date(2026, 5, 29)),
        ("Gulf Texas", "peach", date(2026, 6, 2)),
        ("warm", "apple", date(2026, 4, 20)),
    ],
)
def test_a_bud_that_grows_at_once_has_its_shoot_cared_for_that_summer(site: str, species: str, set_on: date) -> None:
    jobs = jobs_of(set_on, set_on + timedelta(days=20), site, species)
    assert set(CARE) <= jobs.keys()
    for name in CARE:
        assert set_on + timedelta(days=14) <= jobs[name].window.opens <= set_on + timedelta(days=45)
        assert any("grow at once" in why for why in jobs[name].because)
    assert not {*CARE, HEADING} & jobs_of(set_on, date(2027, 3, 10), site, species).keys()


@pytest.mark.parametrize("set_on", [date(2026, 7, 1), date(2026, 8, 5), date(2026, 9, 10)])
def test_a_summer_bud_sleeps_and_is_headed_back_rubbed_free_and_tied_next_spring(set_on: date) -> None:
    assert not {*CARE, HEADING} & jobs_of(set_on, set_on + timedelta(days=20)).keys()
    jobs = jobs_of(set_on, date(2027, 3, 10))
    assert {*CARE, HEADING} <= jobs.keys()
    assert jobs[HEADING].window.opens < jobs[CARE[0]].window.opens


@pytest.mark.parametrize("set_on", [RoughDate(2026), RoughDate(2026, 8)])
def test_a_bud_of_which_no_day_is_known_is_headed_back_the_next_spring(set_on: RoughDate) -> None:
    assert {*CARE, HEADING} <= jobs_of(set_on, date(2027, 3, 10)).keys()


def test_in_the_south_december_is_june() -> None:
    june, august = date(2026, 12, 5), date(2027, 2, 5)
    assert set(CARE) <= jobs_of(june, date(2027, 1, 2), south=True).keys()
    assert HEADING not in jobs_of(june, date(2027, 9, 10), south=True)
    assert not {*CARE, HEADING} & jobs_of(august, date(2027, 3, 1), south=True).keys()
    assert {*CARE, HEADING} <= jobs_of(august, date(2027, 9, 10), south=True).keys()


def test_a_chip_bud_made_at_the_bench_in_december_is_cared_for_in_its_first_spring() -> None:
    jobs = jobs_of(date(2025, 12, 10), date(2026, 4, 20), species="apple")
    assert set(CARE) <= jobs.keys()
    assert HEADING not in jobs


def test_the_top_comes_off_only_once_the_bud_is_seen_to_live() -> None:
    rules = {rule.id: " ".join(rule.steps) for rule in TEMPLATES}
    assert "the top stays until you have seen that it lives" in rules["cut-bud-ties-peach"]
    assert "A bud of spring or June" in rules["check-bud-take"]
    assert "cut the stock back above it now, tie or no tie, never before" in rules["check-bud-take"]
    assert "shears" not in " ".join(next(rule for rule in TEMPLATES if rule.id == "cut-bud-ties-peach").tools)


@pytest.mark.parametrize(
    ("set_on", "first"),
    [
        (date(2026, 4, 20), 2026),
        (date(2026, 6, 10), 2026),
        (date(2026, 7, 5), 2027),
        (date(2026, 8, 20), 2027),
        (RoughDate(2026), 2027),
        (RoughDate(2026, 8), 2027),
    ],
)
def test_what_is_of_the_second_summer_of_growth_comes_a_year_later_for_a_bud_that_slept(
    set_on: date | RoughDate, first: int
) -> None:
    """Shoots of summer buds grow a year later; unions are looked at from their second year on."""
    for year in (first, first + 1, first + 2):
        jobs = jobs_of(set_on, date(year, 6, 20), species="apple").keys()
        assert ("second-year-fruit" in jobs) == (year == first + 1), year
        assert ("check-unions-after-bloom" in jobs) == (year > first), year
        assert ("let-in-light-buds" in jobs) == (year < first + 2), year


def test_a_bud_that_slept_is_not_moved_by_hand_before_it_grows() -> None:
    assert "check-unions" not in jobs_of(date(2026, 8, 20), date(2027, 1, 20))
    assert "check-unions" in jobs_of(date(2026, 8, 20), date(2028, 1, 20))


def test_in_the_south_a_february_bud_grows_in_the_season_after() -> None:
    february = date(2027, 2, 5)
    assert "second-year-fruit" not in jobs_of(february, date(2027, 12, 20), south=True, species="apple")
    assert "second-year-fruit" in jobs_of(february, date(2028, 12, 20), south=True, species="apple")


def test_where_a_summer_bud_did_not_live_a_shoot_is_kept_the_summer_after_it_was_set() -> None:
    dead = Graft("g", "t", "Lamp", "T-bud", "", state="failed", set_on=date(2026, 8, 20))
    records = Records((Tree("t", "Tree", "apple", planted=2000),), (dead,))

    def is_asked(today: date) -> bool:
        made = plan(SiteLimits(), records, almanac_of("warm", today), TEMPLATES, today)
        return any(task.template == "save-a-shoot" and task.season == made.season for task in made.tasks)

    assert not is_asked(date(2026, 9, 20))
    assert is_asked(date(2027, 6, 20))
    assert not is_asked(date(2028, 6, 20))
