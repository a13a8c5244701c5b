"""The arrows in the picture of the crown go to the graft that a person would mean."""

from __future__ import annotations

import pytest

from tendwork.orchard.crown import Layout, Spot
from tendwork.view.crown import neighbour

# Cells are twice as high as wide and a slot is three cells: a slot is one and a half rows wide.
LAYOUT = Layout(
    11,
    33,
    2.0,
    (5, 16),
    (
        Spot(1, 5, ("north",)),
        Spot(5, 2, ("west",)),
        Spot(5, 6, ("near", "with it")),
        Spot(5, 9, ("east",)),
        Spot(9, 5, ("south",)),
    ),
    (),
    (),
)


@pytest.mark.parametrize(
    ("chosen", "down", "right", "found"),
    [
        ("west", 0, 1, "near"),
        ("near", 0, 1, "with it"),
        ("with it", 0, 1, "east"),
        ("east", 0, -1, "with it"),
        ("with it", 0, -1, "near"),
        ("near", -1, 0, "north"),
        ("north", 1, 0, "near"),
        ("with it", 1, 0, "south"),
        ("east", 0, 1, "east"),
        ("", 0, 1, "near"),
        ("not placed", 1, 0, "near"),
    ],
)
def test_the_next_graft_that_way(chosen: str, down: int, right: int, found: str) -> None:
    assert neighbour(LAYOUT, chosen, down, right) == found


def test_a_crown_without_grafts_has_nowhere_to_go() -> None:
    assert neighbour(Layout(7, 15, 1.0, (3, 7), (), (), ()), "", 1, 0) == ""
