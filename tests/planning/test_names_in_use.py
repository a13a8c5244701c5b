"""What people write for a species or a way to graft is understood where it is sure what they mean."""

from __future__ import annotations

from datetime import date

import pytest
from shipped import TEMPLATES
from steady_almanac import SteadyAlmanac

from tendwork.orchard.methods import is_of_a_variety
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.planning.planner import SiteLimits, plan
from tendwork.planning.results import Plan
from tendwork.species import species_named


@pytest.mark.parametrize(
    ("word", "species"),
    [
        ("Damson", "plum"),
        ("mirabelle", "plum"),
        ("bullace", "plum"),
        ("greengage", "plum"),
        ("gage", "plum"),
        ("Nectarine", "peach"),
        ("tart cherry", "sour cherry"),
        ("cherry plum", None),
        ("almond", None),
    ],
)
def test_a_kind_of_fruit_is_its_species_where_that_is_sure(word: str, species: str | None) -> None:
    assert species_named(word) == species


def plan_of(method: str) -> Plan:
    graft = Graft("g", "t", "Lamp", method, "PVC tape", state="took", set_on=date(2026, 4, 10))
    records = Records((Tree("t", "Tree", "apple", planted=2000),), (graft,))
    return plan(SiteLimits(), records, SteadyAlmanac(), TEMPLATES, date(2026, 5, 20))


@pytest.mark.parametrize(
    ("word", "method"), [("inarch", "bridge"), ("Inarching", "bridge"), ("saddle", "whip and tongue")]
)
def test_an_inarch_is_cared_for_as_a_bridge_and_a_saddle_as_a_whip_graft(word: str, method: str) -> None:
    found, wanted = plan_of(word), plan_of(method)
    assert {task.key for task in found.tasks} == {task.key for task in wanted.tasks}
    assert [gap for gap in found.gaps if gap.kind == "method word"] == []
    assert is_of_a_variety(Graft("g", "t", "Lamp", word)) == (method != "bridge")
