"""Until when picked fruit keeps, as people and lists write it."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.orchard.keeping import keeps_fault, kept_until, used_from

PICKED = date(2025, 9, 20)


@pytest.mark.parametrize(
    ("text", "until"),
    [
        ("120 days", date(2026, 1, 18)),
        ("2-3 months", date(2025, 11, 19)),
        ("to 8 months", date(2026, 5, 18)),
        ("2 weeks", date(2025, 10, 4)),
        ("Mar", date(2026, 3, 31)),
        ("Feb (pick mid Oct)", date(2026, 2, 28)),
        ("Jan-Feb (pick late Oct-early Nov)", date(2026, 2, 28)),
        ("Mar best, firm to Jul", date(2026, 3, 31)),
        ("Mar (5 months)", date(2026, 3, 31)),
        ("Sep (pick early Sep)", date(2025, 9, 30)),
        ("10 Oct", date(2025, 10, 10)),
        ("late Jan", date(2026, 1, 31)),
        ("1.5 months", date(2025, 11, 4)),
        ("1,5 months", date(2025, 11, 4)),
        ("1-1.5 months", date(2025, 10, 20)),
        ("1/2 month", date(2025, 10, 5)),
        ("three weeks", date(2025, 10, 11)),
        ("6 wks", date(2025, 11, 1)),
        ("a year", date(2026, 9, 20)),
        ("May", date(2026, 5, 31)),
        ("until May if cold", date(2026, 5, 31)),
        ("1 1/2 months", date(2025, 11, 4)),
        ("1½ months", date(2025, 11, 4)),
        ("30 Sep", date(2025, 9, 30)),
        ("31 Jan", date(2026, 1, 31)),
        ("29 Feb", date(2026, 2, 28)),
        ("Oct 10", date(2025, 10, 10)),
        ("until 10 Oct", date(2025, 10, 10)),
        ("Oct 5-10", date(2025, 10, 10)),
        ("Oct 5-Nov 3", date(2025, 11, 3)),
        ("Oct 5 - 3 Nov", date(2025, 11, 3)),
        ("5 Oct to Nov", date(2025, 11, 30)),
        ("Oct 2025", date(2025, 10, 31)),
        ("Dec, not 2 weeks longer", date(2025, 12, 31)),
        ("does not keep beyond 3 weeks", date(2025, 10, 11)),
        ("will not keep past Jan", date(2026, 1, 31)),
        ("3 months, do not store with pears", date(2025, 12, 19)),
    ],
)
def test_lengths_and_months_give_a_day(text: str, until: date) -> None:
    assert kept_until(text, PICKED) == until


@pytest.mark.parametrize(
    "text",
    [
        "long",
        "does not keep; turns mealy",
        "eat at harvest",
        "spring",
        "some weeks",
        "",
        "may keep a little",
        "it may",
        "may not keep",
        "not 2 weeks",
        "not 2 or 3 weeks",
        "-3 weeks",
        "Sep 31",
        "Oct 99",
        "31 Sep",
        "99 Oct",
        "999999 weeks",
    ],
)
def test_what_names_no_time_or_none_that_can_be_gives_none(text: str) -> None:
    assert kept_until(text, PICKED) is None


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("Nov-Feb", date(2025, 11, 1)),
        ("Dec to Mar", date(2025, 12, 1)),
        ("Jan-Mar (pick Oct)", date(2026, 1, 1)),
        ("Sep-Nov", None),  # good from the tree
        ("May", None),
        ("2-3 months", None),
        ("does not keep", None),
        ("may keep from Nov to Feb", date(2025, 11, 1)),
    ],
)
def test_of_two_months_the_first_is_when_it_is_good_from(text: str, first: date | None) -> None:
    assert used_from(text, date(2025, 10, 5)) == first


@pytest.mark.parametrize(
    "text",
    ["999999 weeks", "9" * 5000 + " days", "3 years", "31 Sep", "99 Oct", "Oct, at most 40 Nov", "Sep 31", "Oct 5-99"],
)
def test_a_time_that_cannot_be_is_a_fault(text: str) -> None:
    assert text in keeps_fault(text)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "long",
        "does not keep",
        "Jan-Feb (pick late Oct-early Nov)",
        "8 months",
        "2 years",
        "until 10 Oct",
        "Oct 2025",
    ],
)
def test_other_texts_are_none(text: str) -> None:
    assert keeps_fault(text) == ""
