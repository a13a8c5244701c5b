"""New days laid into held ones. All numbers are invented."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.weather.readers import merge

FIRST = date(2024, 3, 1)


def day(number: int) -> date:
    return FIRST + timedelta(days=number)


rows_strategy = st.dictionaries(
    st.integers(0, 30), st.tuples(st.integers(-20, 10), st.integers(11, 40)), min_size=1, max_size=20
).map(lambda held: tuple((day(number), float(low), float(high)) for number, (low, high) in sorted(held.items())))


@given(held=rows_strategy, new=rows_strategy)
def test_no_day_is_doubled_or_lost(held, new):
    rows, _ = merge(held, new)
    days = [row[0] for row in rows]
    assert days == sorted({row[0] for row in (*held, *new)})


@given(held=rows_strategy, new=rows_strategy)
def test_merging_the_same_reading_again_changes_nothing(held, new):
    rows, _ = merge(held, new)
    again, words = merge(rows, new)
    assert again == rows
    assert words == (f"{len(new)} {'day' if len(new) == 1 else 'days'} held already.",)


def test_changed_days_are_counted_with_the_largest_change():
    held = ((day(0), 1.0, 9.0), (day(1), 2.0, 10.0), (day(2), 3.0, 11.0))
    new = ((day(0), 1.5, 9.0), (day(1), 2.0, 13.25), (day(3), 4.0, 12.0))
    _, words = merge(held, new)
    assert words == ("1 day added.", "2 days changed, by up to 3.2 °C (2024-03-02).")


def test_a_half_day_is_completed():
    rows, words = merge(((day(0), None, 9.0),), ((day(0), 1.0, 9.5),))
    assert rows == ((day(0), 1.0, 9.5),)
    assert words == ("1 day completed, of which one value was missing.",)


@pytest.mark.parametrize("held", [((day(0), None, 9.0),), ((day(0), 1.0, None), (day(5), 2.0, 3.0))])
def test_a_half_day_that_nothing_completes_stays(held):
    rows, _ = merge(held, ((day(2), 1.0, 9.5),))
    assert set(held) <= set(rows)
