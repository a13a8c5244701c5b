"""Weeks from high summer to midwinter, where the fruit is in each, and the runs of weeks without any."""

from __future__ import annotations

from datetime import date, timedelta

from tendwork.planning.fruit_spans import FruitSpan
from tendwork.planning.fruit_weeks import BareWeeks, bare_weeks, fruit_weeks, fruit_year_ends, where_fruit_is

DAY = timedelta(days=1)
Part = tuple[date, date] | None


def fruit(variety: str, on_tree: Part = None, in_store: Part = None, bears: bool = True) -> FruitSpan:
    picked = min(part[0] for part in (on_tree, in_store) if part is not None)
    return FruitSpan(("apple", variety), "apple", variety, (variety,), ("g1",), bears, picked, on_tree, in_store)


def test_the_weeks_run_from_21_june_to_midwinter() -> None:
    weeks = fruit_weeks((), 2026)
    assert (len(weeks), weeks[0].first, weeks[-1].first) == (27, date(2026, 6, 21), date(2026, 12, 20))


def test_in_the_south_they_run_from_21_december_to_its_midwinter() -> None:
    weeks = fruit_weeks((), 2026, south=True)
    assert (len(weeks), weeks[0].first, weeks[-1].first) == (27, date(2026, 12, 21), date(2027, 6, 21))
    assert fruit_year_ends(2026, south=True) == date(2027, 9, 30)


def test_a_variety_stands_in_each_week_that_it_touches() -> None:
    # weeks start on 5, 12 and 19 July: 11 to 19 July touches all three
    weeks = fruit_weeks([fruit("Lamp", (date(2026, 7, 11), date(2026, 7, 19)))], 2026)
    assert [week.first for week in weeks if week.on_tree == ("Lamp",)] == [
        date(2026, 7, 5), date(2026, 7, 12), date(2026, 7, 19),
    ]  # fmt: skip


def test_a_week_with_both_is_of_the_tree_and_the_store_goes_on_after_it() -> None:
    # 10 to 17 October on the tree, from 18 October in the store: the week of 11 October holds the tree's last days,
    # that of 18 October is the store's alone.
    keeper = fruit("Keeper", (date(2026, 10, 10), date(2026, 10, 17)), (date(2026, 10, 18), date(2026, 11, 1)))
    starts = [date(2026, 10, 4) + week * 7 * DAY for week in range(6)]
    assert [where_fruit_is(keeper, week) for week in starts] == ["tree", "tree", "store", "store", "store", ""]
    weeks = {week.first: week for week in fruit_weeks([keeper], 2026)}
    assert (weeks[starts[1]].on_tree, weeks[starts[1]].in_store) == (("Keeper",), ())
    assert (weeks[starts[2]].on_tree, weeks[starts[2]].in_store) == ((), ("Keeper",))


def test_what_does_not_bear_yet_is_to_come_and_fills_no_week() -> None:
    hope = fruit("Hope", (date(2026, 7, 5), date(2026, 7, 6)), bears=False)
    weeks = fruit_weeks([hope], 2026)
    assert [week.to_come for week in weeks if week.to_come] == [("Hope",)]
    assert [gap.weeks for gap in bare_weeks(weeks, 2026)] == [27]


def test_early_cherries_and_keepers_bring_more_weeks_up_to_the_end_of_the_fruit_year() -> None:
    early = fruit("early", (date(2026, 6, 10), date(2026, 6, 20)))
    late = fruit("late", (date(2026, 10, 1), date(2026, 10, 8)), (date(2026, 10, 9), date(2027, 1, 20)))
    weeks = fruit_weeks([early, late], 2026)
    assert (weeks[0].first, weeks[-1].first) == (date(2026, 6, 7), date(2027, 1, 17))
    longest = fruit("longest", None, (date(2026, 12, 1), date(2027, 6, 30)))
    # the week of 28 March holds 31 March, the last day of the fruit year
    assert fruit_weeks([longest], 2026)[-1].first == date(2027, 3, 28)


def test_gaps_by_hand() -> None:
    # fruit 21 June to 11 July (weeks of 21 and 28 June, 5 July) and 26 July to 27 December; bare 12 to 25 July
    weeks = fruit_weeks(
        [
            fruit("a", (date(2026, 6, 21), date(2026, 7, 11))),
            fruit("b", (date(2026, 7, 26), date(2026, 8, 30)), (date(2026, 8, 31), date(2026, 12, 27))),
            fruit("hope", (date(2026, 7, 20), date(2026, 7, 21)), bears=False),
        ],
        2026,
    )
    assert bare_weeks(weeks, 2026) == (BareWeeks(date(2026, 7, 12), date(2026, 7, 25), 2, ("hope",)),)


def test_two_gaps_stay_two_and_one_runs_up_to_the_day_that_fruit_is_good_to_eat() -> None:
    # picked hard, eaten from 26 July: that week has fruit, those before have none
    weeks = fruit_weeks(
        [
            fruit("a", (date(2026, 7, 12), date(2026, 7, 18))),
            fruit("hard", None, (date(2026, 7, 26), date(2026, 12, 27))),
        ],
        2026,
    )
    assert [(gap.first, gap.weeks) for gap in bare_weeks(weeks, 2026)] == [
        (date(2026, 6, 21), 3), (date(2026, 7, 19), 1),
    ]  # fmt: skip


def test_bare_weeks_before_high_summer_and_after_midwinter_are_no_gap() -> None:
    weeks = fruit_weeks(
        [
            fruit("early", (date(2026, 6, 7), date(2026, 6, 8))),
            fruit("all", (date(2026, 6, 21), date(2026, 12, 26))),
            fruit("late", None, (date(2027, 1, 20), date(2027, 1, 21))),
        ],
        2026,
    )
    assert bare_weeks(weeks, 2026) == ()


def test_in_the_south_the_gaps_are_of_its_own_season() -> None:
    weeks = fruit_weeks([fruit("a", (date(2026, 12, 21), date(2027, 6, 20)))], 2026, south=True)
    assert [(gap.first, gap.weeks) for gap in bare_weeks(weeks, 2026, south=True)] == [(date(2027, 6, 21), 1)]
