"""What Trees says of one graft and one tree: its wrap on or off since when, and what is not noted."""

from __future__ import annotations

from datetime import date

import pytest
from msgspec.structs import replace

from tendwork.orchard.records import Graft, Records, Tick, Tree
from tendwork.orchard.rough_dates import RoughDate
from tendwork.view.graft_table import graft_cells, graft_columns, graft_rows, matching_rows
from tendwork.view.graft_words import graft_lines, graft_title, tree_lines
from tendwork.view.plain import tree_heading, trees_text

TODAY = date(2026, 11, 28)
TREE = Tree("t1", "Old apple", "apple")
SET_ON = date(2026, 4, 12)


def graft(**changes: object) -> Graft:
    base: dict[str, object] = {"method": "cleft", "wrap": "PVC tape", "state": "took", "set_on": SET_ON}
    return Graft("g1", "t1", "Red Lamp", **{**base, **changes})  # type: ignore[arg-type]


def said(one: Graft, *ticks: Tick) -> str:
    return " ".join(graft_lines(Records((TREE,), (one,), ticks=ticks), one, False, "metric", 200, TODAY))


OFF = Tick("wraps-tape-pome/t1/2026", "g1", date(2026, 7, 20), "off")
NOT_YET = Tick("wraps-tape-pome/t1/2026", "g1", date(2026, 7, 20), "not yet")


@pytest.mark.parametrize(
    ("one", "ticks", "words"),
    [
        (graft(), (), "Wrap on since Sun 12 Apr 2026: PVC tape."),
        (graft(wrap=""), (), "Wrap on since Sun 12 Apr 2026: what it is was not noted."),
        (graft(), (OFF,), "Wrap off since Mon 20 Jul 2026."),
        (graft(), (OFF, NOT_YET), "Wrap on since Sun 12 Apr 2026: PVC tape."),
        (graft(wrap="none"), (), "Not wrapped."),
        (graft(wrap="off"), (), "Wrap off."),
        (graft(state="bearing", set_on=date(2015, 4, 1)), (), "Nobody noted that the wrap is off."),
        (graft(method=""), (), "method not noted"),
    ],
)
def test_a_graft_says_on_or_off_since_when(one: Graft, ticks: tuple[Tick, ...], words: str) -> None:
    assert words in said(one, *ticks)


def test_an_outcome_in_whose_place_another_was_put_is_told_no_more() -> None:
    assert "wrap off" not in said(graft(), OFF, NOT_YET)


def test_a_planned_or_failed_graft_says_nothing_of_a_wrap_on_it() -> None:
    assert "Wrap" not in said(graft(state="planned", set_on=None))
    assert "Wrap o" not in said(graft(state="failed"))


def test_a_tree_names_its_grafts_without_a_method_or_a_wrap() -> None:
    held = (graft(), Graft("g2", "t1", "B", state="set", set_on=SET_ON), Graft("g3", "t1", "C"))
    lines = " ".join(tree_lines(Records((TREE,), held), TREE, 200, TODAY))
    assert "Without a method noted: g2, g3." in lines
    assert "Without a wrap noted: g2." in lines


def test_a_tree_says_what_it_stands_on_how_it_is_trained_and_since_when_its_crown_grows() -> None:
    tree = Tree(
        "t1", "Old Tom", "apple", "seedling", 1962, "by the gate", 6.5,
        interstem="M.9", spread_m=7.0, form="standard", crown_since=2013, note="leans",
    )  # fmt: skip
    assert tree_heading(tree, ()) == (
        "Old Tom (t1): apple on seedling, interstem M.9, standard, planted 1962, its crown since 2013, by the gate;"
        " 0 grafts"
    )
    lines = tree_lines(Records((tree,)), tree, 200, TODAY)
    assert "Its crown reaches 6.5 m and is 7 m wide." in lines
    assert "Note: leans" in lines
    wide = replace(tree, height_m=None)
    assert "How high its crown reaches is not noted; it is 7 m wide." in tree_lines(Records((wide,)), wide, 200, TODAY)


def test_a_graft_of_another_species_says_so_wherever_it_is_named() -> None:
    tree, peach = Tree("t1", "Shed plum", "plum"), Graft("g1", "t1", "Early Peach", species="peach", state="took")
    peach = replace(peach, set_on=RoughDate(2025), wrap="PVC tape", method="cleft")
    records = Records((tree,), (peach,))
    assert graft_title(peach, tree) == "Early Peach, peach (g1) on Shed plum"
    assert "Early Peach, peach" in trees_text(records, 80, TODAY)
    assert "     2025" in trees_text(records, 80, TODAY)
    row = graft_rows(records)[1]
    assert graft_cells(row, graft_columns([row], 100)).startswith("g1  Early Peach, peach")
    assert matching_rows(graft_rows(records), "peach")[1] == "graft/g1"
    said = " ".join(graft_lines(records, peach, False, "metric", 200, date(2026, 6, 1)))
    assert "Wrap on since 2025: PVC tape." in said
    assert "set in 2025: cleft, wrapped in PVC tape" in said
