"""The days of a variety on the tree and in the store, and the weeks of the season that they fill, worked by hand."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.varieties import VarietyBook
from tendwork.planning.fruit_spans import FruitSpan, fruit_spans, season_weeks, weeks_covered
from tendwork.planning.ripening_dates import RipeDates

TREES = (Tree("t1", "Old apple", "apple"),)
EARLY = RipeDates(
    "apple",
    "Early",
    look=date(2026, 7, 10),
    pick_low=date(2026, 7, 15),
    pick=date(2026, 7, 20),
    pick_high=date(2026, 7, 26),
    until=None,
    because=(),
    usual=date(2026, 7, 23),
    hangs=date(2026, 7, 29),
    eat=date(2026, 7, 20),
)
KEEPER = replace(
    EARLY,
    variety="Keeper",
    pick=date(2026, 10, 10),
    usual=date(2026, 10, 10),
    hangs=date(2026, 10, 17),
    eat=date(2026, 12, 1),
    until=date(2027, 3, 31),
)


def spans(*rows: RipeDates, usual: bool = False, **more: str) -> tuple[FruitSpan, ...]:
    grafts = tuple(Graft(f"g{n}", "t1", row.variety, **{"state": "bearing", **more}) for n, row in enumerate(rows))
    records = Records(TREES, grafts)
    return fruit_spans(records, rows, VarietyBook(records), usual)


def test_what_does_not_keep_is_eaten_off_the_tree_alone() -> None:
    (early,) = spans(EARLY)
    assert (early.on_tree, early.in_store) == ((date(2026, 7, 20), date(2026, 7, 29)), None)


def test_a_season_as_usual_moves_both_ends() -> None:
    (early,) = spans(EARLY, usual=True)
    assert (early.picked, early.on_tree) == (date(2026, 7, 23), (date(2026, 7, 23), date(2026, 8, 1)))


def test_what_is_eaten_later_is_in_the_store_alone() -> None:
    (keeper,) = spans(KEEPER)
    assert (keeper.on_tree, keeper.in_store) == (None, (date(2026, 12, 1), date(2027, 3, 31)))


def test_what_keeps_goes_on_after_the_tree() -> None:
    (keeper,) = spans(replace(KEEPER, eat=KEEPER.pick))
    assert keeper.on_tree == (date(2026, 10, 10), date(2026, 10, 17))
    assert keeper.in_store == (date(2026, 10, 18), date(2027, 3, 31))


def test_what_is_picked_hard_and_of_which_nobody_says_how_long_it_keeps_is_good_for_a_week() -> None:
    (pear,) = spans(replace(KEEPER, eat=date(2026, 10, 20), until=None))
    assert (pear.on_tree, pear.in_store) == (None, (date(2026, 10, 20), date(2026, 10, 26)))


def test_what_is_judged_to_be_cut_gives_none() -> None:
    assert spans(EARLY, verdict="cut") == ()
    assert [span.bears for span in spans(EARLY, state="planned")] == [False]


def test_weeks_with_a_hole_between_tree_and_store() -> None:
    """Weeks run from 21 June; 20 to 29 July are in the fifth and sixth, December in those from 29 November on."""
    weeks = season_weeks(2026)
    assert (weeks[0], weeks[4], weeks[-1], len(weeks)) == (date(2026, 6, 21), date(2026, 7, 19), date(2026, 12, 20), 27)
    (early,) = spans(EARLY)
    assert weeks_covered(early, weeks) == {4, 5}
    (keeper,) = spans(KEEPER)
    assert weeks_covered(keeper, weeks) == {23, 24, 25, 26}


def test_the_south_begins_at_its_own_high_summer() -> None:
    weeks = season_weeks(2026, south=True)
    assert (weeks[0], weeks[-1] + timedelta(days=6)) == (date(2026, 12, 21), date(2027, 6, 27))


def test_a_last_likely_day_of_picking_after_the_days_noted_is_no_store() -> None:
    """How long it is good, where nobody says how long it keeps, is at least to the last likely day of picking."""
    (early,) = spans(replace(EARLY, pick_high=date(2026, 8, 3), until=date(2026, 8, 3)))
    assert (early.on_tree, early.in_store) == ((date(2026, 7, 20), date(2026, 7, 29)), None)


@given(
    hangs=st.integers(0, 60), eat=st.integers(0, 120), until=st.none() | st.integers(0, 300), usual=st.integers(-9, 9)
)
def test_the_weeks_of_a_variety_have_no_hole(hangs: int, eat: int, until: int | None, usual: int) -> None:
    """So the first and the last say all: choosing counts on it."""
    pick = date(2026, 8, 1)
    row = replace(
        EARLY,
        pick=pick,
        usual=pick + timedelta(days=usual),
        pick_high=pick + timedelta(days=5),
        hangs=pick + timedelta(days=hangs),
        eat=pick + timedelta(days=eat),
        until=None if until is None else pick + timedelta(days=until),
    )
    (span,) = spans(row, usual=True)
    weeks = weeks_covered(span, season_weeks(2026))
    assert not weeks or weeks == set(range(min(weeks), max(weeks) + 1))
