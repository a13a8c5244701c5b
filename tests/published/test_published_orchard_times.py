"""First crops, keeping of wood, partners in bloom and ripening seasons against what is published."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

import pytest

from tendwork.orchard.bloom_overlap import bloom_overlaps
from tendwork.orchard.records import Graft, Records, Tree, Variety, Wood
from tendwork.orchard.verdicts import first_crop_years
from tendwork.orchard.wood_age import KEEPING, wood_age
from tendwork.planning.fruit_spans import FruitSpan
from tendwork.planning.fruit_weeks import bare_weeks, fruit_weeks


def test_a_graft_on_an_established_tree_fruits_in_two_to_three_years() -> None:
    """4-H handout on grafting (studylib 6836859): a graft on an established tree fruits in 2 to 3 years."""
    assert first_crop_years(Graft("g1", "t1", "Red Lamp", state="took", set_on=date(2024, 4, 13))) == (2026, 2027)


@pytest.mark.parametrize("species", ["apple", "pear", "quince", "medlar"])
def test_pome_wood_is_counted_on_for_three_to_six_months(species: str) -> None:
    """Raintree Nursery, Grafting in the Winter, 2012: wood keeps three to six months."""
    assert 3 * 30 <= KEEPING[species].good_days < KEEPING[species].last_days <= 6 * 31


@pytest.mark.parametrize("species", ["peach", "apricot"])
def test_wood_of_early_blooming_kinds_is_counted_on_for_about_three_months(species: str) -> None:
    """Raintree Nursery, Grafting in the Winter, 2012: early-blooming kinds keep about three months."""
    assert KEEPING[species].last_days == pytest.approx(91, abs=14)


@pytest.mark.parametrize("species", sorted(KEEPING))
@pytest.mark.parametrize("weeks", [4, 7])
def test_wood_is_fresh_over_the_usual_gap_from_cutting_to_bark_grafting(species: str, weeks: int) -> None:
    """MSU Extension (R. Perry), April 2014: four to seven weeks is the normal gap from collecting to bark grafting."""
    cut = date(2026, 2, 20)
    bundle = Wood("w1", "Red Lamp", species, 3, cut_on=cut)
    assert wood_age(bundle, date.fromordinal(cut.toordinal() + 7 * weeks)).state == "fresh"


@pytest.mark.parametrize("species", ["quince", "medlar", "peach"])
def test_self_set_fruits_need_no_partner(species: str) -> None:
    """A UK nursery's list: quince, medlar, peach and nectarine set by themselves."""
    grafts = (Graft("g1", "t1", "Red", state="bearing"), Graft("g2", "t1", "Blue", state="bearing"))
    assert bloom_overlaps(Records((Tree("t1", "Old", species),), grafts)) == ()


@pytest.mark.parametrize("group", range(1, 8))
@pytest.mark.parametrize("other", range(1, 8))
def test_a_partner_is_of_the_same_or_the_adjacent_of_seven_groups(group: int, other: int) -> None:
    """Habitat Aid, on pollination: seven groups of the RHS; a partner must be of the same or an adjacent one."""
    grafts = (
        Graft("g1", "t1", "Red", state="bearing"),
        Graft("g2", "t1", "Blue", state="bearing"),
    )
    varieties = (Variety("apple", "Red", bloom=f"group {group}"), Variety("apple", "Blue", bloom=f"group {other}"))
    (found,) = bloom_overlaps(Records((Tree("t1", "Old", "apple"),), grafts, varieties=varieties))
    assert found.verdict == ("together" if other in (group - 1, group, group + 1) else "apart")


# Interior British Columbia, a local list of 2009 is of hobby grade and left out; these two are an orchard's and a
# growers' list.
WESTERN_COLORADO = (
    ("sweet cherry", (6, 11), (7, 10)),
    ("sour cherry", (7, 1), (7, 20)),
    ("apricot", (7, 11), (7, 31)),
    ("peach", (7, 1), (9, 20)),
    ("plum", (8, 1), (9, 10)),
    ("apple", (8, 11), (11, 10)),
)
CALIFORNIA_VALLEY = (
    ("sweet cherry", (5, 11), (6, 20)),
    ("apricot", (5, 11), (7, 10)),
    ("apple", (7, 1), (10, 31)),
)


def spans_of(season: Iterable[tuple[str, tuple[int, int], tuple[int, int]]]) -> tuple[FruitSpan, ...]:
    """A variety of each species that bears and is ripe on the tree on these days of 2026."""
    return tuple(
        FruitSpan(
            (species, species),
            species,
            species,
            (species,),
            (species,),
            True,
            date(2026, *first),
            (date(2026, *first), date(2026, *last)),
            None,
        )
        for species, first, last in season
    )


@pytest.mark.parametrize("season", [WESTERN_COLORADO, CALIFORNIA_VALLEY], ids=["western Colorado", "California valley"])
def test_every_day_of_a_region_s_ripening_season_has_its_week(
    season: tuple[tuple[str, tuple[int, int], tuple[int, int]], ...],
) -> None:
    """Ripening lists of an orchard in western Colorado and of growers in the Californian valley, undated."""
    weeks = fruit_weeks(spans_of(season), 2026)
    for species, first, last in season:
        held = [week.first for week in weeks if species in week.on_tree]
        assert held[0] <= date(2026, *first) < held[0] + timedelta(days=7)
        assert held[-1] <= date(2026, *last) < held[-1] + timedelta(days=7)


def test_an_orchard_like_that_of_western_colorado_has_no_gap_before_mid_november() -> None:
    """The list of an orchard in western Colorado: sweet cherry from mid June, apple to early November."""
    gaps = bare_weeks(fruit_weeks(spans_of(WESTERN_COLORADO), 2026), 2026)
    assert [(gap.first, gap.weeks) for gap in gaps] == [(date(2026, 11, 15), 6)]
