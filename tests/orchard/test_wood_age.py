"""Age, days left and checks of a bundle. Keeping times are from memory: only the sums made with them are checked."""

from __future__ import annotations

from datetime import date

import pytest
from orchard_records import bundle, tick

from tendwork.orchard.standing_ticks import standing_ticks
from tendwork.orchard.wood_age import KEEPING, WoodAge, WoodCheck, check_due, checks_made, usable, wood_age

CUT = date(2026, 1, 20)


@pytest.mark.parametrize(
    ("today", "state", "age_days", "days_left"),
    [
        (date(2026, 1, 20), "fresh", 0, 152),
        (date(2026, 5, 22), "fresh", 122, 30),
        (date(2026, 5, 23), "fading", 123, 29),
        (date(2026, 6, 21), "fading", 152, 0),
        (date(2026, 6, 22), "faded", 153, -1),
    ],
)
def test_apple_wood_is_good_for_four_months_and_counted_on_for_five(
    today: date, state: str, age_days: int, days_left: int
) -> None:
    assert wood_age(bundle(), today) == WoodAge("w1", state, age_days, days_left)


@pytest.mark.parametrize("cut_on", [None, date(2026, 3, 1)])
def test_wood_without_a_day_of_cutting_or_with_one_to_come_is_not_cut(cut_on: date | None) -> None:
    assert wood_age(bundle(cut_on=cut_on), date(2026, 2, 1)) == WoodAge("w1", "not cut")


def test_peach_wood_fades_before_plum_before_apple() -> None:
    days = [KEEPING[species].last_days for species in ("peach", "sweet cherry", "plum", "apple")]
    assert days == sorted(set(days))


@pytest.mark.parametrize(
    ("sticks", "today", "may_be_used"),
    [
        (3, date(2026, 6, 21), True),
        (3, date(2026, 6, 22), False),
        (0, date(2026, 2, 1), False),
        (3, date(2026, 1, 1), False),
    ],
)
def test_wood_can_be_used_while_it_is_cut_not_used_up_and_not_faded(
    sticks: int, today: date, may_be_used: bool
) -> None:
    assert usable(bundle(sticks=sticks), today) is may_be_used


def test_checks_come_from_standing_ticks_on_the_check_of_this_bundle_oldest_first() -> None:
    ticks = (
        tick("check-wood", "w1", date(2026, 2, 13), "dried", "2026.2", note="new paper"),
        tick("check-wood", "w1", date(2026, 2, 1), "all well"),
        tick("check-wood", "w2", date(2026, 2, 2), "mould"),
        tick("store-wood", "w1", date(2026, 1, 21)),
        tick("check-wood", "w1", date(2026, 2, 25), "mould", "2026.3"),
        tick("check-wood", "w1", date(2026, 2, 26), "mould", "2026.3", undone=True),
    )
    assert checks_made("w1", standing_ticks(ticks)) == (
        WoodCheck(date(2026, 2, 1), "all well"),
        WoodCheck(date(2026, 2, 13), "dried", "new paper"),
    )


def test_the_first_check_is_due_from_the_cutting_the_next_from_the_last() -> None:
    today = date(2026, 2, 10)
    assert check_due(bundle(), (), 12, today) == date(2026, 2, 1)
    assert check_due(bundle(), (WoodCheck(date(2026, 2, 3), "all well"),), 12, today) == date(2026, 2, 15)


@pytest.mark.parametrize("gone", [bundle(cut_on=None), bundle(sticks=0), bundle(cut_on=date(2025, 1, 20))])
def test_no_check_is_due_on_wood_that_is_not_there(gone: object) -> None:
    assert check_due(gone, (), 12, date(2026, 2, 10)) is None  # type: ignore[arg-type]
