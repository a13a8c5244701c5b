"""Which graft stood at a place on a day: the one of now, or one of those before it."""

from __future__ import annotations

from datetime import date

import pytest

from tendwork.orchard.records import Graft, Life, Records, Tree
from tendwork.orchard.rough_dates import RoughDate
from tendwork.orchard.stands import Stands

RECORDS = Records(
    (Tree("t1", "Any", "apple"), Tree("t2", "Other", "plum")),
    (
        Graft("g1", "t1", "Now", state="took", set_on=date(2026, 4, 10)),
        Graft("g2", "t1", "Wish"),
        Graft("g3", "t2", "Peach", state="bearing", species="peach"),
        Graft("g4", "nowhere", "Lost", state="took"),
    ),
    lives=(
        Life("g1", "First", set_on=date(2020, 4, 1), ended_on=date(2023, 6, 1), state="removed", verdict="cut"),
        Life("g1", "Second", set_on=RoughDate(2024), ended_on=RoughDate(2025, 3)),
        Life("g2", "Before", set_on=date(2024, 4, 1)),
    ),
)


@pytest.mark.parametrize(
    ("graft", "day", "variety"),
    [
        ("g1", date(2020, 3, 31), None),
        ("g1", date(2020, 4, 1), "First"),
        ("g1", date(2023, 6, 1), "First"),
        ("g1", date(2023, 6, 2), None),
        ("g1", date(2024, 1, 1), "Second"),  # of which the year alone is known
        ("g1", date(2025, 3, 31), "Second"),
        ("g1", date(2025, 4, 1), None),
        ("g1", date(2026, 4, 10), "Now"),
        ("g2", date(2026, 4, 10), "Before"),  # nobody knows when it ended, and what is planned does not stand yet
        ("g3", date(1990, 1, 1), "Peach"),  # nobody knows since when
        ("g4", date(2026, 5, 1), None),
        ("g9", date(2026, 5, 1), None),
    ],
)
def test_who_stood_there(graft: str, day: date, variety: str | None) -> None:
    stand = Stands(RECORDS).on(graft, day)
    assert (None if stand is None else stand.variety) == variety


def test_all_that_were_ever_set_with_species_and_whether_they_took() -> None:
    assert [(one.variety, one.tree, one.species, one.took) for one in Stands(RECORDS).all] == [
        ("First", "t1", "apple", True),  # it was judged, so it lived
        ("Second", "t1", "apple", False),
        ("Before", "t1", "apple", False),
        ("Now", "t1", "apple", True),
        ("Peach", "t2", "peach", True),
    ]


def test_of_two_that_may_have_stood_there_it_is_the_one_that_was_set_last() -> None:
    records = Records(
        RECORDS.trees,
        (Graft("g1", "t1", "Now", state="took", set_on=date(2026, 4, 10)),),
        lives=(Life("g1", "Open", set_on=date(2020, 4, 1)),),
    )
    stand = Stands(records).on("g1", date(2026, 5, 1))
    assert stand is not None
    assert stand.variety == "Now"
