"""Jobs that follow from what was ticked or seen on a tree: regrowth, nurse limbs, fire blight."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from shipped import TEMPLATES, TOOLS
from steady_almanac import SteadyAlmanac
from timing_orchard import almanac_of

from tendwork.almanac.seasons import Season
from tendwork.orchard.records import Records, Tick, Tree, Trouble
from tendwork.planning.absence import absence
from tendwork.planning.adjustments import Adjustments, adjusted
from tendwork.planning.anchors import Anchors
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Task
from tendwork.planning.subjects import Subjects

TREES = (Tree("a", "Old apple", "apple"), Tree("b", "Gate apple", "apple"), Tree("p", "Blue plum", "plum"))
BY_ID = {template.id: template for template in TEMPLATES}


def tasks(template: str, today: date, *records: Tick | Trouble, south: bool = False) -> dict[str, list[Task]]:
    """The jobs of today's season of one template, by tree, by the rules as they are shipped."""
    ticks = tuple(record for record in records if isinstance(record, Tick))
    troubles = tuple(record for record in records if isinstance(record, Trouble))
    rules = adjusted(tuple(TEMPLATES), Adjustments(), {"fire blight"} if troubles else ())
    almanac = SteadyAlmanac() if south else almanac_of("maritime", today)
    orchard, tools = Records(TREES, ticks=ticks, troubles=troubles), {tool.id: tool for tool in TOOLS}
    made = plan(SiteLimits(south=south), orchard, almanac, rules, today, tools=tools)
    found: dict[str, list[Task]] = {}
    for task in made.tasks:
        if task.template == template and task.season == made.season:
            found.setdefault(task.subject, []).append(task)
    return found


def pruned(tree: str, day: date, outcome: str = "done", undone: bool = False) -> Tick:
    return Tick(f"summer-prune-apple/{tree}/{day.year}", tree, day, outcome, undone=undone)


@pytest.mark.parametrize(
    ("ticks", "asked"),
    [
        ((), set()),
        ((pruned("a", date(2026, 8, 10)),), {"a"}),
        ((pruned("a", date(2026, 8, 11)), pruned("b", date(2026, 7, 25))), {"b"}),
        ((pruned("a", date(2026, 7, 25), "not needed"),), set()),
        ((pruned("a", date(2026, 7, 25)), pruned("a", date(2026, 7, 25), undone=True)), set()),
        ((pruned("a", date(2025, 7, 25)),), set()),
    ],
)
def test_regrowth_is_asked_for_where_summer_pruning_was_ticked_early_this_season(
    ticks: tuple[Tick, ...], asked: set[str]
) -> None:
    """Cuts of June and July grow again, cuts of August do not (University of Wisconsin, 2020); September in Cumbria."""
    found = tasks("take-off-regrowth", date(2026, 9, 12), *ticks)
    assert set(found) == asked
    for (task,) in found.values():
        assert (task.window.opens, task.window.closes) == (date(2026, 9, 10), date(2026, 9, 25))


def test_in_the_south_early_means_before_10_february() -> None:
    early = Tick("summer-prune-apple/a/2026", "a", date(2027, 2, 9))
    late = Tick("summer-prune-apple/b/2026", "b", date(2027, 2, 11))
    assert set(tasks("take-off-regrowth", date(2027, 3, 12), early, late, south=True)) == {"a"}


@pytest.mark.parametrize(("years_ago", "asked"), [(0, False), (1, True), (2, True), (3, True), (4, False)])
def test_nurse_limbs_come_off_over_three_winters_after_they_were_marked(years_ago: int, asked: bool) -> None:
    """Growers tell of one to three years; a third winter is the last (Penn State leaves one or two limbs)."""
    marked = [Tick(f"mark-nurse-limbs/{tree}/{2026 - years_ago}", tree, date(2026 - years_ago, 2, 1)) for tree in "ap"]
    assert set(tasks("take-off-nurse-limbs", date(2026, 1, 20), *marked)) == ({"a"} if asked else set())
    stone = tasks("take-off-nurse-limbs-stone", date(2026, 7, 10), *marked)
    assert set(stone) == ({"p"} if asked else set())
    assert all(task.window.opens >= date(2026, 7, 1) for found in stone.values() for task in found)
    assert set(tasks("shorten-nurse-limbs", date(2026, 7, 10), *marked)) == (set() if years_ago else {"a", "p"})


