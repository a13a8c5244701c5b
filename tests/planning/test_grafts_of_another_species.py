"""What follows a graft's own species, and what its tree's: peach on plum, medlar on quince, pear on hawthorn."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from msgspec.structs import replace
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.almanac.results import StageDate
from tendwork.almanac.seasons import Season
from tendwork.folder.data_files import SAMPLE_CONFIG, data_folder
from tendwork.orchard.graft_species import graft_species
from tendwork.orchard.records import Graft, Records, Sighting, Tree, Wood
from tendwork.orchard.rough_dates import RoughDate, first_day, rough_words
from tendwork.planning.gaps import NO_METHOD
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan, Task
from tendwork.workbench.demo import as_of, sample_records
from tendwork.workbench.plan_inputs import seen_of

DAYS_LATER = {"peach": -12, "plum": 0, "medlar": 15, "quince": 9}
PLUM, QUINCE = Tree("t1", "Shed plum", "plum"), Tree("t2", "Old quince", "quince")


class SpeciesAlmanac(SteadyAlmanac):
    """Every stage of a species so many days later than the fixed one."""

    def stage(self, species: str, stage: str, season: Season, variety: str = "") -> StageDate:
        found = super().stage(species, stage, season, variety)
        later = timedelta(days=DAYS_LATER.get(species, 0))
        return found if found.date is None else replace(found, date=found.date + later, low=None, high=None)


ALMANAC = SpeciesAlmanac()


def planned(records: Records, today: date) -> Plan:
    return plan(SiteLimits(), records, ALMANAC, TEMPLATES, today)


def jobs_of(made: Plan, unit: str) -> dict[str, Task]:
    """The first task of each template that has this unit."""
    found: dict[str, Task] = {}
    for task in made.tasks:
        if any(one.id == unit for one in task.units):
            found.setdefault(task.template, task)
    return found


def peach(**changes: object) -> Graft:
    base: dict[str, object] = {
        "variety": "Early Peach", "species": "peach", "method": "cleft", "wrap": "PVC tape", "state": "planned",
    }  # fmt: skip
    return Graft("g1", "t1", **{**base, **changes})  # type: ignore[arg-type]


def day_of(species: str, stage: str, year: int) -> date:
    day = ALMANAC.stage(species, stage, Season(year)).date
    assert day is not None
    return day


@pytest.mark.parametrize("today", [date(2026, 1, 10), date(2026, 4, 20), date(2026, 7, 25), date(2026, 10, 5)])
def test_a_species_that_is_spelled_out_though_it_is_the_trees_changes_nothing(today: date) -> None:
    records = as_of(sample_records(data_folder(SAMPLE_CONFIG)), today)
    trees = {tree.id: tree for tree in records.trees}
    spelled = tuple(replace(graft, species=graft_species(graft, trees[graft.tree])) for graft in records.grafts)
    made, again = planned(records, today), planned(replace(records, grafts=spelled), today)
    assert (again.tasks, again.wraps, again.gaps) == (made.tasks, made.wraps, made.gaps)
    assert seen_of(replace(records, grafts=spelled)) == seen_of(records)


def test_a_peach_to_be_set_on_a_plum_is_a_peachs_job_when_the_plum_is_ready() -> None:
    made = planned(Records((PLUM,), (peach(),)), date(2026, 3, 1))
    jobs = jobs_of(made, "g1")
    assert {"graft-peach-apricot", "cleft-plum-cherry"} & jobs.keys() == {"graft-peach-apricot"}
    assert jobs["graft-peach-apricot"].window.opens == day_of("plum", "full bloom", 2026) + timedelta(days=7)


def test_its_wood_is_a_peachs_and_is_cut_before_a_peach_swells() -> None:
    old = replace(peach(state="bearing"), id="g2")
    made = planned(Records((PLUM,), (peach(), old), (Wood("w1", "Early Peach", "plum", 3),)), date(2026, 1, 2))
    collect = next(task for task in made.tasks if task.template == "collect-wood-peach-apricot")
    assert [(unit.id, unit.species, unit.label) for unit in collect.units] == [
        ("early-peach.peach", "peach", "Early Peach for 1 peach graft: 1 stick")
    ]
    assert collect.window.lapses == day_of("peach", "swollen bud", 2026) - timedelta(days=7)


def test_its_tape_comes_off_as_a_peachs_and_the_tree_keeps_the_jobs_of_a_plum() -> None:
    made = planned(Records((PLUM,), (peach(state="took", set_on=date(2026, 5, 1)),)), date(2026, 6, 20))
    jobs = jobs_of(made, "g1")
    assert {"wraps-tape-peach", "wraps-tape-plum-cherry", "wraps-tape-pome"} & jobs.keys() == {"wraps-tape-peach"}
    of_tree = jobs_of(made, "t1")
    assert {"suckers", "summer-prune-plum", "summer-prune-peach"} & of_tree.keys() == {"suckers", "summer-prune-plum"}


def test_shoots_of_the_stock_are_rubbed_off_by_the_buds_of_the_stock_in_the_first_year() -> None:
    medlar = Graft("g1", "t2", "Nottingham", "cleft", "film", state="took", set_on=date(2026, 3, 1), species="medlar")
    jobs = jobs_of(planned(Records((QUINCE,), (medlar,)), date(2026, 4, 10)), "g1")
    assert jobs["rub-off-weekly"].window.opens == day_of("quince", "green tip", 2026) + timedelta(days=10)


@pytest.mark.parametrize("set_on", [date(2022, 4, 20), RoughDate(2022), RoughDate(2022, 4), None])
def test_a_peach_that_grows_by_itself_is_tasted_by_its_own_bloom(set_on: date | RoughDate | None) -> None:
    bears = peach(state="bearing", set_on=set_on)
    jobs = jobs_of(planned(Records((PLUM,), (bears,)), date(2026, 7, 1)), "g1")
    assert jobs["taste-plums-peaches"].window.opens == day_of("peach", "full bloom", 2026) + timedelta(days=85)


def test_a_bud_set_last_summer_still_waits_for_the_stock_this_spring() -> None:
    bud = peach(method="chip bud", state="took", set_on=date(2025, 8, 10))
    for season, species in ((2026, "plum"), (2027, "peach")):
        jobs = jobs_of(planned(Records((PLUM,), (bud,)), date(season, 3, 1)), "g1")
        opens = jobs["stake-bud-shoots"].window.opens if "stake-bud-shoots" in jobs else None
        assert opens in (None, day_of(species, "petal fall", season)), season


def test_a_peach_without_a_method_is_offered_those_of_peaches() -> None:
    made = planned(Records((PLUM,), (peach(method=""),)), date(2026, 3, 1))
    (gap,) = (gap for gap in made.gaps if gap.kind == NO_METHOD)
    assert gap.species == "peach"
    opens = {method: opens for method, opens, _ in gap.methods}
    assert opens["cleft"] == day_of("plum", "full bloom", 2026) + timedelta(days=7)


def test_pear_on_hawthorn_is_a_pear_tree_with_that_stock() -> None:
    hawthorn = Tree("t3", "Hedge pear", "pear", "hawthorn", 2010)
    made = planned(Records((hawthorn,), (Graft("g1", "t3", "Conference", "cleft", state="planned"),)), date(2026, 3, 1))
    assert "cleft-apple-pear" in jobs_of(made, "g1")
    assert "winter-prune-pome" in jobs_of(made, "t3")


def test_what_is_seen_on_a_tree_speaks_for_the_variety_of_that_species_on_it() -> None:
    grafts = (peach(state="bearing"), Graft("g2", "t1", "Victoria", state="bearing"))
    seen = tuple(Sighting(date(2026, 4, 2), species, "full bloom", "t1") for species in ("peach", "plum"))
    records = Records((PLUM,), grafts, sightings=seen)
    assert [one.variety for one in seen_of(records)] == ["Early Peach", "Victoria"]


@pytest.mark.parametrize("set_on", [RoughDate(2026), RoughDate(2026, 4)])
def test_a_wrap_of_this_year_is_looked_at_as_if_it_had_been_put_on_as_early_as_may_be(set_on: RoughDate) -> None:
    young = Graft("g1", "t1", "Victoria", "cleft", "PVC tape", state="took", set_on=set_on)
    as_early = replace(young, set_on=first_day(set_on))
    today = date(2026, 6, 20)
    made, of_the_day = (planned(Records((PLUM,), (graft,)), today) for graft in (young, as_early))
    wraps, same = jobs_of(made, "g1")["wraps-tape-plum-cherry"], jobs_of(of_the_day, "g1")["wraps-tape-plum-cherry"]
    assert wraps.window == same.window
    told = f"the first day on which it may have been set ({rough_words(set_on)})"
    assert any(told in sentence for sentence in wraps.because)
    assert not any("1 Jan" in sentence or "1 Apr" in sentence for sentence in wraps.because)
    (wrap,) = made.wraps
    assert (wrap.set_on, wrap.days, wrap.heat) == (set_on, None, None)


def test_a_graft_of_years_ago_has_no_rounds_by_day() -> None:
    old = Graft("g1", "t1", "Victoria", "cleft", "PVC tape", state="bearing", set_on=RoughDate(2019))
    jobs = jobs_of(planned(Records((PLUM,), (old,)), date(2026, 6, 20)), "g1")
    assert not [template for template in jobs if template.startswith(("wraps", "look-at", "rub-off", "check-take"))]


def test_a_graft_of_a_year_is_as_old_as_its_year() -> None:
    """Fruit of the second season comes off grafts that are a year old, and none older."""
    for year, asked in ((2024, False), (2025, True)):
        young = Graft("g1", "t1", "Victoria", "cleft", "none", state="took", set_on=RoughDate(year))
        jobs = jobs_of(planned(Records((PLUM,), (young,)), date(2026, 6, 5)), "g1")
        assert ("second-year-fruit" in jobs) is asked, year


def test_a_wrap_of_a_graft_set_years_ago_is_off_as_far_as_anybody_knows() -> None:
    for year, on in ((2019, False), (2025, True)):
        bears = Graft("g1", "t1", "Victoria", "cleft", "PVC tape", state="bearing", set_on=RoughDate(year))
        assert bool(planned(Records((PLUM,), (bears,)), date(2026, 8, 1)).wraps) is on, year
