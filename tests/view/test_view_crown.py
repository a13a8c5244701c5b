"""The picture of a crown: symbols, the chosen graft, crowds, and what stands below."""

from __future__ import annotations

import pytest

from tendwork.orchard.records import GRAFT_STATES, Graft
from tendwork.view.crown import (
    GRAFT_MARKS,
    HEIGHT_MARKS,
    POINTER,
    UNKNOWN_HEIGHT,
    Crowd,
    CrownPicture,
    crown_picture,
    crown_text,
    height_mark,
)
from tendwork.view.text import display_width


def at(identity: str, facing: int, out_m: float, **changes: object) -> Graft:
    base: dict[str, object] = {"state": "bearing", "height_m": 2.5}
    return Graft(identity, "t1", f"{identity} Lamp", facing=facing, out_m=out_m, **{**base, **changes})  # type: ignore[arg-type]


NORTH, EAST, NEAR_EAST = at("n", 0, 2.0), at("e", 90, 2.0, height_m=0.5, state="set"), at("e2", 91, 2.0)


def text_of(picture: CrownPicture) -> list[str]:
    return ["".join(cell.character for cell in row) for row in picture.cells]


def test_a_small_crown_by_hand() -> None:
    # 21 columns are 7 slots, the middle slot 3, its middle column 10; 9 rows, the middle 4; edge circle left out here
    picture = crown_picture([at("n", 0, 2.0), at("s", 180, 1.0, height_m=4.0, state="planned")], 21, 9)
    rows = text_of(picture)
    assert rows[0] == " " * 10 + "N" + " " * 10
    assert rows[1][9:12] == " ▅●"
    assert rows[4][10] == "┼"
    assert (rows[4][0], rows[4][20], rows[8][10]) == ("W", "E", "S")
    # half way down: 4 + 1.5 = 5.5, row 6
    assert rows[6][9:12] == " ▇○"


def test_every_cell_of_a_graft_names_it_and_its_role() -> None:
    picture = crown_picture([NORTH, EAST], 45, 21, chosen="e")
    roles = {(cell.graft, cell.role) for row in picture.cells for cell in row if cell.graft}
    assert roles == {("n", "graft"), ("e", "chosen")}
    assert sum(cell.graft == "e" for row in picture.cells for cell in row) == 3


def test_the_chosen_graft_is_pointed_at_even_without_colour() -> None:
    rows = text_of(crown_picture([NORTH, EAST], 45, 21, chosen="n"))
    assert [row.count(POINTER.symbol) for row in rows].count(1) == 1
    assert rows[1][21:24] == "►▅●"


def test_nothing_is_pointed_at_until_something_is_chosen() -> None:
    assert POINTER.symbol not in "".join(text_of(crown_picture([NORTH, EAST], 45, 21)))


def test_grafts_in_one_slot_are_a_number_and_are_listed() -> None:
    picture = crown_picture([NORTH, EAST, NEAR_EAST], 45, 21)
    assert picture.crowds == (Crowd(1, ("e", "e2")),)
    assert [cell.role for row in picture.cells for cell in row].count("crowd") == 3
    words = " ".join(crown_text([NORTH, EAST, NEAR_EAST], 45, 21).split())
    assert " 1 e Lamp (e), set, 0.5 m up, 2 m out, facing east; e2 Lamp (e2), bearing, 2.5 m up" in words


def test_a_crowd_that_holds_the_chosen_graft_is_pointed_at_and_stands_for_it() -> None:
    picture = crown_picture([NORTH, EAST, NEAR_EAST], 45, 21, chosen="e2")
    cells = [cell for row in picture.cells for cell in row if cell.role == "chosen"]
    assert ("".join(cell.character for cell in cells), {cell.graft for cell in cells}) == ("► 1", {"e2"})


def test_the_chosen_graft_is_told_in_words_below() -> None:
    lines = crown_text([NORTH, EAST], 60, 21, chosen="e").splitlines()
    assert "► e Lamp (e), set, 0.5 m up, 2 m out, facing east" in lines
    assert any("▁ under 1 m" in line and "▅ 2 to 3 m" in line for line in lines)


def test_the_legend_holds_only_what_is_shown_and_how_far_the_edge_is() -> None:
    text = crown_text([NORTH], 80, 21)
    assert "● bearing" in text
    assert "○ planned" not in text
    assert "· 2 m from the trunk" in text


def test_feet_where_they_are_wanted() -> None:
    assert "6.6 ft from the trunk" in crown_text([NORTH], 80, 21, units="us")


def test_grafts_without_a_place_are_named() -> None:
    assert "Place not noted: Blue Lamp (g9)" in crown_text([NORTH, Graft("g9", "t1", "Blue Lamp")], 80, 21)


@pytest.mark.parametrize(
    ("height_m", "word"),
    [
        (0.0, "under 1 m"),
        (1.0, "1 to 2 m"),
        (1.99, "1 to 2 m"),
        (2.0, "2 to 3 m"),
        (3.0, "3 m and higher"),
        (9.0, "3 m and higher"),
        (None, "height not noted"),
    ],
)
def test_heights_have_a_mark_each_metre(height_m: float | None, word: str) -> None:
    assert height_mark(height_m).word == word


def test_every_state_has_a_mark_and_no_two_marks_look_alike() -> None:
    assert set(GRAFT_MARKS) == set(GRAFT_STATES)
    marks = [*GRAFT_MARKS.values(), *(mark for _, mark in HEIGHT_MARKS), UNKNOWN_HEIGHT, POINTER]
    assert len({mark.symbol for mark in marks}) == len({mark.ascii for mark in marks}) == len(marks)
    assert all(display_width(mark.symbol) == 1 for mark in marks)


def test_the_picture_can_be_plain_ascii() -> None:
    picture = crown_picture([NORTH, EAST, NEAR_EAST], 45, 21, chosen="n", ascii_only=True)
    assert "".join(text_of(picture)).isascii()


@pytest.mark.parametrize(("columns", "rows"), [(30, 15), (45, 18), (60, 30)])
def test_the_picture_is_exactly_as_large_as_asked(columns: int, rows: int) -> None:
    grafts = [at(f"g{number}", number * 9, 0.5 + number / 15) for number in range(40)]
    picture = crown_picture(grafts, columns, rows)
    assert [len(row) for row in picture.cells] == [columns] * rows


def test_a_picture_with_its_words_fits_an_old_terminal() -> None:
    # 24 lines of 80 columns, with room for a title and a key line
    lines = crown_text([NORTH, EAST], 45, 17, chosen="n").splitlines()
    assert len(lines) <= 22
    assert max(map(display_width, lines)) <= 80
