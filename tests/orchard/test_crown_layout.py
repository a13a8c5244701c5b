"""Where grafts fall on the grid, and how far apart they are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from orchard_records import graft

from tendwork.orchard.crown import CrownPlace, Layout, distance_m, facing_named, facing_text, lay_out, wind
from tendwork.orchard.records import Graft


def at(identity: str, facing: int, out_m: float) -> Graft:
    return graft(identity, facing=facing, out_m=out_m)


def spot(layout: Layout, identity: str) -> tuple[int, int]:
    (found,) = [(one.row, one.slot) for one in layout.spots if identity in one.grafts]
    return found


def test_north_is_up_and_east_is_right() -> None:
    # 45 columns are 15 slots, the middle is slot 7 of row 10 in 21 rows
    layout = lay_out([at("n", 0, 2), at("e", 90, 2), at("s", 180, 2), at("w", 270, 2)], 45, 21)
    assert (layout.trunk[0], layout.trunk[1] // 3) == (10, 7)
    # rows to the metre: the smaller of (10 - 1) / 2 and (7 - 1) * 1.5 / 2, both 4.5; slots to the metre 3
    assert [spot(layout, name) for name in "nesw"] == [(1, 7), (10, 13), (19, 7), (10, 1)]


def test_half_as_far_out_is_half_as_far_from_the_middle() -> None:
    layout = lay_out([at("far", 0, 2), at("near", 0, 1)], 45, 21)
    # 10 - 1 * 4.5 = 5.5, which is row 6
    assert spot(layout, "near") == (6, 7)


def test_the_edge_is_a_circle_at_the_farthest_graft() -> None:
    # middle row 10 and middle column 7 * 3 + 1 = 22; 2 m are 9 rows, and 18 columns of half their height
    layout = lay_out([at("n", 0, 2)], 45, 21)
    assert {(1, 22), (19, 22), (10, 4), (10, 40)} <= set(layout.edge)
    assert all(
        ((row - 10) / 9) ** 2 + ((column - 22) / 18) ** 2 == pytest.approx(1, abs=0.12) for row, column in layout.edge
    )


def test_grafts_in_one_slot_share_it() -> None:
    layout = lay_out([at("far", 0, 2), at("a", 180, 2), at("b", 181, 2)], 45, 21)
    assert [one.grafts for one in layout.spots] == [("far",), ("a", "b")]


def test_grafts_without_bearing_or_distance_are_unplaced() -> None:
    layout = lay_out([graft("a", facing=10), graft("b", out_m=1.0), at("c", 10, 1.0)], 45, 21)
    assert layout.unplaced == ("a", "b")


def test_a_bare_crown_has_a_trunk_and_an_edge_half_a_metre_out() -> None:
    layout = lay_out([], 30, 15)
    assert (layout.radius_m, layout.spots, bool(layout.edge)) == (0.5, (), True)


@pytest.mark.parametrize(("columns", "rows"), [(14, 20), (40, 6)])
def test_a_grid_that_is_too_small_is_refused(columns: int, rows: int) -> None:
    with pytest.raises(ValueError, match="15 columns and 7 rows"):
        lay_out([], columns, rows)


@given(
    st.lists(st.tuples(st.integers(0, 359), st.floats(0, 30)), max_size=30),
    st.integers(15, 90),
    st.integers(7, 45),
)
def test_everything_falls_inside_the_grid_and_every_graft_is_shown_once(
    places: list[tuple[int, float]], columns: int, rows: int
) -> None:
    layout = lay_out([at(f"g{number}", *place) for number, place in enumerate(places)], columns, rows)
    shown = [identity for one in layout.spots for identity in one.grafts]
    assert sorted(shown) == sorted(f"g{number}" for number in range(len(places)))
    assert all(0 < one.row < rows - 1 and 0 < one.slot < columns // 3 - 1 for one in layout.spots)
    assert all(0 <= row < rows and 0 <= column < columns for row, column in (*layout.edge, layout.trunk))


def test_the_distance_between_two_places_by_hand() -> None:
    # east 3 m and north 4 m out are 5 m apart on the ground; 12 m of height make it 13
    assert distance_m(CrownPlace(90, 0.0, 3.0), CrownPlace(0, 12.0, 4.0)) == pytest.approx(13.0)


def test_no_distance_to_a_place_that_is_not_wholly_known() -> None:
    assert distance_m(CrownPlace(90, None, 3.0), CrownPlace(0, 12.0, 4.0)) is None


@pytest.mark.parametrize(
    ("facing", "words"),
    [
        (0, "north"),
        (11, "north"),
        (12, "north-north-east"),
        (135, "south-east"),
        (180, "south"),
        (270, "west"),
        (292, "west-north-west"),
        (348, "north-north-west"),
        (349, "north"),
    ],
)
def test_a_facing_in_words(facing: int, words: str) -> None:
    assert wind(facing) == words


@given(st.integers(0, 359))
def test_a_facing_that_is_typed_back_is_the_same(facing: int) -> None:
    text = facing_text(facing)
    assert facing_named(text) == facing or text == str(facing)
    named = facing_named(wind(facing))
    assert named is not None
    assert min((named - facing) % 360, (facing - named) % 360) <= 12  # sixteen words, so 11.25 degrees at the most


@pytest.mark.parametrize("word", ["NNE", "nne", "north-north-east", "North north east", "north northeast"])
def test_a_compass_word_is_read_in_any_spelling(word: str) -> None:
    assert facing_named(word) == 22


@pytest.mark.parametrize("word", ["", "SN", "up", "90", "none", "easterly", "NNNE"])
def test_what_is_no_compass_word_is_not_read_as_one(word: str) -> None:
    assert facing_named(word) is None


def test_the_edge_of_a_crown_is_half_its_spread_unless_a_graft_stands_farther_out() -> None:
    assert lay_out([at("a", 90, 1.0)], 45, 21, 5.0).radius_m == 2.5
    assert lay_out([at("a", 90, 3.0)], 45, 21, 5.0).radius_m == 3.0
    assert lay_out([at("a", 90, 1.0)], 45, 21).radius_m == 1.0