def test_after_the_first_strike_a_tree_is_looked_at_every_third_day_until_shoots_stop() -> None:
    """Michigan State University: two or three times a week in an outbreak; it stops at terminal bud set."""
    seen = Trouble(date(2026, 6, 2), "a", "fire blight"), Trouble(date(2026, 6, 20), "a", "fire blight")
    found = tasks("fire-blight-every-third-day", date(2026, 6, 3), *seen)
    assert set(found) == {"a"}
    opens = [task.window.opens for task in found["a"]]
    stop = almanac_of("maritime", date(2026, 6, 3)).stage("apple", "shoot stop", Season(2026)).date
    assert opens[0] == date(2026, 6, 5)
    assert {(later - earlier).days for earlier, later in pairwise(opens)} == {3}
    assert stop is not None
    assert 0 <= (stop - opens[-1]).days < 3


def test_a_strike_of_last_year_asks_for_its_stub_this_winter_and_for_no_rounds() -> None:
    """University of Maryland, Ugly stub, 2023: taken off from November to January."""
    seen = Trouble(date(2025, 6, 2), "a", "fire blight")
    (stub,) = tasks("cut-out-blight-stubs", date(2025, 12, 20), seen)["a"]
    assert date(2025, 11, 1) <= stub.window.opens <= stub.window.best <= date(2026, 1, 31)
    assert tasks("cut-out-blight-stubs", date(2025, 6, 10), seen) == {}
    assert tasks("cut-out-blight-stubs", date(2026, 12, 20), seen) == {}
    assert tasks("fire-blight-every-third-day", date(2026, 6, 3), seen) == {}


@pytest.mark.parametrize("noted", [date(2025, 10, 31), date(2025, 11, 15), date(2026, 2, 20)])
def test_strikes_found_on_a_tree_at_rest_are_those_of_the_summer_before(noted: date) -> None:
    """Michigan State University looks again while shoots grow; University of Maryland takes stubs off this winter."""
    seen = Trouble(noted, "a", "fire blight")
    assert set(tasks("cut-out-blight-stubs", date(2026, 2, 21), seen)) == {"a"}
    assert tasks("cut-out-blight-stubs", date(2026, 12, 20), seen) == {}
    for today in (date(2025, 11, 20), date(2026, 2, 21), date(2026, 6, 3)):
        assert tasks("fire-blight-every-third-day", today, seen) == {}
    (task,) = tasks("winter-prune-pome", date(2026, 2, 21), seen)["a"]
    assert any("last" in words for words in task.mind)
    (later,) = tasks("winter-prune-pome", date(2027, 1, 20), seen)["a"]
    assert later.mind == ()


def test_a_tree_is_looked_at_every_third_day_only_while_its_shoots_grow() -> None:
    """Michigan State University: from bloom until terminal buds are set; a strike seen later is looked at once more."""
    almanac = almanac_of("maritime", date(2026, 3, 10))
    bloom = almanac.stage("apple", "first bloom", Season(2026)).date
    early = tasks("fire-blight-every-third-day", date(2026, 3, 10), Trouble(date(2026, 3, 9), "a", "fire blight"))
    assert early["a"][0].window.opens == bloom
    late = Trouble(date(2026, 9, 20), "a", "fire blight")
    assert len(tasks("fire-blight-every-third-day", date(2026, 9, 21), late)["a"]) == 1


def test_a_tree_with_fire_blight_comes_last_in_the_pruning_round() -> None:
    (task,) = tasks("winter-prune-pome", date(2026, 1, 20), Trouble(date(2025, 6, 2), "a", "fire blight"))["a"]
    assert any("last" in words for words in task.mind)


def test_why_a_job_that_waits_for_a_tick_is_not_there_is_said() -> None:
    orchard = Orchard(Records(TREES), TEMPLATES, south=False, today=date(2026, 9, 1))
    season, subjects = Season(2026), Subjects(orchard)
    said = absence(BY_ID["take-off-regrowth"], subjects, Anchors(SteadyAlmanac(), season), season)
    assert said == (
        "No tree that fits otherwise had summer-prune-apple or summer-prune-pear-quince done this season, "
        "by 08-10 as in the north."
    )
    said = absence(BY_ID["cut-out-blight-stubs"], subjects, Anchors(SteadyAlmanac(), season), season)
    assert said == "No tree that fits otherwise had fire blight seen on it last season."


def test_the_jobs_that_a_rule_waits_for_are_templates() -> None:
    waited = {
        job
        for template in TEMPLATES
        if template.where.any_of is not None and template.where.any_of.ticked is not None
        for job in template.where.any_of.ticked.jobs
    }
    assert waited
    assert waited <= BY_ID.keys()
