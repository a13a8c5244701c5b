"""Further published times of the trade, held against the plan in the same way; each names its source."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from timing_checks import (
    BARK,
    CENTRAL,
    CLEFT,
    COLD,
    MARITIME,
    POME_WOOD,
    STONE_WOOD,
    WARM,
    WHIP,
    Check,
    a_round_in_each,
    apart,
    interval,
    overlaps,
)
from timing_orchard import Year

COAST, GULF, UTAH = "Pacific North West", "Gulf Texas", "Utah"
PEAR_CUT, CHERRY_CUT, SPROUTS = "summer-prune-pear-quince", "summer-prune-cherry", "water-sprouts-pome"
STONE_BUDS, PEACH_BUDS = "bud-pear-plum-cherry", "bud-peach-apricot"

FACTS: dict[str, Check] = {
    "Ask Extension, Oakland County, Michigan, 2017: wood in late January and early February": overlaps(
        COLD, POME_WOOD, "01-21", "02-10"
    ),
    "Utah State Extension (Heaton): wood in February and early March": overlaps(UTAH, POME_WOOD, "02-01", "03-10"),
    "Utah State Extension (Heaton): the same of stone fruit": overlaps(UTAH, STONE_WOOD, "02-01", "03-10", "plum"),
    "NW Fruit, Mount Vernon: wood in December": overlaps(COAST, POME_WOOD, "12-01", "12-31"),
    "Galveston County: plum and peach wood from late December": overlaps(GULF, STONE_WOOD, "12-21", "01-20", "plum"),
    "LWG Bavaria, 2023: wood from 25 January to mid February": overlaps(CENTRAL, POME_WOOD, "01-25", "02-15"),
    "gartenjournal.net: stone-fruit wood in mid to late January": overlaps(
        CENTRAL, STONE_WOOD, "01-11", "01-31", "sweet cherry"
    ),
    "Ask Extension, Vermont, 2015: cleft grafts in March and April": overlaps(COLD, CLEFT, "03-01", "04-30"),
    "OGV Kfurt, 2014: bark grafts from late April to mid May": overlaps(CENTRAL, BARK, "04-21", "05-20"),
    "University of Minnesota bulletin: bridges from 15 April to 15 May": overlaps(
        COLD, "bridge-gnawed-bark", "04-15", "05-15"
    ),
    "Utah State Extension, When to prune: main pruning from February to late April": overlaps(
        UTAH, "winter-prune-pome", "02-01", "04-30"
    ),
    "RHS (Arbury): pears in late July and early August": overlaps(MARITIME, PEAR_CUT, "07-21", "08-10", "pear"),
    "R V Roger: apples on the second Sunday of August": overlaps(MARITIME, "summer-prune-apple", "08-08", "08-14"),
    "UMass Healthy Fruit, 2001: August opens the summer pruning": overlaps(
        COLD, "summer-prune-apple", "08-01", "08-31"
    ),
    "almanac.com, a gardener: water sprouts about mid June": overlaps(COLD, SPROUTS, "06-11", "06-20"),
    "alte-obstsorten-online.de: water sprouts in July": overlaps(CENTRAL, SPROUTS, "07-01", "07-31"),
    "Trees of Northern Ireland: plum from late June to late August": overlaps(
        MARITIME, "summer-prune-plum", "06-21", "08-31", "plum"
    ),
    "pressedienst-landundgarten.de: cherry in the week of mid August": overlaps(
        CENTRAL, CHERRY_CUT, "08-11", "08-20", "sweet cherry"
    ),
    "Ask Extension, Oregon, 2024: cherry in August": overlaps(COAST, CHERRY_CUT, "08-01", "08-31", "sweet cherry"),
    "UC Master Gardeners, Contra Costa: apricot by the end of August": overlaps(
        WARM, "summer-prune-apricot", "06-15", "08-31", "apricot"
    ),
    "UC Master Gardeners Sacramento: suckers in April": a_round_in_each(WARM, "suckers", ("04-01", "04-30")),
    "Rhineland-Palatinate garden academy: apple buds in early August": overlaps(CENTRAL, "bud-apple", "08-01", "08-10"),
    "Manitoba Co-operator: apple buds in July": overlaps(COLD, "bud-apple", "07-01", "07-31"),
    "New Mexico fruit growers: pear buds in mid July": overlaps(UTAH, STONE_BUDS, "07-11", "07-20", "pear"),
    "New Mexico fruit growers: peach buds in mid July": overlaps(UTAH, PEACH_BUDS, "07-11", "07-20", "peach"),
    "New Mexico fruit growers: apple buds in late August": overlaps(UTAH, "bud-apple", "08-21", "08-31"),
    "Galveston County: June buds from late May to early June": overlaps(GULF, PEACH_BUDS, "05-21", "06-10", "peach"),
    "A Californian nursery: peach buds in spring, April to May": overlaps(
        WARM, "spring-bud", "04-11", "05-20", "peach"
    ),
    "Texas A&M, Whip grafting: the tape comes off after three to four months": interval(
        "Texas", WHIP, "wraps-tape-pome", 90, 120
    ),
    "Manitoba Co-operator: buds have taken or not at about two weeks": interval(
        COLD, "bud-apple", "check-bud-take", 13, 15
    ),
    "Home Orchard Society: bud a failed graft in August": overlaps(COAST, "bud-apple", "08-01", "08-31"),
}
YEAR = Year()


@pytest.mark.parametrize("check", FACTS.values(), ids=[words.replace(": ", " - ") for words in FACTS])
def test_the_plan_agrees_with(check: Check) -> None:
    reason = check(YEAR)
    assert not reason


def test_seals_are_looked_at_twice_two_to_three_days_apart() -> None:
    """OMAFRA Factsheet 98-005, Orchard Grafting Methods, 1998."""
    grafted = date(2027, 4, 20)
    first, second = YEAR.rounds(COLD, "check-seals", done_on=grafted)
    assert 2 <= (first.opens - grafted).days <= 3
    assert 2 <= (second.opens - first.opens).days <= 3


def test_stored_wood_is_looked_at_every_one_to_two_weeks() -> None:
    """Alaska Pioneer Fruit Growers (R. Purvis), Establishing bench grafts, undated."""
    rounds = YEAR.rounds(COLD, "check-wood", done_on=date(2027, 1, 20))
    apart_days = {(later.opens - earlier.opens).days for earlier, later in pairwise(rounds)}
    assert len(rounds) >= 5
    assert min(apart_days) >= 7
    assert max(apart_days) <= 14


def test_young_trees_are_watered_weekly_through_august_and_old_ones_not() -> None:
    """Home Orchard Society, Grafting aftercare, undated (young trees); Penn State, 2023 (newly planted ones)."""
    rounds = YEAR.rounds(COAST, "water-in-drought", planted=2027)
    assert {(later.opens - earlier.opens).days for earlier, later in pairwise(rounds)} == {7}
    assert date(2027, 8, 24) <= max(window.opens for window in rounds)
    assert max(window.lapses for window in rounds) <= date(2027, 8, 31)
    assert YEAR.rounds(COAST, "water-in-drought", done_on=date(2027, 3, 15)) == []


@pytest.mark.parametrize("site", [COLD, MARITIME, CENTRAL, WARM])
def test_stock_is_cut_above_a_summer_bud_before_it_is_in_leaf(site: str) -> None:
    """Manitoba Co-operator; arbrissel.org: before leaves come, at the end of winter."""
    window = YEAR.window(site, "head-back-above-bud", done_on=date(2026, 8, 5))
    assert not apart("cutting back", window, date(2027, 2, 1), YEAR.stage(site, "tight cluster"))
    assert window.best <= YEAR.stage(site, "half-inch green")
