"""What a spray bars, and until when: only numbers that the person copied from the label, and never a guess."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from tendwork.orchard.records import Spray
from tendwork.orchard.sprays import HARVEST, RETURN, UNKNOWN_BARS_DAYS, bar_of, bars_on, lacking_days, latest_sprays

JUNE = date(2026, 6, 3)


def spray(back: int | None = 2, harvest: int | None = 14, **more: object) -> Spray:
    values: dict[str, object] = {"day": JUNE, "tree": "t1", "product": "Invented spray"}
    return Spray(**{**values, "days_to_return": back, "days_to_harvest": harvest, **more})  # type: ignore[arg-type]


def test_the_day_of_spraying_and_the_labels_whole_days_after_it_are_barred() -> None:
    back, harvest = bar_of(spray(), RETURN), bar_of(spray(), HARVEST)
    assert (back.last, back.until) == (date(2026, 6, 5), date(2026, 6, 6))
    assert (harvest.last, harvest.until) == (date(2026, 6, 17), date(2026, 6, 18))
    assert bar_of(spray(back=0), RETURN).last == JUNE


def test_a_bar_is_over_on_the_day_after_its_last_and_is_of_its_own_tree() -> None:
    held = (spray(),)
    assert [bool(bars_on(held, "t1", JUNE + timedelta(days=step), RETURN)) for step in (-1, 0, 2, 3)] == [
        False, True, True, False,
    ]  # fmt: skip
    assert not bars_on(held, "t2", JUNE, RETURN)


def test_days_that_nobody_noted_bar_a_whole_year_and_are_named_until_then() -> None:
    held = (spray(back=None),)
    (bar,) = bars_on(held, "t1", date(2027, 6, 2), RETURN)
    assert not bar.noted
    assert not bars_on(held, "t1", date(2027, 6, 3), RETURN)
    assert lacking_days(held, date(2027, 6, 2)) == held
    assert lacking_days(held, date(2027, 6, 3)) == ()


def test_noting_the_days_later_frees_the_tree_at_once() -> None:
    held = (spray(back=None, harvest=None), spray(back=1, harvest=7, product="invented  SPRAY"))
    assert latest_sprays(held) == held[1:]
    assert not bars_on(held, "t1", date(2026, 6, 5), RETURN)
    assert lacking_days(held, JUNE) == ()


def test_of_several_sprays_the_one_that_lasts_longest_is_told_first() -> None:
    held = (spray(back=1), spray(back=9, product="Another invented one"), spray(back=4, product="A third"))
    assert [bar.spray.days_to_return for bar in bars_on(held, "t1", JUNE, RETURN)] == [9, 4, 1]


@given(st.integers(0, 365), st.integers(0, 400))
def test_a_noted_number_bars_exactly_its_days_and_an_unknown_one_never_less(days: int, later: int) -> None:
    day = JUNE + timedelta(days=later)
    assert bool(bars_on((spray(back=days),), "t1", day, RETURN)) == (later <= days)
    assert bool(bars_on((spray(back=None),), "t1", day, RETURN)) == (later < UNKNOWN_BARS_DAYS)


def test_a_second_record_of_the_same_spray_forgets_no_days() -> None:
    assert latest_sprays((spray(back=2, harvest=30), spray(back=None, harvest=None))) == (spray(back=2, harvest=30),)
