"""First crops, scores and weeks with fruit of a season, counted by hand."""

from __future__ import annotations

import itertools
from datetime import date, timedelta

from examples import examples
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from season_orchard import RECORDS, TODAY

from tendwork.orchard.records import Graft, Records, Tasting, Tree
from tendwork.planning.fruit_spans import FruitSpan, season_weeks
from tendwork.planning.season_crops import FruitGap, FruitWeek, Scored, fruit_gaps, season_crops

WINTER = date(2027, 2, 1)


def span(variety: str, graft: str, tree: tuple[date, date] | None, store: tuple[date, date] | None = None) -> FruitSpan:
    return FruitSpan(("apple", variety), "apple", variety, (variety,), (graft,), True, date(2026, 9, 1), tree, store)


FAR = span("Far Lamp", "g9", (date(2026, 9, 12), date(2026, 9, 26)), (date(2026, 10, 20), date(2026, 11, 1)))


def test_the_year_s_tastings_reach_from_april_to_the_march_after() -> None:
    found = season_crops(RECORDS, (), 2026, False, WINTER)
    assert (found.tastings, found.varieties, found.scored) == (4, 2, 4)  # the one of January 2026 is of 2025
    assert season_crops(RECORDS, (), 2026, False, TODAY).tastings == 3  # what lies ahead of the day does not count


def test_the_best_score_of_a_variety_counts_with_how_often_it_was_scored() -> None:
    found = season_crops(RECORDS, (), 2026, False, WINTER)
    assert found.scores == (Scored("apple", "Far Lamp", 5, 3), Scored("pear", "Green Lamp", 2, 1))
    assert (found.best, found.worst) == (found.scores[:1], found.scores[1:])


def test_where_all_have_one_score_none_is_the_worst() -> None:
    one = replace(RECORDS, tastings=RECORDS.tastings[2:3])
    found = season_crops(one, (), 2026, False, WINTER)
    assert (len(found.best), found.worst) == (1, ())


def test_names_of_one_variety_are_scored_together() -> None:
    records = Records(
        (Tree("t1", "Any", "apple"),),
        (Graft("g1", "t1", "Red Lamp", state="bearing"), Graft("g2", "t1", "red lamp", state="bearing")),
        tastings=(Tasting(date(2026, 9, 1), "g1", "", 3), Tasting(date(2026, 9, 2), "g2", "", 4)),
    )
    assert season_crops(records, (), 2026, False, WINTER).scores == (Scored("apple", "Red Lamp", 4, 2),)


def test_a_first_crop_is_the_first_tasting_or_the_tick_that_it_bears() -> None:
    first = season_crops(replace(RECORDS, tastings=RECORDS.tastings[:4]), (), 2026, False, WINTER).first_crops
    assert [(one.graft, one.day, one.score, one.may_be_older) for one in first] == [
        ("g4", date(2026, 9, 20), 2, False),
        ("g9", date(2026, 8, 20), 5, True),  # set in 2022: by 2026 it may have borne before
    ]


def test_one_that_was_tasted_in_an_earlier_year_has_no_first_crop() -> None:
    assert [one.graft for one in season_crops(RECORDS, (), 2026, False, WINTER).first_crops] == ["g4"]
    assert [one.graft for one in season_crops(RECORDS, (), 2025, False, WINTER).first_crops] == ["g9"]


def test_a_tasting_of_an_earlier_life_is_told_of_that_life() -> None:
    eaten = replace(RECORDS, tastings=(Tasting(date(2025, 9, 9), "g7", "ripe", 5),))
    assert season_crops(eaten, (), 2025, False, WINTER).scores == (Scored("apple", "Gone Lamp", 5, 1),)


def test_weeks_by_calculation_and_by_taste() -> None:
    weeks = {week.starts: week for week in season_crops(RECORDS, (FAR,), 2026, False, WINTER).weeks}
    # high summer is 21 June, so weeks begin on 6, 13, 20 September, 18, 25 October and so on
    assert [day for day, week in weeks.items() if week.tree] == [date(2026, 9, day) for day in (6, 13, 20)]
    assert [day for day, week in weeks.items() if week.store] == [
        date(2026, 10, 18),
        date(2026, 10, 25),
        date(2026, 11, 1),
    ]
    assert [(day, week.tasted) for day, week in weeks.items() if week.tasted] == [
        (date(2026, 9, 13), ("Far Lamp",)),
        (date(2026, 9, 20), ("Green Lamp",)),
    ]


def test_gaps_are_the_runs_of_weeks_between() -> None:
    # 27 weeks from 21 June; fruit from 6 to 26 September and from 18 October to 7 November
    assert season_crops(RECORDS, (FAR,), 2026, False, WINTER).gaps == (
        FruitGap(date(2026, 6, 21), date(2026, 9, 5), 11),
        FruitGap(date(2026, 9, 27), date(2026, 10, 17), 3),
        FruitGap(date(2026, 11, 8), date(2026, 12, 26), 7),
    )


def test_a_variety_counts_by_calculation_only_once_it_bore() -> None:
    later = replace(RECORDS, ticks=(), tastings=(Tasting(date(2027, 9, 9), "g9", "ripe", 4),))
    weeks = season_crops(later, (FAR,), 2026, False, date(2027, 12, 1)).weeks
    assert not any(week.tree or week.store for week in weeks)
    set_late = replace(RECORDS, grafts=(Graft("g9", "t1", "Far Lamp", state="bearing", set_on=date(2026, 4, 1)),))
    assert not any(week.tree for week in season_crops(set_late, (FAR,), 2026, False, WINTER).weeks)


def test_in_the_south_high_summer_is_in_december() -> None:
    records = Records(
        (Tree("t1", "South", "apple"),),
        (Graft("g1", "t1", "South Lamp", state="bearing", set_on=date(2020, 9, 1)),),
        tastings=(Tasting(date(2027, 3, 2), "g1", "ripe", 4),),
    )
    found = season_crops(records, (), 2026, True, date(2027, 6, 1))
    assert (found.tastings, found.weeks[0].starts) == (1, date(2026, 12, 21))
    assert [week.starts for week in found.weeks if week.tasted] == [date(2027, 3, 1)]


@given(st.lists(st.booleans(), min_size=27, max_size=27))
@examples(200)
def test_weeks_with_fruit_and_weeks_of_gaps_are_all_weeks(fruit: list[bool]) -> None:
    weeks = tuple(
        FruitWeek(day, ("Any",) if ripe else (), (), ()) for day, ripe in zip(season_weeks(2026), fruit, strict=True)
    )
    gaps = fruit_gaps(weeks)
    assert sum(gap.weeks for gap in gaps) == fruit.count(False)
    assert all((gap.last - gap.first).days + 1 == 7 * gap.weeks for gap in gaps)
    assert all(later.first - one.last > timedelta(days=7) for one, later in itertools.pairwise(gaps))
