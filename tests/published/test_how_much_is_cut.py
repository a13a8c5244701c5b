"""How much may be cut at once, when the bark must slip, and until when limbs are propped: what steps and days say.

A third of the leaves at most in summer is from memory: held here is only that every job says it. The sun burns fruit of
trees that are cut early (University of Wisconsin, 2020, A). A bark graft has nothing to match, and a flap of bark shows
whether it slips (Texas A&M, Texas Inlay Bark Graft, undated, A); Gulf Texas: from about 1 April (Galveston County, A).
"""

from __future__ import annotations

import pytest
from timing_orchard import SITES, Year

from tendwork.species import SPECIES

YEAR = Year()
RULES = YEAR.templates
SUMMER = [name for name in RULES if name.startswith("summer-prune-")]
TASTED = {
    "apricot": "taste-plums-peaches",
    "japanese plum": "taste-plums-peaches",
    "plum": "taste-plums-peaches",
    "peach": "taste-plums-peaches",
    "pear": "taste-pears",
    "apple": "taste-apples",
}


@pytest.mark.parametrize("name", SUMMER)
def test_every_summer_pruning_says_how_much_may_go(name: str) -> None:
    assert "Never take more than a third of the leaves" in YEAR.steps(name)
    assert "third of the leaves: from memory" in RULES[name].note


def test_apple_keeps_leaves_over_fruit_and_limbs() -> None:
    assert "the sun burns bare fruit and bark" in YEAR.steps("summer-prune-apple")


@pytest.mark.parametrize("species", SPECIES)
def test_a_bark_graft_of_every_species_asks_for_the_flap_and_matches_nothing(species: str) -> None:
    asked = [
        rule
        for rule in RULES.values()
        if rule.part == "grafting" and "bark" in (rule.where.method or ()) and species in (rule.where.species or ())
        if rule.where.state == ("planned",)
    ]
    (rule,) = asked
    said = " ".join(rule.steps)
    assert "flap" in said
    assert "If it tears" in said or "if it tears" in said
    assert "cambium to cambium" not in said
    assert "cut face to the wood" in said


@pytest.mark.parametrize("species", ["peach", "apricot"])
def test_on_the_gulf_bark_grafts_of_peach_and_apricot_are_open_on_the_first_of_april(species: str) -> None:
    window = YEAR.window("Gulf Texas", "bark-peach-apricot", species)
    assert YEAR.day("03-01") <= window.opens
    assert window.best <= YEAR.day("04-01") <= window.closes


@pytest.mark.parametrize("name", ["cleft-apple-pear", "cleft-plum-cherry"])
def test_a_cleft_graft_sends_on_to_bark_grafting_once_the_bark_slips(name: str) -> None:
    """Penn State (D. Weber), undated, B: before the bark slips."""
    said = YEAR.steps(name)
    assert (
        "bark slips bark graft instead" in said
        or "Once it slips bark graft instead" in said
        or "bark slips, bark" in said
    )


@pytest.mark.parametrize("site", SITES)
@pytest.mark.parametrize("species", TASTED)
def test_no_round_of_props_opens_once_the_last_fruit_of_its_species_is_tasted(site: str, species: str) -> None:
    """K-State, 2003: props go after picking."""
    picked = YEAR.window(site, TASTED[species], species).closes
    rounds = YEAR.rounds(site, "prop-heavy-limbs", species)
    assert rounds
    assert all(window.opens <= picked for window in rounds)


@pytest.mark.parametrize(
    "name", ["collect-wood-stone", "collect-wood-peach-apricot", "ask-for-wood-stone", "bud-peach-apricot"]
)
def test_wood_and_buds_of_stone_fruit_name_the_diseases_whose_areas_bar_them(name: str) -> None:
    """WSU, 2021 (A): X-disease and little cherry; 7 CFR 301.74 (A): plum pox. The authority decides."""
    said = YEAR.steps(name)
    for word in ("X-disease", "little cherry", "plum pox", "plant-health authority"):
        assert word in said
