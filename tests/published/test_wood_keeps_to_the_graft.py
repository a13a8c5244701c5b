"""Wood that is cut on its advised day is still good when it is grafted, at eight places; and when each may be done.

How long wood is good is from memory (orchard/wood_age.py): the cutting and the grafting days are held to one another,
not to a source, except where a source is named.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache

import pytest
from plans_of_eight_places import PLACES, SPRING
from timing_orchard import TEMPLATES

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tree, Wood
from tendwork.orchard.wood_age import KEEPING
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task, Window
from tendwork.species import SPECIES, stage_named

COLLECT = tuple(template.id for template in TEMPLATES if template.id.startswith("collect-wood-"))
GRAFT = tuple(template.id for template in TEMPLATES if template.part == "grafting" and "set" in template.outcomes)
METHODS = ("whip and tongue", "splice", "cleft", "bark", "side", "bridge")
TENDER = ("peach", "apricot")
EVERY_PLACE = pytest.mark.parametrize("place", PLACES)


def season_at(place: str) -> Season:
    return Season(SPRING, PLACES[place].latitude < 0)


@cache
def almanac_at(place: str) -> Almanac:
    return Almanac(PLACES[place], None, (), season_at(place).start)


def stage(place: str, species: str, name: str) -> date:
    named = stage_named(species, name)
    assert named is not None
    found = almanac_at(place).stage(species, named, season_at(place)).date
    assert found is not None
    return found


def tasks_at(place: str, records: Records) -> list[Task]:
    season = season_at(place)
    made = plan(SiteLimits(south=season.south), records, almanac_at(place), TEMPLATES, season.start)
    return [task for task in made.tasks if task.season == season.name]


@cache
def days_at(place: str, tree: str = "") -> dict[str, tuple[Window, list[tuple[str, Window]]]]:
    """By species, the window of its cutting, and those of its spring grafts by job; all on a `tree`, or on its own."""
    trees = tuple(Tree(species, species, species, planted=2005) for species in SPECIES)
    grafts = tuple(
        Graft(f"{species}: {method}", tree or species, f"Lamp {species}", method, state="planned", species=species)
        for species in (TENDER if tree else SPECIES)
        for method in METHODS
    )
    grafts += tuple(Graft(f"{one}: bears", one, f"Lamp {one}", state="bearing", species=one) for one in SPECIES)
    cutting: dict[str, Window] = {}
    grafting: dict[str, list[tuple[str, Window]]] = {}
    for task in tasks_at(place, Records(trees, grafts)):
        for unit in task.units:
            if task.template in COLLECT:
                cutting[unit.species] = unit.window
            elif task.template in GRAFT:
                grafting.setdefault(unit.id.partition(": ")[0], []).append((task.template, unit.window))
    return {species: (window, grafting[species]) for species, window in cutting.items()}


def pairs_at(place: str, tree: str = "") -> Iterator[tuple[str, str, Window, Window]]:
    """Species, job, the window of the cutting and that of the graft."""
    for species, (cut, grafts) in days_at(place, tree).items():
        for job, graft in grafts:
            yield species, job, cut, graft


@EVERY_PLACE
def test_every_species_is_cut_and_grafted(place: str) -> None:
    found = days_at(place)
    assert set(found) == set(SPECIES)
    assert all(len(grafts) >= 4 for _, grafts in found.values())


@EVERY_PLACE
def test_wood_is_good_on_the_advised_day_of_the_graft(place: str) -> None:
    ages = {(species, job): (graft.best - cut.best).days for species, job, cut, graft in pairs_at(place)}
    assert {pair: age for pair, age in ages.items() if not 0 < age <= KEEPING[pair[0]].good_days} == {}


@EVERY_PLACE
def test_wood_counts_until_the_graft_closes(place: str) -> None:
    ages = {(species, job): (graft.closes - cut.best).days for species, job, cut, graft in pairs_at(place)}
    assert {pair: age for pair, age in ages.items() if age > KEEPING[pair[0]].last_days} == {}


@EVERY_PLACE
def test_wood_is_cut_from_dormant_trees_two_weeks_before_they_swell(place: str) -> None:
    for species, (cut, _) in days_at(place).items():
        first, last = stage(place, species, "dormant"), stage(place, species, "swollen bud") - timedelta(days=14)
        assert first < cut.best <= last, species


@EVERY_PLACE
@pytest.mark.parametrize("species", ["plum", "japanese plum", "sweet cherry", "sour cherry"])
def test_bark_grafts_of_stone_fruit_are_best_about_petal_fall_at_most(place: str, species: str) -> None:
    """Gulf Texas, where the bark slips from about 1 April on (Galveston County, GC-310), blooms weeks before that."""
    best = dict(days_at(place)[species][1])["bark-plum-cherry"].best
    assert best <= stage(place, species, "petal fall") + timedelta(days=31 if place == "gulf coast" else 10)


SPARE_DAYS = 5
"""By which their wood may be past its best on plum, where a long cool spring lies between swelling and warmth."""


@EVERY_PLACE
def test_wood_of_peach_and_apricot_is_about_good_when_a_plum_is_ready_for_it(place: str) -> None:
    pairs = list(pairs_at(place, "plum"))
    assert {species for species, *_ in pairs} == set(TENDER)
    ages = {(species, job): (graft.best - cut.best).days for species, job, cut, graft in pairs}
    assert {pair: age for pair, age in ages.items() if age > KEEPING[pair[0]].good_days + SPARE_DAYS} == {}
    late = {(species, job): (graft.closes - cut.best).days for species, job, cut, graft in pairs}
    assert {pair: age for pair, age in late.items() if age > KEEPING[pair[0]].last_days} == {}


KEEPS_IN_WORDS = {61: "two months", 91: "three", 122: "four"}


@cache
def stored_buds_at(place: str) -> dict[str, tuple[Window, Window]]:
    """By species, the windows of its cutting and of its budding in spring with stored buds."""
    trees = tuple(Tree(species, species, species, planted=2005) for species in SPECIES)
    buds = tuple(
        Graft(f"{tree.id}: bud", tree.id, f"Lamp {tree.id}", "chip bud", state="planned", wood=f"{tree.id}: wood")
        for tree in trees
    )
    bearing = tuple(Graft(f"{tree.id}: bears", tree.id, f"Lamp {tree.id}", state="bearing") for tree in trees)
    stored = tuple(Wood(f"{tree.id}: wood", f"Lamp {tree.id}", tree.id, 0, came_from=tree.id) for tree in trees)
    cut: dict[str, Window] = {}
    budded: dict[str, Window] = {}
    for task in tasks_at(place, Records(trees, (*buds, *bearing), stored)):
        for unit in task.units:
            if task.template in COLLECT:
                cut[unit.species] = unit.window
            elif task.template == "spring-bud":
                budded[unit.id.partition(":")[0]] = unit.window
    return {species: (cut[species], window) for species, window in budded.items()}


@EVERY_PLACE
def test_a_job_that_may_come_when_the_wood_is_past_its_best_says_how_long_it_keeps(place: str) -> None:
    steps = {template.id: " ".join(template.steps) for template in TEMPLATES}
    buds = [(species, "spring-bud", *windows) for species, windows in stored_buds_at(place).items()]
    assert {species for species, *_ in buds} >= {"plum", "japanese plum", *TENDER}
    for species, job, cut, graft in (*pairs_at(place, "plum"), *buds):
        good_days = KEEPING[species].good_days
        if (graft.best - cut.best).days > good_days:
            assert KEEPS_IN_WORDS[good_days] in steps[job], (species, job)
            assert "sliver" in steps[job], job


def sending(place: str, species: str, cut_on: date | None) -> list[Window]:
    wood = Wood("w", "Lamp", species, 4, cut_on, promised_to="A friend", promised_sticks=2)
    tasks = tasks_at(place, Records((Tree("t", "t", species, planted=2005),), (), (wood,)))
    return [unit.window for task in tasks if task.template == "send-promised-wood" for unit in task.units]


@EVERY_PLACE
@pytest.mark.parametrize("species", SPECIES)
def test_promised_wood_is_not_sent_before_it_is_cut(place: str, species: str) -> None:
    cut = days_at(place)[species][0].best
    assert sending(place, species, None) == []
    (stored,) = sending(place, species, cut)
    assert cut <= stored.opens < stored.best
    assert stored.closes >= cut + timedelta(days=14)


@EVERY_PLACE
def test_there_are_usually_days_warm_enough_to_cut_wood(place: str) -> None:
    """On some day of the window the usual maximum is what the job asks for; hard frost is no day for it.

    Not in hard frost, it harms the wood: C. Baltet, L'art de greffer. The few degrees are common practice.
    """
    asked = {template.id: template.weather.min_c for template in TEMPLATES}
    for species, (cut, _) in days_at(place).items():
        for job in COLLECT:
            least = asked[job]
            assert least is not None
            assert -5 <= least < 0, job
            days = (cut.opens + timedelta(days=n) for n in range((cut.closes - cut.opens).days + 1))
            usual = [almanac_at(place).usual_day(day) for day in days]
            assert any(day is not None and day[1] >= least for day in usual), (species, job)


def test_peach_is_budded_in_june_in_the_valley_of_california() -> None:
    """A Californian nursery's calendar has June buds of apricot, peach and plum in May and June."""
    records = Records((Tree("t", "t", "peach"),), (Graft("g", "t", "Lamp", "chip bud", state="planned"),))
    tasks = tasks_at("sacramento", records)
    (window,) = [unit.window for task in tasks if task.template == "bud-peach-apricot" for unit in task.units]
    assert date(SPRING, 5, 20) <= window.opens < window.best <= date(SPRING, 6, 25)
