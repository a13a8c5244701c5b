"""Until when picked fruit keeps, as people and lists write it."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.orchard.keeping import kept_until, used_from

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
    ],
)
def test_lengths_and_months_give_a_day(text: str, until: date) -> None:
    assert kept_until(text, PICKED) == until


@pytest.mark.parametrize("text", ["long", "does not keep; turns mealy", "eat at harvest", "spring", "some weeks", ""])
def test_what_names_no_time_gives_none(text: str) -> None:
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
    ],
)
def test_of_two_months_the_first_is_when_it_is_good_from(text: str, first: date | None) -> None:
    assert used_from(text, date(2025, 10, 5)) == first
