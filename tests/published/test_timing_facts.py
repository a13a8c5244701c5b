"""Further published times of the trade, held against the plan in the same way; each names its source."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import pairwise

import pytest
from timing_checks import (
    BARK,
    CENTRAL,
    CLEFT,
    COLD,
    MARITIME,
    NEAR_DAYS,
    POME_WOOD,
    STONE_WOOD,
    WARM,
    WHIP,
    Check,
    Met,
    a_round_in_each,
    apart,
    interval,
    overlaps,
)
from timing_orchard import Year

COAST, GULF, UTAH = "Pacific North West", "Gulf Texas", "Utah"
PUGET, MICHIGAN, VERMONT, HUDSON = "north-west Washington", "south-east Michigan", "Vermont", "Hudson Valley"
BOULDER, FRANCE, MANITOBA, NEW_MEXICO = "Colorado front range", "Loire", "Manitoba", "northern New Mexico"
PEAR_CUT, CHERRY_CUT, SPROUTS = "summer-prune-pear-quince", "summer-prune-cherry", "water-sprouts-pome"
PLUM_BUDS, PEACH_BUDS, QUINCE_BUDS = "bud-pear-plum-cherry", "bud-peach-apricot", "bud-quince-medlar"
PEACH_WOOD = "collect-wood-peach-apricot"


def bridges_at_full_pink_to_early_bloom(year: Year) -> Iterator[Met]:
    window = year.window(COLD, "bridge-gnawed-bark")
    yield Met("bridging", window, year.stage(COLD, "full pink"), year.stage(COLD, "first bloom"))


def bark_grafts_at_bloom_or_a_week_after(year: Year) -> Iterator[Met]:
    bloom = year.stage(COLD, "full bloom")
    yield Met("bark grafting", year.window(COLD, BARK), bloom, bloom + timedelta(days=7))


def plum_and_peach_wood_until_the_buds_swell(year: Year) -> Iterator[Met]:
    for species, job in (("plum", STONE_WOOD), ("peach", PEACH_WOOD)):
        swollen = year.stage(GULF, "swollen bud", species)
        yield Met(f"{species} wood", year.window(GULF, job, species), year.day("12-21"), swollen)


def spring_grafts_in_alaska(year: Year) -> Iterator[Met]:
    jobs = ((WHIP, "apple"), (CLEFT, "apple"), (BARK, "apple"), ("whip-plum-cherry", "plum"))
    for job, species in jobs:
        yield Met(job, year.window("Alaska", job, species), year.day("05-10"), year.day("05-30"))


WOOD: dict[str, Check] = {
    "Ask Extension, Oakland County, Michigan, 2017: wood in late January and early February": overlaps(
        MICHIGAN, POME_WOOD, "01-21", "02-10"
    ),
    "Ask Extension, Vermont, 2015: wood from late February through March": overlaps(
        VERMONT, POME_WOOD, "02-21", "03-31"
    ),
    "Utah State Extension (Heaton): wood in February and early March": overlaps(UTAH, POME_WOOD, "02-01", "03-10"),
    "Utah State Extension (Heaton): the same of stone fruit": overlaps(UTAH, STONE_WOOD, "02-01", "03-10", "plum"),
    "NW Fruit, Mount Vernon: wood in December": overlaps(PUGET, POME_WOOD, "12-01", "12-31"),
    "Raintree Nursery, 2012: wood from December to February": overlaps(COAST, POME_WOOD, "12-01", "02-28"),
    "Galveston County, GC-310: plum and peach wood from late December until the buds swell": (
        plum_and_peach_wood_until_the_buds_swell
    ),
    "LWG Bavaria, 2023: wood from 25 January to mid February": overlaps(CENTRAL, POME_WOOD, "01-25", "02-15"),
    "infranken.de: pome wood up to the end of January": overlaps(CENTRAL, POME_WOOD, "12-01", "01-31"),
    "gartenjournal.net: pome wood from January to mid February": overlaps(CENTRAL, POME_WOOD, "01-01", "02-20"),
    "gartenjournal.net: stone-fruit wood in mid to late January": overlaps(
        CENTRAL, STONE_WOOD, "01-11", "01-31", "sweet cherry"
    ),
    "gbvas.org (A. Heuberger), Swabia: stone-fruit wood in mid to late January": overlaps(
        CENTRAL, STONE_WOOD, "01-11", "01-31", "plum"
    ),
    "imkerei-obstbaumfreund.de: plum wood in early January": overlaps(CENTRAL, STONE_WOOD, "01-01", "01-10", "plum"),
    "imkerei-obstbaumfreund.de: pome wood from the end of January to mid February": overlaps(
        CENTRAL, POME_WOOD, "01-21", "02-20"
    ),
    "German orchard group, 2026: stone-fruit wood by mid January": overlaps(
        CENTRAL, STONE_WOOD, "12-01", "01-20", "plum"
    ),
    "schnittkurse.de: wood in December, January at the latest": overlaps(CENTRAL, POME_WOOD, "12-01", "01-31"),
    "Hortus Focus, 2017: wood in December and January": overlaps(FRANCE, POME_WOOD, "12-01", "01-31"),
    "arbrissel.org: wood from December to February": overlaps(FRANCE, POME_WOOD, "12-01", "02-28", "pear"),
    "Baltet, L'art de greffer: cherry wood before January": overlaps(
        FRANCE, STONE_WOOD, "12-01", "12-31", "sweet cherry"
    ),
    "Alaska Pioneer Fruit Growers: plum wood too from 15 February to 15 April": overlaps(
        "Alaska", STONE_WOOD, "02-15", "04-15", "plum"
    ),
}
SPRING: dict[str, Check] = {
    "Ask Extension, Vermont, 2015: cleft grafts in March and April": overlaps(VERMONT, CLEFT, "03-01", "04-30"),
    "An English grower: cleft grafts with sap drawers in February and March": overlaps(
        MARITIME, CLEFT, "02-01", "03-31"
    ),
    "Hortus Focus, 2017: cleft grafts of apple in early March": overlaps(FRANCE, CLEFT, "03-01", "03-10"),
    "Hortus Focus, 2017: cleft grafts of cherry in April": overlaps(
        FRANCE, "cleft-plum-cherry", "04-01", "04-30", "sweet cherry"
    ),
    "Alaska Pioneer Fruit Growers: grafts from 10 to 30 May": spring_grafts_in_alaska,
    "OGV Kfurt, 2014: bark grafts from late April to mid May": overlaps(CENTRAL, BARK, "04-21", "05-20"),
    "Cornell staff, 2009: bark grafts at bloom or within a week after": bark_grafts_at_bloom_or_a_week_after,
    "Galveston County, GC-310: bark grafts of pear from about 1 April": overlaps(GULF, BARK, "04-01", "06-15", "pear"),
    "University of Minnesota bulletin: bridges from 15 April to 15 May": overlaps(
        COLD, "bridge-gnawed-bark", "04-15", "05-15"
    ),
    "West Virginia University Extension: bridges from full pink to early bloom": bridges_at_full_pink_to_early_bloom,
    "A Californian nursery: plum buds in spring, April": overlaps(WARM, "spring-bud", "04-01", "04-30", "plum"),
    "A Californian nursery: peach buds in spring, April to May": overlaps(
        WARM, "spring-bud", "04-01", "05-31", "peach"
    ),
    "A Californian nursery: apricot buds in spring, April to May": overlaps(
        WARM, "spring-bud", "04-01", "05-31", "apricot"
    ),
    "arbrissel.org: buds in late May": overlaps(FRANCE, "spring-bud", "05-21", "05-31"),
}
SUMMER: dict[str, Check] = {
    "Rhineland-Palatinate garden academy: apple buds in early August": overlaps(CENTRAL, "bud-apple", "08-01", "08-10"),
    "Rhineland-Palatinate garden academy: plum buds in early August": overlaps(
        CENTRAL, PLUM_BUDS, "08-01", "08-10", "plum"
    ),
    "A German hobby page: buds from late July to late August": overlaps(CENTRAL, PEACH_BUDS, "07-21", "08-31", "peach"),
    "arbrissel.org: buds from late July to September": overlaps(FRANCE, "bud-apple", "07-21", "09-30"),
    "A French rural magazine: plum and cherry buds about 25 July": overlaps(
        FRANCE, PLUM_BUDS, "07-20", "07-31", "sweet cherry"
    ),
    "A French rural magazine: pear buds in the first days of August": overlaps(
        FRANCE, PLUM_BUDS, "08-01", "08-10", "pear"
    ),
    "A French rural magazine: apple buds from 15 to 20 August": overlaps(FRANCE, "bud-apple", "08-15", "08-20"),
    "A French rural magazine: quince buds from 15 to 20 August": overlaps(
        FRANCE, QUINCE_BUDS, "08-15", "08-20", "quince"
    ),
    "Baltet, L'art de greffer: peach buds in August": overlaps(FRANCE, PEACH_BUDS, "08-01", "08-31", "peach"),
    "Jackson, 2003, England: apple buds from the end of June to mid August": overlaps(
        MARITIME, "bud-apple", "06-21", "08-20"
    ),
    "Utah State Extension (Heaton): apricot buds in August": overlaps(UTAH, PEACH_BUDS, "08-01", "08-31", "apricot"),
    "Gardener's Monthly, vol. 20: peach buds from 1 August to 1 September": overlaps(
        COLD, PEACH_BUDS, "08-01", "09-01", "peach"
    ),
    "Mother Earth News (L. Reich), Hudson Valley: buds in August": overlaps(HUDSON, "bud-apple", "08-01", "08-31"),
    "The same of pear": overlaps(HUDSON, PLUM_BUDS, "08-01", "08-31", "pear"),
    "Manitoba Co-operator: apple buds in July": overlaps(MANITOBA, "bud-apple", "07-01", "07-31"),
    "New Mexico fruit growers: pear buds in mid July": overlaps(NEW_MEXICO, PLUM_BUDS, "07-11", "07-20", "pear"),
    "New Mexico fruit growers: plum buds in mid July": overlaps(NEW_MEXICO, PLUM_BUDS, "07-11", "07-20", "plum"),
    "New Mexico fruit growers: peach buds in mid July": overlaps(NEW_MEXICO, PEACH_BUDS, "07-11", "07-20", "peach"),
    "New Mexico fruit growers: apple buds in late August": overlaps(NEW_MEXICO, "bud-apple", "08-21", "08-31"),
    "Galveston County: June buds from late May to early June": overlaps(GULF, PEACH_BUDS, "05-21", "06-10", "peach"),
    "A Californian nursery: June buds of peach in May and June": overlaps(WARM, PEACH_BUDS, "05-01", "06-30", "peach"),
    "A Californian nursery: June buds of plum in May and June": overlaps(
        WARM, PEACH_BUDS, "05-01", "06-30", "japanese plum"
    ),
    "Home Orchard Society: bud a failed graft in August": overlaps(COAST, "bud-apple", "08-01", "08-31"),
}
AFTER: dict[str, Check] = {
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
    "Texas A&M, Whip grafting: the tape comes off after three to four months": interval(
        "Texas", WHIP, "wraps-tape-pome", 90, 120
    ),
    "Manitoba Co-operator: buds have taken or not at about two weeks": interval(
        MANITOBA, "bud-apple", "check-bud-take", 13, 15
    ),
}
OTHER_SIDE: dict[str, Check] = {
    "A Boulder grafter: wood from late January; Coburg, where the buds swell no later: around New Year": overlaps(
        BOULDER, POME_WOOD, "01-21", "02-20"
    ),
    "A Portland grower: stone-fruit wood at the end of February; Raintree, Mount Vernon: from December": overlaps(
        COAST, STONE_WOOD, "02-21", "02-28", "plum"
    ),
    "A French rural magazine: peach on almond in early September; Baltet, on plum: July and August": overlaps(
        FRANCE, PEACH_BUDS, "09-01", "09-10", "peach"
    ),
    "An Italian grower: peach buds from 15 August; California, the South: in June": overlaps(
        "Sicily", PEACH_BUDS, "08-15", "09-08", "peach"
    ),
}
"""What another source says of a place with the same spring, so that the plan cannot follow both."""

FACTS = {**WOOD, **SPRING, **SUMMER, **AFTER}
ON_THE_ADVISED_DAY = {**WOOD, **SPRING, **SUMMER}
FIRST_DAY = Year(today=date(2026, 11, 1))
YEAR = Year()


def named(facts: dict[str, Check]) -> pytest.MarkDecorator:
    return pytest.mark.parametrize("check", facts.values(), ids=[words.replace(": ", " - ") for words in facts])


@named(FACTS)
def test_the_plan_agrees_with(check: Check) -> None:
    for finding in check(YEAR):
        assert isinstance(finding, Met), finding
        assert not finding.fault


@named(ON_THE_ADVISED_DAY)
@pytest.mark.parametrize("year", [FIRST_DAY, YEAR], ids=["November", "January"])
def test_the_advised_day_is_near(check: Check, year: Year) -> None:
    for finding in check(year):
        assert isinstance(finding, Met), finding
        assert abs(finding.days_off) <= NEAR_DAYS


@named(OTHER_SIDE)
def test_the_other_side_is_not_the_one_followed(check: Check) -> None:
    assert any(isinstance(finding, Met) and abs(finding.days_off) > NEAR_DAYS for finding in check(YEAR))


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
    assert min(window.opens for window in rounds) == YEAR.stage(COAST, "petal fall")
    assert date(2027, 8, 19) <= max(window.opens for window in rounds) <= date(2027, 8, 31)
    assert YEAR.rounds(COAST, "water-in-drought", done_on=date(2027, 3, 15)) == []


@pytest.mark.parametrize("site", [COLD, MARITIME, CENTRAL, WARM])
def test_stock_is_cut_above_a_summer_bud_before_it_is_in_leaf(site: str) -> None:
    """Manitoba Co-operator; arbrissel.org: before leaves come, at the end of winter."""
    window = YEAR.window(site, "head-back-above-bud", done_on=date(2026, 8, 5))
    assert not apart("cutting back", window, date(2027, 2, 1), YEAR.stage(site, "tight cluster"))
    assert window.best <= YEAR.stage(site, "half-inch green")
