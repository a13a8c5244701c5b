"""Which trees a shipped rule asks about: young ones, newly grafted ones, ones on which something was seen."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac
from timing_orchard import almanac_of

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Graft, Records, Tick, Tree, Trouble, Wood
from tendwork.orchard.troubles import signs_seen
from tendwork.planning.adjustments import Adjustment, Adjustments, adjusted
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.vocabulary import LeftOut

SUMMER, WINTER = date(2026, 6, 10), date(2026, 1, 15)
GUARDS = ("fit-guards", "look-at-guards", "take-guards-off")


def asked(template: str, records: Records, today: date = WINTER, site: str = "") -> set[str]:
    """The trees for which a shipped template has a job in the season, with nothing adjusted; leaves fall at a site."""
    rules = adjusted(tuple(TEMPLATES), Adjustments(), signs_seen(records.troubles))
    tasks = plan(SiteLimits(), records, almanac_of(site, today) if site else SteadyAlmanac(), rules, today).tasks
    return {task.subject for task in tasks if task.template == template and task.season == 2026}


def tree(name: str, planted: int | None, species: str = "apple") -> Tree:
    return Tree(name, name, species, planted=planted)


def graft(on: str, state: str, set_on: date | None, method: str = "cleft") -> Graft:
    return Graft(f"{on}-{state}-{method}", on, "Lamp", method, "", state=state, set_on=set_on)


TREES = (
    tree("new", 2026),
    tree("third", 2024),
    tree("fourth", 2023),
    tree("old", 1990),
    tree("unknown", None),
    tree("eighth", 2018),
    tree("ninth", 2017),
)


def test_water_is_for_the_first_three_seasons_of_a_tree_and_a_year_that_is_not_known_counts_as_old() -> None:
    """Newly planted trees need it, older ones are mostly left alone (Leipzig; Penn State, 2023)."""
    assert asked("water-in-drought", Records(TREES), SUMMER) == {"new", "third"}


@pytest.mark.parametrize("method", ["cleft", "whip and tongue", "", "T-bud"])
def test_water_is_not_for_an_old_tree_because_it_carries_new_grafts(method: str) -> None:
    """No source asks to water a mature tree for its grafts; older trees are left (orangepippintrees.co.uk, undated)."""
    held = graft("old", "set", date(2026, 4, 12), method)
    assert asked("water-in-drought", Records(TREES, (held,)), SUMMER) == {"new", "third"}


@pytest.mark.parametrize(("set_on", "is_asked"), [(2026, True), (2024, True), (2023, False)])
def test_a_bench_graft_without_a_year_of_planting_is_as_old_as_its_graft(set_on: int, is_asked: bool) -> None:
    held = graft("unknown", "took", date(set_on, 2, 12), "Bench graft")
    assert ("unknown" in asked("water-in-drought", Records(TREES, (held,)), SUMMER)) == is_asked


def test_older_trees_are_watered_only_where_somebody_takes_it_in() -> None:
    assert asked("water-dry-site", Records(TREES), SUMMER) == set()
    taken_in = adjusted(tuple(TEMPLATES), Adjustments(template={"water-dry-site": Adjustment(asked=True)}), frozenset())
    tasks = plan(SiteLimits(), Records(TREES), SteadyAlmanac(), taken_in, SUMMER).tasks
    older = {task.subject for task in tasks if task.template == "water-dry-site"}
    assert older == {one.id for one in TREES} - {"new", "third"}


@pytest.mark.parametrize(
    ("form", "is_asked"),
    [
        ("", True),
        ("bush", True),
        ("spindle", True),
        ("Cordon, 2.2 m", False),
        ("wall fan", False),
        ("Espalier, three tiers", False),
        ("step-over", False),
        ("U palmette", False),
        ("on wires", False),
    ],
)
def test_limbs_that_are_tied_to_wires_or_a_wall_are_not_propped(form: str, is_asked: bool) -> None:
    held = replace(tree("t", 1990), form=form)
    assert bool(asked("prop-heavy-limbs", Records((held,)), SUMMER)) == is_asked


FITTED = tuple(Tick(f"fit-guards/{one.id}/2026", one.id, date(2025, 11, 12), "done") for one in TREES)
"""A guard was fitted on every tree of which it was asked."""


@pytest.mark.parametrize("template", GUARDS)
def test_guards_are_for_young_trees_and_a_year_that_is_not_known_counts_as_young(template: str) -> None:
    """Young thin bark is most at risk (Dane County Extension teaching garden, 2019); the bound is our own."""
    fitted = tuple(tick for tick in FITTED if tick.unit not in ("old", "ninth"))
    assert asked(template, Records(TREES, ticks=fitted)) == {"new", "third", "fourth", "eighth", "unknown"}


@pytest.mark.parametrize("template", GUARDS)
@pytest.mark.parametrize("word", ["gnawed bark", "Gnawed", "voles", "rabbit-damage"])
def test_guards_are_for_a_tree_of_any_age_once_its_bark_was_gnawed(template: str, word: str) -> None:
    """Voles girdled a 20-year-old apple (PennLive, 2011)."""
    seen = Trouble(date(2019, 2, 1), "old", word)
    assert asked(template, Records(TREES, ticks=FITTED, troubles=(seen,))) >= {"old"}
    other = Trouble(date(2019, 2, 1), "old", "canker")
    assert not asked(template, Records(TREES, troubles=(other,))) & {"old"}


@pytest.mark.parametrize(
    ("outcome", "is_asked"),
    [("done", True), ("already there", True), ("skipped", True), ("not yet", False), (None, False)],
)
def test_guards_are_looked_at_once_fitting_is_over(outcome: str | None, is_asked: bool) -> None:
    ticks = () if outcome is None else (Tick("fit-guards/third/2026", "third", date(2025, 12, 2), outcome),)
    assert asked("look-at-guards", Records((TREES[1],), ticks=ticks)) == ({"third"} if is_asked else set())


def test_guards_of_the_winter_before_are_no_guards_of_this_one() -> None:
    last = Tick("fit-guards/third/2025", "third", date(2024, 12, 2), "done")
    assert asked("look-at-guards", Records((TREES[1],), ticks=(last,))) == set()


@pytest.mark.parametrize(
    "change",
    [
        Adjustment(off=True),
        Adjustment(left_out=(LeftOut("third"),)),
        Adjustment(left_out=(LeftOut("third", 2026),)),
        Adjustment(left_out=(LeftOut(season=2026),)),
    ],
)
def test_where_fitting_is_left_out_nobody_knows_of_guards_and_they_are_looked_at(change: Adjustment) -> None:
    rules = adjusted(tuple(TEMPLATES), Adjustments(template={"fit-guards": change}), frozenset())
    tasks = plan(SiteLimits(), Records((TREES[1],)), SteadyAlmanac(), rules, WINTER).tasks
    assert "look-at-guards" in {task.template for task in tasks if task.season == 2026}


def test_guards_that_were_not_fitted_by_the_new_year_are_late_and_not_lost() -> None:
    """Voles and rabbits gnaw all winter; what is whole in January can still be guarded (common practice, no source)."""
    for today, state in ((date(2026, 1, 4), "late"), (date(2026, 3, 1), "late"), (date(2026, 3, 2), "missed")):
        tasks = plan(SiteLimits(), Records((TREES[1],)), SteadyAlmanac(), TEMPLATES, today).tasks
        (job,) = (task for task in tasks if task.template == "fit-guards" and task.season == 2026)
        assert job.state == state, today


def test_fire_blight_is_watched_for_on_every_pome_tree_once_it_was_seen_on_any_and_never_before() -> None:
    """Weekly, only where blight has occurred in the district or the tree."""
    grown = (tree("a", 1990), tree("b", 2001, "pear"), tree("c", 2001, "plum"))
    may = date(2026, 5, 2)
    assert asked("fire-blight-watch", Records(grown), may) == set()
    canker = Trouble(date(2020, 6, 1), "a", "canker")
    assert asked("fire-blight-watch", Records(grown, troubles=(canker,)), may) == set()
    for word in ("fire blight", "Erwinia"):
        seen = Trouble(date(2020, 6, 1), "b", word)
        assert asked("fire-blight-watch", Records(grown, troubles=(seen,)), may) == {"a", "b"}


@pytest.mark.parametrize("method", ["cleft", "bark", "whip and tongue", "side", "T-bud"])
def test_the_share_of_the_crown_is_asked_where_limbs_are_cut_off_for_grafts(method: str) -> None:
    found = asked("share-of-crown", Records(TREES, (graft("old", "planned", None, method),)))
    assert found == ({"old"} if method in ("cleft", "bark") else set())


@pytest.mark.parametrize("template", ["spring-bud", "spring-bud-cherry"])
def test_budding_in_spring_is_asked_of_nobody_by_default(template: str) -> None:
    species = "sweet cherry" if template.endswith("cherry") else "apple"
    records = Records((tree("old", 1990, species),), (graft("old", "planned", None, "T-bud"),))
    assert asked(template, records, date(2026, 4, 25)) == set()
    in_summer = "bud-pear-plum-cherry" if template.endswith("cherry") else "bud-apple"
    assert asked(in_summer, records, date(2026, 7, 25), "maritime") == {"old"}


def test_new_grafts_are_looked_after_in_one_job_seals_and_perch_together() -> None:
    ids = {template.id for template in TEMPLATES}
    assert "bird-perch" not in ids
    (look,) = [template for template in TEMPLATES if template.id == "check-seals"]
    assert "birds" in " ".join(look.steps)
    assert "Northern Pecans, on bird perches, 2014" in look.source


def test_every_rule_that_is_left_out_by_default_says_why() -> None:
    by_default = {template.id for template in TEMPLATES if template.left_out}
    assert by_default == {
        "fire-blight-watch", "late-winter-prune-stone", "spring-bud", "spring-bud-cherry", "take-off-regrowth-stone",
        "water-dry-site", "clear-fallen-fruit-weekly", "bud-peach-late",
    }  # fmt: skip
    assert all(template.left_out.endswith(".") for template in TEMPLATES if template.left_out)


@pytest.mark.parametrize(
    ("site", "last_best"),
    [("Alaska", date(2025, 10, 31)), ("Manitoba", date(2025, 10, 31)), ("maritime", date(2025, 11, 10))],
)
def test_guards_are_best_fitted_soon_after_leaf_fall_where_the_ground_freezes_early(site: str, last_best: date) -> None:
    """Wisconsin teaching garden, 2013: before snow and freeze; a job of the season that has not yet begun."""
    almanac, records = almanac_of(site, date(2025, 10, 20)), Records(trees=(tree("third", 2024),))
    rules = adjusted(tuple(TEMPLATES), Adjustments())
    (task,) = (
        one
        for one in plan(SiteLimits(), records, almanac, rules, date(2025, 10, 20)).tasks
        if (one.template, one.season) == ("fit-guards", 2026)
    )
    fallen = almanac.stage("apple", "dormant", Season(2026)).date
    assert fallen is not None
    assert (task.state, task.window.opens) == ("open", date(2025, 10, 10))
    assert fallen < task.window.best <= last_best


@pytest.mark.parametrize("method", ["chip bud", "T-bud", "t-bud", "T bud", "Chip budding"])
def test_winter_wood_is_cut_and_asked_for_no_bud_that_is_set_in_summer(method: str) -> None:
    bud = graft("old", "planned", None, method)
    assert asked("collect-wood-apple-pear", Records(TREES, (bud,))) == set()
    assert asked("ask-for-wood-apple-pear", Records(TREES, (bud,)), date(2025, 11, 15)) == set()
    held = (Wood("w1", "Lamp", "apple", 1),)
    named = Records(TREES, (replace(bud, wood="w1"),), held)
    assert asked("collect-wood-apple-pear", named) == set()
    assert asked("ask-for-wood-apple-pear", named, date(2025, 11, 15)) == {"site"}
    here = replace(named, grafts=(*named.grafts, graft("old", "bearing", None)))
    assert asked("collect-wood-apple-pear", here) == {"site"}
    assert asked("ask-for-wood-apple-pear", here, date(2025, 11, 15)) == set()
