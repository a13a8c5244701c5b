"""A graft that took is asked each summer whether it bears, from the year in which its first crop is to be expected.

Two to three years after grafting on an established tree: a 4-H handout on grafting, undated. The graft is invented.
"""

from __future__ import annotations

from datetime import date

import pytest
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.orchard.outcomes import graft_after
from tendwork.orchard.records import Graft, GraftState, Records, Tick, Tree
from tendwork.orchard.verdicts import first_crop_years
from tendwork.planning.planner import SiteLimits, plan

TREES = (Tree("t1", "Old apple", "apple", planted=1990),)


def asked(today: date, graft: Graft, *ticks: Tick) -> set[str]:
    made = plan(SiteLimits(), Records(TREES, (graft,), ticks=ticks), SteadyAlmanac(), TEMPLATES, today)
    return {task.template for task in made.tasks if task.season == made.season}


def grafted(set_on: date, state: GraftState = "took", method: str = "cleft") -> Graft:
    return Graft("g1", "t1", "Lamp", method, "", state=state, set_on=set_on)


@pytest.mark.parametrize(
    ("set_on", "method"), [(date(2024, 4, 20), "cleft"), (date(2024, 8, 20), "chip bud"), (date(2024, 4, 2), "splice")]
)
def test_it_is_asked_from_the_expected_first_crop_on_until_it_bears(set_on: date, method: str) -> None:
    graft = grafted(set_on, method=method)
    expected = first_crop_years(graft)
    assert expected is not None
    first, last = expected
    assert "first-fruit" not in asked(date(first - 1, 7, 20), graft)
    for year in (first, last, last + 1):
        assert "first-fruit" in asked(date(year, 7, 20), graft), year
    assert "first-fruit" not in asked(date(first, 7, 20), grafted(set_on, "bearing", method))


def test_a_tick_that_it_bears_brings_its_tasting_and_its_judging() -> None:
    graft, july = grafted(date(2024, 4, 20)), date(2028, 7, 20)
    assert not {"taste-apples", "judge-varieties"} & asked(july, graft)
    tick = Tick("first-fruit/t1/2028", "g1", july, "bearing")
    assert asked(july, graft_after(graft, "bearing", july), tick) >= {"taste-apples", "judge-varieties"}


def test_a_bridge_is_not_asked_for_fruit() -> None:
    assert "first-fruit" not in asked(date(2028, 7, 20), grafted(date(2024, 4, 20), method="bridge"))


def test_whether_it_bears_is_asked_for_and_never_assumed() -> None:
    (rule,) = [rule for rule in TEMPLATES if rule.id == "first-fruit"]
    assert rule.outcomes == ("bearing", "none yet", "not yet")
