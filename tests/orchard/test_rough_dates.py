"""Dates as a person knows and writes them."""

from __future__ import annotations

import re
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tendwork.orchard.rough_dates import (
    MONTHS,
    RoughDate,
    date_of_text,
    date_text,
    date_written,
    day_known,
    day_written,
    first_day,
    last_day,
    may_be_on,
    middle_day,
    rough_words,
    when_words,
)

DAYS = st.dates(date(1600, 1, 1), date(2200, 12, 31))
ROUGH = st.builds(RoughDate, st.integers(1600, 2200), st.none() | st.integers(1, 12))
APRIL_14 = date(2019, 4, 14)


@pytest.mark.parametrize(
    ("text", "noted"),
    [
        ("2019", RoughDate(2019)),
        (" 2019 ", RoughDate(2019)),
        ("2019-04", RoughDate(2019, 4)),
        ("2019/4", RoughDate(2019, 4)),
        ("4.2019", RoughDate(2019, 4)),
        ("04/2019", RoughDate(2019, 4)),
        ("Apr 2019", RoughDate(2019, 4)),
        ("Sept 2019", RoughDate(2019, 9)),
        ("september 2019", RoughDate(2019, 9)),
        ("2019-04-14", APRIL_14),
        ("2019-4-14", APRIL_14),
        ("2019/04/14", APRIL_14),
        ("14.4.2019", APRIL_14),
        ("14. 4. 2019", APRIL_14),
        ("14/4/2019", APRIL_14),
        ("4/14/2019", APRIL_14),
        ("14-04-2019", APRIL_14),
        ("14 April 2019", APRIL_14),
        ("14. April 2019", APRIL_14),
        ("3.4.2019", date(2019, 4, 3)),
        ("5/5/2019", date(2019, 5, 5)),
    ],
)
def test_a_year_a_month_or_a_day_is_read_in_the_ways_in_which_people_write_them(text: str, noted: object) -> None:
    assert date_written(text) == noted


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("3/4/2019", '"3/4/2019" may be 3 Apr or 4 Mar; write 2019-04-03 or 2019-03-04'),
        ("03-04-2019", "may be 3 Apr or 4 Mar"),
        ("31.2.2019", "is a day or a month that there is not; write one such as 2026-03-15"),
        ("2019-13", "is a day or a month that there is not"),
        ("2019-00", "is a day or a month that there is not"),
        ("2019.0", "is a day or a month that there is not"),
        ("0.2019", "is a day or a month that there is not"),
        ("0/2019", "is a day or a month that there is not"),
        ("2019-00-13", "is a day or a month that there is not"),
        ("0.0.2019", "is a day or a month that there is not"),
        ("14.14.2019", "is a day or a month that there is not"),
        ("0000", "is a day or a month that there is not"),
        ("14.4.19", "is not a date, such as 2026-03-15"),
        ("spring 2019", "is not a date"),
        ("Ju 2019", "is not a date"),
        ("20190414", "is not a date"),
        ("14.4/2019", "is not a date"),
        ("", "is not a date"),
    ],
)
def test_what_may_be_two_days_or_is_none_is_refused_with_what_to_write(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=re.escape(words)):
        date_written(text)


def test_a_day_is_asked_for_where_a_year_is_not_enough() -> None:
    assert day_written("14.4.2019") == APRIL_14
    with pytest.raises(ValueError, match='"2019" names no day; write one such as'):
        day_written("2019")


@given(DAYS | ROUGH)
def test_what_is_written_for_a_file_reads_back_by_a_file_and_by_a_person(noted: date | RoughDate) -> None:
    assert date_of_text(date_text(noted)) == noted
    assert date_written(date_text(noted)) == noted


@given(DAYS)
def test_a_day_with_dots_is_always_day_month_year_and_one_with_slashes_is_never_another_day(day: date) -> None:
    assert date_written(f"{day.day}.{day.month}.{day.year}") == day
    assert date_written(f"{day.day} {MONTHS[day.month - 1]} {day.year}") == day
    for one, other in ((day.day, day.month), (day.month, day.day)):
        if day.day > 12 or one == other:
            assert date_written(f"{one}/{other}/{day.year}") == day
        else:
            with pytest.raises(ValueError, match="may be"):
                date_written(f"{one}/{other}/{day.year}")


@given(DAYS | ROUGH)
def test_the_days_that_it_may_have_been_lie_between_its_first_and_its_last(noted: date | RoughDate) -> None:
    first, last = first_day(noted), last_day(noted)
    assert first <= middle_day(noted) <= last
    assert may_be_on(noted, first)
    assert may_be_on(noted, last)
    assert {first.year, last.year} == {noted.year}
    assert (day_known(noted) is None) == (first != last)


def test_a_year_and_a_month_are_told_as_such() -> None:
    assert (rough_words(RoughDate(2019)), rough_words(RoughDate(2019, 4))) == ("2019", "Apr 2019")
    assert when_words(RoughDate(2019)) == "in 2019"
    assert when_words(APRIL_14) == "on 2019-04-14"
    assert last_day(RoughDate(2024, 2)) == date(2024, 2, 29)
